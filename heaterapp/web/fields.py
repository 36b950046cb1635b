"""A field as markup, drawn by its macro; what only taps and numbers fill is drawn once and kept."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from flask import current_app
from markupsafe import Markup, escape

from heaterapp.forms import AnswerField, SectionForm
from heaterapp.languages import spoken

MOST_KEPT = 5000
"""Drawn fields kept in one process, of about a kilobyte each."""


def drawer(
    form: SectionForm, now: Mapping[str, Any], places: Mapping[str, str]
) -> Callable[[Iterable[str]], Markup]:
    """Return what draws fields of one page by their names, with what is said under each.

    form    the section's fields
    now     what `sheet.live` told; a field that is not asked is hidden
    places  place -> its title
    """
    macro = current_app.jinja_env.get_template("job/_fields.html").module.whole_field  # type: ignore[attr-defined]
    asked, said, flags = now["asked"], now["said"], now["flags"]
    kept: dict[tuple[object, ...], Markup] = current_app.extensions.setdefault("drawn_fields", {})

    def upper(field: AnswerField) -> Markup:
        # A person's own words are not kept in memory beyond their page.
        own_words = field.question.kind == "text" or field.process_errors or field.typed.get("-why")
        hidden = not asked[field.name] and not field.process_errors
        if own_words:
            return macro(field, hidden, places)
        offered = tuple(places) if field.name == "place" else ()
        key = (spoken(), field.name, hidden, len(field.ends), offered, *field.typed.items())
        drawn = kept.get(key)
        if drawn is None:
            if len(kept) >= MOST_KEPT:
                kept.clear()
            drawn = kept[key] = macro(field, hidden, places)
        return drawn

    def draw(names: Iterable[str]) -> Markup:
        parts: list[str] = []
        for name in names:
            parts += (upper(form[name]), said.get(name, ""))
            if flags.get(name):
                parts.append(f'<p class="flag">{escape(flags[name])}</p>')
            parts.append("</div>\n</div>\n")
        # Markup of our own macro and of heaterapp.sheet, which has escaped what it was told.
        return Markup("".join(parts))  # noqa: S704

    return draw
