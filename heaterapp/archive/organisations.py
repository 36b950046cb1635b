"""Organisations: the walls between one firm's rows and another's."""

import json
from collections.abc import Mapping
from typing import Any

from sqlalchemy import Connection, RowMapping, insert, select, update

from heaterapp.archive import checking, tables
from heaterapp.archive.canonical import EMPTY_HEAD, canonical
from heaterapp.archive.database import Database
from heaterapp.archive.errors import Invalid, NotFound
from heaterapp.archive.shapes import KINDS, Organisation

DEFAULT_PREFIXES = {"certificate": "C", "correction_list": "L", "findings_report": "F"}
LONGEST = {"slug": 64, "name": 200, "licence": 100, "phone": 100, "address": 300}
LARGEST_SETTINGS = 100_000
_table = tables.organisation


class Organisations:
    """Read and write organisations; there is always at least the default one."""

    def __init__(self, database: Database):
        self._database = database

    def default(self) -> Organisation:
        """Return the first organisation, made on the first call."""
        first = select(_table).order_by(_table.c.organisation).limit(1)
        with self._database.read() as connection:
            row = connection.execute(first).mappings().first()
        if row is None:
            with self._database.write() as connection:
                row = connection.execute(first).mappings().first() or _add(
                    connection, {"slug": "main", "name": "", "licence": "", "phone": "", "address": ""}, {}
                )
        return from_row(row)

    def add(
        self,
        slug: str,
        name: str,
        licence: str = "",
        phone: str = "",
        address: str = "",
        settings: dict[str, Any] | None = None,
    ) -> Organisation:
        """Make an organisation with its counters and its empty log. Raises Invalid."""
        given = {"slug": slug, "name": name, "licence": licence, "phone": phone, "address": address}
        kept = {key: checking.line(key, value, LONGEST[key]) for key, value in given.items()}
        with self._database.write() as connection:
            if connection.execute(select(_table).where(_table.c.slug == kept["slug"])).first():
                raise Invalid("slug", "a name no other organisation has")
            row = _add(connection, kept, _checked(connection, None, settings or {}))
        return from_row(row)

    def get(self, organisation: int) -> Organisation:
        with self._database.read() as connection:
            return read_organisation(connection, organisation)

    def by_slug(self, slug: str) -> Organisation:
        with self._database.read() as connection:
            row = connection.execute(select(_table).where(_table.c.slug == slug)).mappings().first()
        if row is None:
            raise NotFound("No such organisation.")
        return from_row(row)

    def save(self, organisation: int, **changes: str | None) -> Organisation:
        """Change name, licence, phone or address; what was issued keeps the old ones."""
        kept = {
            key: checking.line(key, text, LONGEST[key]) for key, text in changes.items() if text is not None
        }
        with self._database.write() as connection:
            read_organisation(connection, organisation)
            if kept:
                connection.execute(update(_table).where(_table.c.organisation == organisation).values(kept))
            return read_organisation(connection, organisation)

    def save_settings(self, organisation: int, changes: dict[str, Any]) -> Organisation:
        """Merge `changes` into the settings; None removes a key.

        `prefixes` (kind to prefix of its numbers) is checked: no prefix may be
        shared with, or ever have been used by, another kind.
        """
        with self._database.write() as connection:
            merged = {**read_organisation(connection, organisation).settings, **changes}
            merged = {key: value for key, value in merged.items() if value is not None}
            text = _checked(connection, organisation, merged)
            connection.execute(
                update(_table).where(_table.c.organisation == organisation).values(settings=canonical(text))
            )
            return read_organisation(connection, organisation)


def prefixes(settings: Any) -> dict[str, str]:
    """Return every kind's number prefix, the settings' own before the usual ones."""
    return {**DEFAULT_PREFIXES, **settings.get("prefixes", {})}


def read_organisation(connection: Connection, organisation: int) -> Organisation:
    row = connection.execute(select(_table).where(_table.c.organisation == organisation)).mappings().first()
    if row is None:
        raise NotFound("No such organisation.")
    return from_row(row)


def _checked(connection: Connection, organisation: int | None, settings: dict[str, Any]) -> dict[str, Any]:
    try:
        if len(canonical(settings)) > LARGEST_SETTINGS:
            raise Invalid("settings", f"at most {LARGEST_SETTINGS} characters of JSON")
    except (TypeError, ValueError):
        raise Invalid("settings", "JSON") from None
    own = settings.get("prefixes", {})
    if not isinstance(own, dict) or not set(own) <= set(KINDS):
        raise Invalid("prefixes", "a prefix for each of " + ", ".join(KINDS))
    chosen = prefixes({"prefixes": {kind: checking.prefix(text) for kind, text in own.items()}})
    if len(set(chosen.values())) < len(KINDS):
        raise Invalid("prefixes", "a different prefix for each kind")
    for kind, prefix in chosen.items():
        used = select(tables.record.c.id).where(
            tables.record.c.organisation == organisation,
            tables.record.c.kind != kind,
            tables.record.c.number.startswith(prefix + "-", autoescape=True),
        )
        if connection.execute(used.limit(1)).first():
            raise Invalid("prefixes", f"{prefix} has numbered another kind already")
    return settings


def _add(connection: Connection, kept: dict[str, str], settings: dict[str, Any]) -> RowMapping:
    made = connection.execute(insert(_table).values(settings=canonical(settings), **kept))
    organisation = made.inserted_primary_key[0]
    connection.execute(
        insert(tables.counter), [{"organisation": organisation, "kind": kind, "last": 0} for kind in KINDS]
    )
    connection.execute(insert(tables.log_head).values(organisation=organisation, seq=0, digest=EMPTY_HEAD))
    return connection.execute(select(_table).where(_table.c.organisation == organisation)).mappings().one()


def from_row(row: Mapping[str, Any]) -> Organisation:
    return Organisation(
        id=row["organisation"],
        slug=row["slug"],
        name=row["name"],
        licence=row["licence"],
        phone=row["phone"],
        address=row["address"],
        settings=json.loads(row["settings"]),
    )
