"""Verify at start: the newest part of every chain and the records it names, however long the archive is."""

from collections.abc import Sequence
from typing import Any

from sqlalchemy import Connection, select

from heaterapp.archive import office_tables, tables
from heaterapp.archive.audit import check_entry, check_heads
from heaterapp.archive.audit_content import Content
from heaterapp.archive.canonical import EMPTY_HEAD
from heaterapp.archive.database import Database
from heaterapp.archive.dialect import reading_damaged, schema_faults
from heaterapp.archive.shapes import Fault, Verified

ENTRIES = 100
"""Log entries looked at in each organisation: some fifty papers."""


class Recent:
    """Reads the ends of the chains and changes nothing."""

    def __init__(self, database: Database):
        self._database = database

    def verify_recent(self, entries: int = ENTRIES) -> Verified:
        """Check guards, heads and each organisation's last log entries, and the records these name.

        entries  1 or more, in each organisation

        Leaves out every older record, the rulesets, the shares, and the file as a whole: see `verify`.
        """
        faults: list[Fault] = []
        seen = 0
        named: set[int] = set()
        with self._database.read() as connection, reading_damaged(connection):
            schema = schema_faults(connection, tables.RECORDED + office_tables.RECORDED, whole=False)
            faults += [Fault("schema", name, "definition", what) for name, what in schema]
            ends: dict[int, tuple[int, str]] = {}
            firms = connection.execute(select(tables.organisation.c.organisation)).scalars().all()
            for organisation in firms:
                tail = _tail(connection, organisation, entries)
                seen += len(tail)
                named |= {row.record for row in tail if row.record is not None}
                _check_tail(tail, entries, faults)
                if tail:
                    ends[organisation] = (tail[-1].seq, tail[-1].digest)
            check_heads(connection, ends, faults)
            content = Content(connection, _erased(connection, firms, named), faults)
            content.check_some(named)
        return Verified(seen, content.records, content.payloads, 0, 0, tuple(faults))


def _tail(connection: Connection, organisation: int, entries: int) -> list[Any]:
    log = tables.log
    newest = select(log).where(log.c.organisation == organisation).order_by(log.c.seq.desc())
    return connection.execute(newest.limit(entries + 1)).all()[::-1]


def _check_tail(tail: list[Any], entries: int, faults: list[Fault]) -> None:
    # One entry more was read than is looked at: it only gives the one after it its place.
    whole = len(tail) <= entries
    seq, previous = (0, EMPTY_HEAD) if whole else (tail[0].seq, tail[0].digest)
    for row in tail if whole else tail[1:]:
        check_entry(row, seq, previous, faults)
        seq, previous = row.seq, row.digest


def _erased(connection: Connection, firms: Sequence[int], named: set[int]) -> set[tuple[int, int]]:
    log = tables.log
    theirs = (log.c.organisation.in_(firms), log.c.record.in_(named))
    query = select(log.c.organisation, log.c.record).where(log.c.act == "erase", *theirs)
    return {(row.organisation, row.record) for row in connection.execute(query)}
