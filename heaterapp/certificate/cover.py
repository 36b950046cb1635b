"""The cover page of a copy: who asked for it and when it was given; the paper itself stays to the byte."""

from __future__ import annotations

from dataclasses import dataclass

STANDINGS = {
    "current": ("Current paper", ""),
    "replaced": ("Replaced", "The newer paper holds. The one behind this page shows what stood before it."),
    "void": ("Void", "Do not rely on the paper behind this page. It keeps its number and stays on record."),
}
"""What became of a paper -> the word for it, and what that means to who holds it."""


@dataclass(frozen=True, slots=True)
class Cover:
    """What a cover page says, each a line of plain text; times as for reading."""

    number: str
    title: str
    issued: str
    state: str
    """What had become of the paper when the copy was given: current, replaced by which one, or void."""
    contractor: str
    contractor_lines: tuple[str, ...]
    asked_by: str
    purpose: str
    consent: str
    given: str
    given_by: str
    files: tuple[tuple[str, str], ...]
    """File name and SHA-256 of each paper that goes with it."""
    page_size: str = "letter"
    since: str = ""
    """What has come since, with the day as of which that is said; empty where nothing has."""
    about: tuple[str, ...] = ()
    """What kind of paper it is, how it came out, and of others' work who looked it over."""
    standing: str = "current"
    """What the paper is as this page is made: `current`, `replaced` or `void`."""

    @property
    def heading(self) -> str:
        """The word that stands over the page."""
        return STANDINGS[self.standing][0]

    @property
    def meaning(self) -> str:
        """What to do with a paper that stands no more; nothing for one that does."""
        return STANDINGS[self.standing][1]


def pressed(cover: Cover) -> dict[str, bytes]:
    """Make the cover page in this process: `cover.pdf`, the same bytes for the same words."""
    import hashlib

    from .press import Sheet, alone, press

    own = press()
    markup = own.templates.get_template("certificate/cover.html").render(cover=cover)
    same = hashlib.sha256(repr(cover).encode()).hexdigest()[:32].encode()
    laid = Sheet(markup, own.fetcher, own.base).render(**own.dressed(markup))
    return {"cover.pdf": alone(laid, same)}
