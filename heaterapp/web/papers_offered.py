"""A record's papers as the office offers them: the one on record and the one to give away."""

from __future__ import annotations

import hashlib
from typing import NamedTuple

from heaterapp import archive
from heaterapp.certificate.filed import NAMES
from heaterapp.languages import SOURCE
from heaterapp.sealed_papers import ARCHIVAL, PAPER
from heaterapp.web.sealed import sealed_as
from heaterapp.web.security import store

ON_RECORD = "On record"
GIVE = "To give away"
ATTACHED = b"/EmbeddedFile"
GIVE_MARKED = {"void": "To hand out, marked void", "replaced": "To hand out, marked as replaced"}
STORED = "The stored file, for proof"
IDENTITY = "The paper as issued, with answers and report attached (PDF/A). The record is known by this file."
PAGES = "The same pages, with nothing attached."
PAGES_AND_DATA = "The same pages, with answers and report attached as well."
SEALED_COPY = (
    "The file on record, answers and report attached, with the firm's seal after it. Each download is sealed"
    " anew, and has another SHA-256."
)
MARKED = {
    "void": "Made now from the paper on record; its first page says that it is void.",
    "replaced": "Made now from the paper on record; its first page says that it was replaced.",
}
AS_ISSUED = {
    "void": "As it was issued: it does not say that it is void. Not to be passed on alone.",
    "replaced": "As it was issued: it does not say that it was replaced. Not to be passed on alone.",
}


class Offer(NamedTuple):
    """One file that can be had.

    name    by which it is asked for, the end of its address
    saved   the name under which a browser saves it
    digest  SHA-256 of the stored file; nothing for one that is sealed as it is handed out
    copy    laid out anew as it is asked for, and says on its face what became of the paper
    """

    name: str
    saved: str
    lead: str
    words: str
    kilobytes: int
    digest: str
    copy: bool = False


def offered_now(opened: archive.Record, state: str) -> list[Offer]:
    """Return what of a record is offered on its page: of one that stands no more a marked copy to give away.

    state  of the record: current, replaced, void
    """
    found = offered(opened)
    if state == "current":
        return found
    kept = [one for one in found if one.lead == ON_RECORD] or found
    name = f"{NAMES[opened.kind]}-{SOURCE}.pdf"
    marked = Offer(name, f"{opened.number}-{name}", GIVE_MARKED[state], MARKED[state], 0, "", copy=True)
    return [marked, *(one._replace(lead=STORED, words=AS_ISSUED[state]) for one in kept)]


def offered(opened: archive.Record) -> list[Offer]:
    """Return what of a record can be had, what is to be given away first."""
    records, org = store().records, opened.organisation
    sizes = records.file_sizes(org, opened.id)
    sealed = sealed_as(org, sizes)
    found = []
    for name in sorted(sizes, key=lambda one: (one.endswith(ARCHIVAL), one)):
        given = sealed.get(name, name)
        lead, words = (ON_RECORD, IDENTITY) if name.endswith(ARCHIVAL) else (GIVE, PAGES)
        if given != name:
            words = SEALED_COPY
        body = records.file(org, opened.id, name) if sizes[name] and given == name else b""
        digest = hashlib.sha256(body).hexdigest() if body else ""
        if words == PAGES and ATTACHED in body:
            words = PAGES_AND_DATA
        size = sizes[name.removesuffix(PAPER) + ARCHIVAL] if given != name else sizes[name]
        found.append(
            Offer(given, f"{opened.number}-{given}", lead, words, max(1, round(size / 1000)), digest)
        )
    return found
