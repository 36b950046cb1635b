"""Which records have the words asked for, newest first, in the way of the database at hand."""

from collections.abc import Mapping, Sequence
from datetime import date
from functools import cache
from typing import Any
from zoneinfo import ZoneInfo

from sqlalchemy import JSON, ColumnElement, Connection, and_, bindparam, case, cast, func, select

from heaterapp import firm_days
from heaterapp.archive import matching_postgresql, matching_sqlite
from heaterapp.archive.by_days import Days
from heaterapp.archive.tables import finding, record
from heaterapp.archive.words import Word


def ids_with_words(
    connection: Connection,
    organisation: int,
    words: Sequence[Word],
    before: int,
    limit: int,
    only: Sequence[ColumnElement] = (),
    any_of: Sequence[Word] = (),
    asked: Mapping[str, Any] | None = None,
) -> list[int]:
    """Return at most `limit` ids below `before` of the firm's records that have all the words, newest first.

    `only` are further conditions on the record's row, `asked` the values they ask for by name; of
    `any_of`, days that `only` looks at more closely, one word is enough. Words hold letters, digits
    and the mark of our own tokens only, and are quoted as well.
    """
    values = {**(asked or {}), "firm": organisation}
    lowest = 0
    if any_of:
        days = Days(connection, values, before)
        if not words:
            return days.fitting(tuple(only), limit)
        # House numbers and serials that look like one of the days are newer than all of them, and older.
        newest, lowest = days.ends()
        before = min(before, newest + 1)
    way = matching_sqlite if connection.dialect.name == "sqlite" else matching_postgresql
    values["lowest"] = lowest
    return way.Search(connection, words, any_of, tuple(only), values).newest(before, limit)


@cache
def within(dialect: str) -> ColumnElement:
    """The condition, on a record's row, that its work was done between two days, both with.

    Where no day of the work is known, the day of issue counts. It asks for what `days_asked` gives.
    """
    dated = finding.alias("dated")
    worked = func.json_extract(dated.c.facts, "$.work_date")
    if dialect != "sqlite":
        worked = cast(dated.c.facts, JSON)["work_date"].as_string()
    within_days = worked.between(bindparam("since"), bindparam("until"))
    # Facts are read once: true or false where a day of the work is known.
    done = select(case((worked != "", within_days))).where(dated.c.record == record.c.id).scalar_subquery()
    issued = and_(record.c.issued_at >= bindparam("begun"), record.c.issued_at < bindparam("ended"))
    return func.coalesce(done, issued)


def days_asked(since: date, until: date, zone: ZoneInfo) -> dict[str, str]:
    """Return the values that `within` asks for; days of issue are those of the firm's `zone`."""
    moments = {"begun": firm_days.begin_of(since, zone), "ended": firm_days.end_of(until, zone)}
    return {"since": since.isoformat(), "until": until.isoformat(), **moments}
