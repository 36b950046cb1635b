"""The cover page of a copy: who asked for it and when it was given; the paper itself stays to the byte."""

from __future__ import annotations

from dataclasses import dataclass


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


def pressed(cover: Cover) -> dict[str, bytes]:
    """Make the cover page in this process: `cover.pdf`, the same bytes for the same words."""
    import hashlib

    from .press import Sheet, press

    own = press()
    markup = own.templates.get_template("certificate/cover.html").render(cover=cover)
    same = hashlib.sha256(repr(cover).encode()).hexdigest()[:32].encode()
    laid = Sheet(markup, own.fetcher).render(font_config=own.fonts, stylesheets=[own.style])
    return {"cover.pdf": laid.write_pdf(pdf_identifier=same)}
