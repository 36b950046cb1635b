"""Which records have the words asked for: SQLite's and PostgreSQL's own ways to ask their word index."""

from collections.abc import Sequence
from datetime import date

from sqlalchemy import (
    JSON,
    ColumnElement,
    Connection,
    cast,
    exists,
    func,
    literal_column,
    or_,
    select,
    text,
)

from heaterapp.archive.tables import finding, record
from heaterapp.archive.words import Word


def ids_with_words(
    connection: Connection,
    words: list[Word],
    before: int,
    limit: int,
    only: Sequence[ColumnElement] = (),
    any_of: Sequence[Word] = (),
) -> list[int]:
    """Return at most `limit` record ids below `before` that have all the words, newest first.

    `only` are further conditions on the record's row; of `any_of`, where given, one word is enough.
    Words hold letters, digits and the mark of our own tokens only, and are quoted as well.
    """
    if connection.dialect.name == "sqlite":
        asked = [_sqlite_word(word) for word in words]
        asked += ["(" + " OR ".join(map(_sqlite_word, any_of)) + ")"] if any_of else []
        match = " AND ".join(asked)
        hit: ColumnElement = literal_column("finding_words.rowid")
        query = select(hit).select_from(text("finding_words")).where(text("finding_words MATCH :match"))
    else:
        asked = [_postgres_word(word) for word in words]
        asked += ["(" + " | ".join(map(_postgres_word, any_of)) + ")"] if any_of else []
        match = " & ".join(asked)
        hit = literal_column("finding.record")
        has_all = "array_to_tsvector(string_to_array(finding.words, ' ')) @@ CAST(:match AS tsquery)"
        query = select(hit).select_from(text("finding")).where(text(has_all))
    query = query.where(hit < before).order_by(hit.desc()).limit(limit)
    if only:
        query = query.where(record.c.id == hit, *only)
    found = connection.execute(query, {"match": match})
    return [row[0] for row in found]


def within(connection: Connection, since: date, until: date) -> ColumnElement:
    """The condition, on a record's row, that it was issued or its work done between two days, both with."""
    dated = finding.alias("dated")
    worked = func.json_extract(dated.c.facts, "$.work_date")
    if connection.dialect.name != "sqlite":
        worked = cast(dated.c.facts, JSON)["work_date"].as_string()
    days = since.isoformat(), until.isoformat()
    issued = record.c.issued_at.between(days[0], days[1] + "T99")
    return or_(issued, exists().where(dated.c.record == record.c.id, worked.between(*days)))


def _sqlite_word(word: Word) -> str:
    return f'"{word.text}"{"*" if word.begins else ""}'


def _postgres_word(word: Word) -> str:
    return f"'{word.text}'{':*' if word.begins else ''}"
