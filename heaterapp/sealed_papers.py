"""Papers as they are handed out: with the firm's seal, where the firm wants it.

Sealed is the archival paper, at the moment of handing out, in place of the plain one. What is stored stays
unsealed: it can be made again byte for byte for as long as there is a renderer, and a seal only while its
key is in use.
"""

from __future__ import annotations

from collections.abc import Callable, Collection
from datetime import datetime
from typing import Any

from heaterapp import sealing
from heaterapp.archive import Hit, Record

SETTING, ON = "seal", "on"
PAPER, ARCHIVAL, SEALED = ".pdf", "-archival.pdf", "-sealed.pdf"


def is_wanted(store: Any, organisation: int) -> bool:
    """Whether the firm wants sealed what is handed out."""
    return bool(store.organisations.get(organisation).settings.get(SETTING) == ON)


def key_in_use(store: Any, organisation: int) -> sealing.Key | None:
    """Return the key that seals; None without one, or where it stayed behind when the firm came here."""
    held = store.seals.with_key(organisation)
    return sealing.Key(held[0].certificate, held[1]) if held else None


def sealed_as(store: Any, organisation: int, names: Collection[str]) -> dict[str, str]:
    """Return which of a record's files are handed out sealed: name -> name that it gets then."""
    plain = [one for one in names if one.endswith(PAPER) and one.removesuffix(PAPER) + ARCHIVAL in names]
    if not plain or not is_wanted(store, organisation) or key_in_use(store, organisation) is None:
        return {}
    return {one: one.removesuffix(PAPER) + SEALED for one in plain}


def handed_out(
    store: Any,
    opened: Record,
    name: str,
    failed: Callable[[str], object],
    at: datetime | None = None,
) -> tuple[bytes, str]:
    """Return a file as it is handed out, and its name then. Raises NotFound, Erased.

    name    that of a stored file, or the one that a paper gets with its seal
    failed  is told why a paper could not be sealed: it is handed out unsealed then
    at      what time a seal carries: the same time and key, the same bytes; now where none is given, and
            never before the key was made
    """
    files, org = store.records, opened.organisation
    renamed = sealed_as(store, org, files.file_names(org, opened.id)) if name.endswith(PAPER) else {}
    name = {given: stored for stored, given in renamed.items()}.get(name, name)
    held = store.seals.with_key(org) if name in renamed else None
    if held is not None:
        paper = files.file(org, opened.id, name.removesuffix(PAPER) + ARCHIVAL)
        made_at = datetime.fromisoformat(held[0].made_at)
        moment = max(at or store.database.moment(), made_at)
        try:
            return sealing.seal(paper, sealing.Key(held[0].certificate, held[1]), moment), renamed[name]
        except sealing.NotSealed as why:
            # Whoever needs the paper gets it; that it has no seal, its name says and the check page.
            failed(f"{opened.number} could not be sealed: {why}")
    return files.file(org, opened.id, name), name


def known_of(store: Any, organisation: int) -> list[sealing.Known]:
    """Return every key that a firm's seal has or had, with the days on which trust in it ended."""
    return [
        sealing.Known(one.certificate, one.public.retired_on or "", one.public.distrusted_on or "")
        for one in store.seals.all_of(organisation)
    ]


def beside(
    store: Any, organisation: int, hit: Hit, identifiers: Callable[[str, str, str, int], list[str]],
    redacted_identifier: Callable[[str, str, int], str],
) -> tuple[list[sealing.Stored], list[sealing.Known]]:
    """Return what a file is held against: a record's stored papers, none of an erased one, and the keys.

    identifiers          names the copies that are made of a paper on request: certificate.identifiers
    redacted_identifier  names those with personal data left out: certificate.redacted_identifier
    """
    copies, redacted = frozenset[bytes](), b""
    if not hit.erased:
        own = store.records.get(organisation, hit.record)
        named = identifiers(own.kind, own.content_digest, own.number, own.revision)
        copies = frozenset(one.encode() for one in named)
        redacted = redacted_identifier(own.content_digest, own.number, own.revision).encode()
    names = () if hit.erased else store.records.file_names(organisation, hit.record)
    stored = [
        sealing.Stored(hit.number, name, store.records.file(organisation, hit.record, name), copies, redacted)
        for name in names if name.endswith(PAPER)
    ]  # fmt: skip
    return stored, known_of(store, organisation)


def standing(hit: Hit) -> str:
    """Return how a record stands, to follow its number."""
    if hit.erased:
        return "its content was erased here, so nothing is left to compare with"
    if hit.state == "replaced":
        return f"replaced by {hit.superseded_by_number}"
    return "void: it holds no more" if hit.state == "void" else "the current paper of its job"
