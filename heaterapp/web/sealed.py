"""Papers as they are handed out: with the firm's seal, where the firm wants it.

Sealed is the archival paper, at the moment of handing out, in place of the plain one. What is stored stays
unsealed: it can be made again byte for byte, and a seal cannot.
"""

from __future__ import annotations

from collections.abc import Collection

from flask import current_app

from heaterapp import archive, sealing
from heaterapp.archive.seals import Seal
from heaterapp.web.security import store

SETTING, ON = "seal", "on"
PAPER, ARCHIVAL, SEALED = ".pdf", "-archival.pdf", "-sealed.pdf"


def is_wanted(organisation: int) -> bool:
    """Whether the firm wants sealed what is handed out."""
    return store().organisations.get(organisation).settings.get(SETTING) == ON


def key_in_use(organisation: int) -> sealing.Key | None:
    """Return the key that seals; None without one, or where it stayed behind when the firm came here."""
    held = store().seals.with_key(organisation)
    return sealing.Key(held[0].certificate, held[1]) if held else None


def new_key(organisation: int, person: int | None, replaces: str | None = None) -> Seal:
    """Make a key for the firm, in place of the one named. Raises ValueError where the firm has no name."""
    firm = store().organisations.get(organisation)
    made = sealing.new_key(firm.name, store().database.moment())
    return store().seals.make(organisation, person, made.certificate, made.private, replaces)


def make_sure_of_key(organisation: int, person: int) -> None:
    """Make a key where none works here: there is none yet, or it stayed where the firm came from."""
    if key_in_use(organisation) is None:
        held = store().seals.current(organisation)
        new_key(organisation, person, held.fingerprint if held else None)


def sealed_as(organisation: int, names: Collection[str]) -> dict[str, str]:
    """Return which of a record's files are handed out sealed: name -> name that it gets then."""
    plain = [one for one in names if one.endswith(PAPER) and one.removesuffix(PAPER) + ARCHIVAL in names]
    if not plain or not is_wanted(organisation) or key_in_use(organisation) is None:
        return {}
    return {one: one.removesuffix(PAPER) + SEALED for one in plain}


def handed_out(opened: archive.Record, name: str) -> tuple[bytes, str]:
    """Return a file as it is handed out, and its name then. Raises NotFound, Erased."""
    files, org = store().records, opened.organisation
    renamed = sealed_as(org, files.file_names(org, opened.id)) if name.endswith(PAPER) else {}
    key = key_in_use(org) if name in renamed else None
    if key is not None:
        paper = files.file(org, opened.id, name.removesuffix(PAPER) + ARCHIVAL)
        try:
            return sealing.seal(paper, key), renamed[name]
        except sealing.NotSealed as failed:
            # Whoever needs the paper gets it; that it has no seal, its name says and the check page.
            current_app.logger.error("%s could not be sealed: %s", opened.number, failed)
    return files.file(org, opened.id, name), name
