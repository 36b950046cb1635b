"""The page of a homeowner's link that does not open: the same, whatever the reason."""

from __future__ import annotations

from flask import render_template, request

from heaterapp import homeowner
from heaterapp.homeowner import page as words
from heaterapp.homeowner.closed import closed_link

UNDER = "/s/"


def is_asked() -> bool:
    """Whether what was asked for is a homeowner's link or something behind one."""
    return request.path.startswith(UNDER)


def closed_page() -> str:
    """Say in the language asked for that this link does not open, and whom to ask."""
    asked = request.args.get("lang")
    language = asked if asked in homeowner.LANGUAGES else (
        request.accept_languages.best_match(homeowner.LANGUAGES, homeowner.LANGUAGES[0])
    )  # fmt: skip
    # Nothing of who looks: it must be the same page for all.
    return render_template(
        "share/closed.html", told=closed_link(language), tongue=language, person=None, office_ways=(),
        other_languages=dict, skip=words.SKIP.of(language),
        other_language=words.OTHER_LANGUAGE.of(language),
    )  # fmt: skip
