"""Copies that were handed out: who asked, for what, and who gave it; each an entry of the log."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, select

from heaterapp.archive import checking, log, said, tables
from heaterapp.archive.database import Database
from heaterapp.archive.errors import NotFound
from heaterapp.archive.people import read_person

ACT = "copy"
LONGEST = 200


@dataclass(frozen=True)
class Copy:
    """One handing out, as the log has it. `key` is its place there."""

    key: int
    record: int
    at: str
    by: int | None
    told: Mapping[str, Any]
    """`what`, `asked_by`, `purpose`, `consent` yes or no; `told_void` and `told_replaced` yes where told."""


class Copies:
    """The log's entries of copies."""

    def __init__(self, database: Database):
        self._database = database

    def give(
        self,
        organisation: int,
        record: int,
        person: int,
        what: str,
        asked_by: str,
        purpose: str,
        consent: bool,
        told_void: bool = False,
        key: str = "",
        told_replaced: bool = False,
    ) -> int:
        """Log that a copy is handed out, and return its place in the log. Raises NotFound, Invalid.

        The same copy under the same key is given once: its place is returned again.

        what      which view of the record, a word of the caller's
        asked_by  who asked, purpose  for what: a line of 1 to 200 characters each; erased with the record
        consent   whether the owner agreed
        told_void whether the receiver was told that the paper is void
        told_replaced  whether the receiver was told that another paper stands in its place
        key       of the form it was asked by, 8 to 100 letters, digits or _ . : -; empty: a copy each time
        """
        told = {
            "what": checking.line("what", what, 40, empty=False),
            "asked_by": checking.line("asked_by", asked_by, LONGEST, empty=False),
            "purpose": checking.line("purpose", purpose, LONGEST, empty=False),
            "consent": "yes" if consent else "no",
        }
        told |= {"told_void": "yes"} if told_void else {}
        told |= {"told_replaced": "yes"} if told_replaced else {}
        told |= {"key": checking.key(key)} if key else {}
        now = self._database.now()
        known = select(tables.record.c.id).where(
            tables.record.c.organisation == organisation, tables.record.c.id == record
        )
        with self._database.write() as connection:
            place: int = log.lock(connection, organisation).seq + 1
            read_person(connection, organisation, person)
            if connection.execute(known).first() is None:
                raise NotFound("No such record.")
            words = {name: told.pop(name) for name in ("asked_by", "purpose")}
            given = _given_before(connection, organisation, record, told, words) if key else None
            if given is not None:
                return given
            log.append(connection, organisation, ACT, now, person, record, told, words)
        return place

    def given(self, organisation: int, record: int, key: int) -> Copy:
        """Return one copy of a record by its place in the log. Raises NotFound."""
        table = tables.log
        this = (table.c.organisation == organisation, table.c.seq == key, table.c.act == ACT)
        with self._database.read() as connection:
            row = connection.execute(select(table).where(*this, table.c.record == record)).first()
            if row is None:
                raise NotFound("No such copy.")
            words = said.words_of(connection, [(organisation, row.seq)])
        told = {**json.loads(row.body), **words.get((organisation, row.seq), {})}
        # What an import brought may say anything.
        if not all(isinstance(told.get(name), str) for name in ("what", "asked_by", "purpose")):
            raise NotFound("No such copy.")
        return Copy(row.seq, row.record, row.at, row.actor, told)


def _given_before(
    connection: Connection, organisation: int, record: int, told: Mapping[str, str], words: Mapping[str, str]
) -> int | None:
    table = tables.log
    entries = select(table.c.seq, table.c.body).where(
        table.c.organisation == organisation, table.c.record == record, table.c.act == ACT
    )
    for row in connection.execute(entries.order_by(table.c.seq)):
        at = (organisation, row.seq)
        # Another receiver under the key of a page that one went back to is another copy.
        if _says(row.body, told) and said.words_of(connection, [at]).get(at) == words:
            return int(row.seq)
    return None


def _says(body: str, told: Mapping[str, str]) -> bool:
    # What an import brought was written elsewhere.
    try:
        read = json.loads(body)
    except ValueError:
        return False
    return isinstance(read, dict) and all(read.get(name) == value for name, value in told.items())
