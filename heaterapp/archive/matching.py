"""Which records have the words asked for: SQLite's and PostgreSQL's own ways to ask their word index."""

from collections.abc import Mapping, Sequence
from datetime import date
from functools import cache, lru_cache
from typing import Any
from zoneinfo import ZoneInfo

from sqlalchemy import (
    JSON,
    ColumnElement,
    Connection,
    Select,
    and_,
    bindparam,
    cast,
    exists,
    func,
    literal_column,
    not_,
    or_,
    select,
    text,
)

from heaterapp import firm_days
from heaterapp.archive.tables import finding, record
from heaterapp.archive.words import Word


def ids_with_words(
    connection: Connection,
    words: list[Word],
    before: int,
    limit: int,
    only: Sequence[ColumnElement] = (),
    any_of: Sequence[Word] = (),
    asked: Mapping[str, Any] | None = None,
) -> list[int]:
    """Return at most `limit` record ids below `before` that have all the words, newest first.

    `only` are further conditions on the record's row, `asked` the values they ask for by name; of
    `any_of`, where given, one word is enough. Words hold letters, digits and the mark of our own
    tokens only, and are quoted as well.
    """
    write, either, both = _SQLITE if connection.dialect.name == "sqlite" else _POSTGRES
    match = [write(word) for word in words]
    match += ["(" + either.join(map(write, any_of)) + ")"] if any_of else []
    values = {"match": both.join(match), "before": before, "limit": limit, **(asked or {})}
    found = connection.execute(_statement(connection.dialect.name, tuple(only)), values)
    return [row[0] for row in found]


@lru_cache(maxsize=64)
def _statement(dialect: str, only: tuple[ColumnElement, ...]) -> Select:
    # To build a statement takes longer than to answer it; conditions are kept by what they are.
    if dialect == "sqlite":
        hit: ColumnElement = literal_column("finding_words.rowid")
        query = select(hit).select_from(text("finding_words")).where(text("finding_words MATCH :match"))
    else:
        hit = literal_column("finding.record")
        has_all = "array_to_tsvector(string_to_array(finding.words, ' ')) @@ CAST(:match AS tsquery)"
        query = select(hit).select_from(text("finding")).where(text(has_all))
    if only:
        query = query.where(record.c.id == hit, *only)
    return query.where(hit < bindparam("before")).order_by(hit.desc()).limit(bindparam("limit"))


@cache
def within(dialect: str) -> ColumnElement:
    """The condition, on a record's row, that its work was done between two days, both with.

    Where no day of the work is known, the day of issue counts. It asks for what `days_asked` gives.
    """
    dated = finding.alias("dated")
    worked = func.json_extract(dated.c.facts, "$.work_date")
    if dialect != "sqlite":
        worked = cast(dated.c.facts, JSON)["work_date"].as_string()
    mine = dated.c.record == record.c.id
    known = exists().where(mine, worked != "")
    done = exists().where(mine, worked.between(bindparam("since"), bindparam("until")))
    issued = and_(record.c.issued_at >= bindparam("begun"), record.c.issued_at < bindparam("ended"))
    return or_(done, and_(issued, not_(known)))


def days_asked(since: date, until: date, zone: ZoneInfo) -> dict[str, str]:
    """Return the values that `within` asks for; days of issue are those of the firm's `zone`."""
    moments = {"begun": firm_days.begin_of(since, zone), "ended": firm_days.end_of(until, zone)}
    return {"since": since.isoformat(), "until": until.isoformat(), **moments}


def _sqlite_word(word: Word) -> str:
    return f'"{word.text}"{"*" if word.begins else ""}'


def _postgres_word(word: Word) -> str:
    return f"'{word.text}'{':*' if word.begins else ''}"


_SQLITE = (_sqlite_word, " OR ", " AND ")
_POSTGRES = (_postgres_word, " | ", " & ")
