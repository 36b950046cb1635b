"""An organisation's own amendments to a place: every version is an entry of its log, never an edit.

A set is JSON that the caller has read and that the archive does not look into, but for its
name and version. It holds nobody's personal data, so it stands in the log as it is.
"""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, select

from heaterapp.archive import checking, log, tables
from heaterapp.archive.canonical import canonical
from heaterapp.archive.database import Database
from heaterapp.archive.errors import Invalid, NotFound
from heaterapp.archive.people import read_person

ACT = "amend"
LARGEST = 50_000


@dataclass(frozen=True)
class Version:
    """One version of an organisation's own amendments; `stored` is empty where it withdraws the set."""

    name: str
    version: int
    at: str
    by: int | None
    stored: Mapping[str, Any]

    @property
    def withdrawn(self) -> bool:
        return not self.stored


class Amendments:
    """Reads and adds versions; the newest of a name is the current one until it is withdrawn."""

    def __init__(self, database: Database):
        self._database = database

    def current(self, organisation: int) -> list[Version]:
        """Return the newest version of every set that is not withdrawn, by name."""
        newest = {one.name: one for one in self._all(organisation)}
        return [newest[name] for name in sorted(newest) if not newest[name].withdrawn]

    def versions(self, organisation: int, name: str) -> list[Version]:
        """Return every version of one set, newest first. Raises NotFound."""
        found = [one for one in self._all(organisation) if one.name == name]
        if not found:
            raise NotFound("No such amendments.")
        return found[::-1]

    def save(self, organisation: int, person: int, given: dict[str, Any], after: int = 0) -> Version:
        """Add the next version of the set `given["name"]` as an act of `person`.

        after   the version it was made of, 0 for a first one

        The version number is set here. Raises NotFound; Invalid when another version
        was added meanwhile, or when it is no JSON of at most 50,000 characters.
        """
        return self._add(organisation, person, given.get("name"), after, given)

    def withdraw(self, organisation: int, person: int, name: str, after: int) -> Version:
        """Take a set out of use; its versions stay. Raises NotFound, Invalid."""
        return self._add(organisation, person, name, after, None)

    def _add(
        self, organisation: int, person: int, name: object, after: int, given: dict[str, Any] | None
    ) -> Version:
        kept = checking.line("name", name, 64, empty=False)
        now = self._database.now()
        with self._database.write() as connection:
            log.lock(connection, organisation)
            read_person(connection, organisation, person)
            before = [one for one in _read(connection, organisation) if one.name == kept]
            newest = before[-1].version if before else 0
            if given is None and not before:
                raise NotFound("No such amendments.")
            if newest != after:
                raise Invalid("version", f"version {newest} stands now: look at it, then save again")
            body: dict[str, Any] = {"name": kept, "version": newest + 1}
            body |= {"withdrawn": True} if given is None else {"amendments": {**given, "version": newest + 1}}
            try:
                if len(canonical(body)) > LARGEST:
                    raise Invalid("amendments", f"at most {LARGEST} characters of JSON")
            except (TypeError, ValueError):
                raise Invalid("amendments", "JSON") from None
            log.append(connection, organisation, ACT, now, person, None, body)
            return _read(connection, organisation)[-1]

    def _all(self, organisation: int) -> list[Version]:
        with self._database.read() as connection:
            return _read(connection, organisation)


def _read(connection: Connection, organisation: int) -> list[Version]:
    table = tables.log
    query = select(table.c.at, table.c.actor, table.c.body).where(
        table.c.organisation == organisation, table.c.act == ACT
    )
    found = []
    for row in connection.execute(query.order_by(table.c.seq)):
        body = json.loads(row.body)
        name, version, stored = body.get("name"), body.get("version"), body.get("amendments", {})
        # What an import brought may say anything: such an entry is no version.
        if isinstance(name, str) and isinstance(version, int) and isinstance(stored, dict):
            found.append(Version(name, version, row.at, row.actor, stored))
    return found
