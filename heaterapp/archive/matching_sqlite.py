"""SQLite's word index asked for the newest records that have the words."""

from collections.abc import Mapping, Sequence
from functools import lru_cache
from itertools import chain
from typing import Any

from sqlalchemy import ColumnElement, Connection, Select, and_, bindparam, column, or_, select, table, text

from heaterapp.archive.tables import record
from heaterapp.archive.words import Word, kind_word, organisation_word

MOST_OTHERS = 1000
"""So many of other firms' records are passed by before the firm's own word is asked for."""
AT_A_TIME = 60
_COMMON, _IS_COMMON = kind_word("certificate"), record.c.kind == "certificate"
_indexed = table("finding_words", column("rowid"))
_between = (_indexed.c.rowid >= bindparam("lowest"), _indexed.c.rowid < bindparam("before"))


class Search:
    """One question to the word index of the connection's database."""

    def __init__(
        self,
        connection: Connection,
        words: Sequence[Word],
        any_of: Sequence[Word],
        only: tuple[ColumnElement, ...],
        asked: Mapping[str, Any],
    ):
        rare = [word for word in words if word.text != _COMMON]
        if len(rare) < len(words) and (rare or any_of):
            # The word of nearly every record is read along all the way for nothing: its row says it too.
            words, only = rare, (*only, _IS_COMMON)
        self._connection, self._only, self._asked = connection, only, asked
        self._own = _quoted(Word(organisation_word(asked["firm"]), begins=False))
        self._match = [_quoted(word) for word in words]
        self._match += ["(" + " OR ".join(map(_quoted, any_of)) + ")"] if any_of else []

    def newest(self, before: int, limit: int) -> list[int]:
        """Return at most so many ids below `before`, newest first.

        The index reads the whole of a firm's word for every rare word beside it, half of a million for
        one of two firms. So it is looked through without, until too many found are other firms'. Of a
        firm among many its word is the rare one: then it is asked for too.
        """
        if not self._match:
            return self._with_own_word(before, limit)
        asked = {**self._asked, "match": " AND ".join(self._match), "before": before}
        found, others, hit = [], 0, before
        with self._connection.execute(_of_all(self._only), asked) as rows:
            # Some at a time: to ask for each by itself takes as long as to find it.
            for hit, firm in chain.from_iterable(rows.partitions(AT_A_TIME)):
                if firm is None:
                    others += 1
                else:
                    found.append(hit)
                if len(found) == limit or others == MOST_OTHERS:
                    break
            else:
                return found
        return found + self._with_own_word(hit, limit - len(found)) if len(found) < limit else found

    def _with_own_word(self, before: int, limit: int) -> list[int]:
        match = " AND ".join([self._own, *self._match])
        asked = {**self._asked, "match": match, "before": before, "limit": limit}
        return [row[0] for row in self._connection.execute(_of_firm(self._only), asked)]


# To build a statement takes longer than to answer it; conditions are kept by what they are.
@lru_cache(maxsize=64)
def _of_firm(only: tuple[ColumnElement, ...]) -> Select:
    hit = _indexed.c.rowid
    query = select(hit).where(text("finding_words MATCH :match"), *_between)
    if only:
        query = query.where(record.c.id == hit, *only)
    return query.order_by(hit.desc()).limit(bindparam("limit"))


@lru_cache(maxsize=64)
def _of_all(only: tuple[ColumnElement, ...]) -> Select:
    """Ids that match, newest first: all other firms' without a firm, its own that fit the conditions."""
    hit = _indexed.c.rowid
    mine = and_(record.c.organisation == bindparam("firm"), record.c.id == hit)
    query = select(hit, record.c.organisation).select_from(_indexed.outerjoin(record, mine))
    query = query.where(text("finding_words MATCH :match"), *_between)
    if only:
        query = query.where(or_(record.c.id.is_(None), and_(*only)))
    return query.order_by(hit.desc())


def _quoted(word: Word) -> str:
    return f'"{word.text}"{"*" if word.begins else ""}'
