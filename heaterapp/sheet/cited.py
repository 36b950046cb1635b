"""A book as it is cited: in our own words in the language spoken, or by the title that it bears."""

from __future__ import annotations

from html import escape

from ..languages import SOURCE, say, spoken
from ..languages.patterns import wordless


def book_html(title: str) -> str:
    """A book's title; one that stays English in another language is marked so, behind what it is."""
    said = say(title)
    if spoken() == SOURCE or said != title or wordless(title):
        return escape(said)
    kind = say("code {title}", title="\0") if "Code" in title else say("standard {title}", title="\0")
    return escape(kind).replace("\0", f'<span lang="en">{escape(title)}</span>')
