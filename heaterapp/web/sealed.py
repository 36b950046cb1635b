"""The firm's seal as its pages use it: the key, and papers that are handed out with it (sealed_papers.py)."""

from __future__ import annotations

from collections.abc import Collection

from flask import current_app

from heaterapp import archive, sealed_papers, sealing
from heaterapp.archive.seals import Seal
from heaterapp.sealed_papers import ON, SETTING
from heaterapp.web.security import store

__all__ = ["ON", "SETTING", "handed_out", "key_in_use", "make_sure_of_key", "new_key", "sealed_as"]


def key_in_use(organisation: int) -> sealing.Key | None:
    """Return the key that seals; None without one, or where it stayed behind when the firm came here."""
    return sealed_papers.key_in_use(store(), organisation)


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
    return sealed_papers.sealed_as(store(), organisation, names)


def handed_out(opened: archive.Record, name: str) -> tuple[bytes, str]:
    """Return a file as it is handed out, and its name then. Raises NotFound, Erased."""
    return sealed_papers.handed_out(store(), opened, name, current_app.logger.error)
