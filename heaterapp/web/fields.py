"""A field as markup, drawn by its macro; what only taps and numbers fill is drawn once and kept."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from flask import current_app
from markupsafe import Markup

from heaterapp.forms import AnswerField

MOST_KEPT = 5000
"""Drawn fields kept in one process, of about a kilobyte each."""


def drawer(asked: Mapping[str, bool], places: Mapping[str, str]) -> Callable[[AnswerField], Markup]:
    """Return what draws a field of one page, but for what is said under it.

    asked   question -> asked now; a field that is not is hidden
    places  place -> its title; the same for every page of a process
    """
    macro = current_app.jinja_env.get_template("job/_fields.html").module.whole_field  # type: ignore[attr-defined]
    kept: dict[tuple[object, ...], Markup] = current_app.extensions.setdefault("drawn_fields", {})

    def draw(field: AnswerField) -> Markup:
        # A person's own words are not kept in memory beyond their page.
        own_words = field.question.kind == "text" or field.process_errors or field.typed.get("-why")
        hidden = not asked[field.name] and not field.process_errors
        if own_words:
            return macro(field, hidden, places)
        key = (field.name, hidden, len(field.ends), *field.typed.items())
        drawn = kept.get(key)
        if drawn is None:
            if len(kept) >= MOST_KEPT:
                kept.clear()
            drawn = kept[key] = macro(field, hidden, places)
        return drawn

    return draw
