"""PostgreSQL asked for the newest records that have the words.

Its planner guesses how many records have a word, and where it guesses wrong it works out the words
of every record: a second among 100,000. So the way is told to it here. The firm's newest are read
first, which answers what is common; then the word index is asked, and only what it names is looked at.
"""

from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import Any

from sqlalchemy import (
    ARRAY,
    ColumnElement,
    Connection,
    Integer,
    Select,
    any_,
    bindparam,
    or_,
    select,
    text,
)

from heaterapp.archive.columns import LARGEST_WHOLE
from heaterapp.archive.postgresql import by_word_index
from heaterapp.archive.reading_words import has, pattern
from heaterapp.archive.tables import finding, record
from heaterapp.archive.words import Word, organisation_word

READ, READ_ON, MOST_READ = 1000, 12_000, 64_000
"""How many of the firm's newest are read in one go: at first, once more beside words, and at most."""
NAMED, LOOKED_AT = 3000, 512
"""How many the word index names in one go, and how many have their conditions looked at first."""


class Search:
    """One question to the records of the connection's database."""

    def __init__(
        self,
        connection: Connection,
        words: Sequence[Word],
        any_of: Sequence[Word],
        only: tuple[ColumnElement, ...],
        asked: Mapping[str, Any],
    ):
        self._connection, self._only = connection, only
        self._reading = _reading(len(words), len(any_of))
        own = Word(organisation_word(asked["firm"]), begins=False)
        match = [_lexeme(word) for word in (own, *words)]
        match += ["(" + " | ".join(map(_lexeme, any_of)) + ")"] if any_of else []
        patterns = {f"w{at}": pattern(word) for at, word in enumerate(words)}
        patterns |= {f"a{at}": pattern(word) for at, word in enumerate(any_of)}
        self._asked = {**asked, **patterns, "match": " & ".join(match)}
        self._words = bool(words)

    def newest(self, before: int, limit: int) -> list[int]:
        """Return at most so many ids below `before`, newest first."""
        found: list[int] = []
        before, read, reading_on = min(before, LARGEST_WHOLE), READ, True
        lowest = self._asked["lowest"]
        while True:
            asked = {**self._asked, "before": before, "skipped": read - 1}
            floor = self._connection.execute(_nth_newest, asked).scalar() or lowest
            # A record issued since is one more of them: the last is not cut off for it.
            some = LARGEST_WHOLE if self._only else limit - len(found)
            having = self._ids(self._reading, before=before, floor=floor, limit=some)
            found += self._fitting(having, limit - len(found))
            before = floor
            if len(found) == limit or floor == lowest:
                return found
            # As many more as will do if the next are like these.
            more = max(READ, (limit - len(found)) * read * 5 // (len(found) * 4)) if found else MOST_READ
            # Where days bound them, they may soon be all.
            more = min(more, READ_ON) if lowest else more
            if self._words and (more > READ_ON or not reading_on):
                return found + self._named(before, limit - len(found))
            read, reading_on = min(more, MOST_READ), False

    def _named(self, before: int, limit: int) -> list[int]:
        """Take what the word index names."""
        some = NAMED if self._only else limit
        found: list[int] = []
        while True:
            with by_word_index(self._connection):
                named = self._ids(_named, before=before, limit=some)
            found += self._fitting(named, limit - len(found))
            if len(found) == limit or len(named) < some:
                return found
            before, some = named[-1], some * 4

    def _fitting(self, having: list[int], limit: int) -> list[int]:
        """Those that fit the conditions, which are looked at as far as the page needs."""
        if not self._only:
            return having[:limit]
        found: list[int] = []
        at, step = 0, LOOKED_AT
        while at < len(having) and len(found) < limit:
            these, at, step = having[at : at + step], at + step, step * 2
            found += self._ids(_fitting(self._only), these=these, limit=limit - len(found))
        return found

    def _ids(self, query: Select, **asked: Any) -> list[int]:
        return [row[0] for row in self._connection.execute(query, {**self._asked, **asked})]


_of_firm = record.c.organisation == bindparam("firm")
_nth_newest = (
    select(record.c.id)
    .where(_of_firm, record.c.id >= bindparam("lowest"), record.c.id < bindparam("before"))
    .order_by(record.c.id.desc())
    .offset(bindparam("skipped"))
    .limit(1)
)
# Reckoned with, so that no index but that of the words has anything to say.
_number = finding.c.record + 0
_named = (
    select(finding.c.record)
    .where(text("array_to_tsvector(string_to_array(finding.words, ' ')) @@ CAST(:match AS tsquery)"))
    .where(_number >= bindparam("lowest"), _number < bindparam("before"))
    .order_by(_number.desc())
    .limit(bindparam("limit"))
)


# To build a statement takes longer than to answer it; conditions are kept by what they are.
@lru_cache(maxsize=64)
def _reading(words: int, any_of: int) -> Select:
    """The firm's records from `floor` to `before` that have the words, each read for itself."""
    every = [has("postgresql", f"w{at}") for at in range(words)]
    one_of = [has("postgresql", f"a{at}") for at in range(any_of)]
    query = select(record.c.id).join(finding, finding.c.record == record.c.id)
    # Said of both tables, so that no planner thinks of reading the whole of one.
    for number in (record.c.id, finding.c.record):
        query = query.where(number >= bindparam("floor"), number < bindparam("before"))
    query = query.where(_of_firm)
    query = query.where(*every, or_(*one_of)) if one_of else query.where(*every)
    return query.order_by(record.c.id.desc()).limit(bindparam("limit"))


@lru_cache(maxsize=64)
def _fitting(only: tuple[ColumnElement, ...]) -> Select:
    """Those of `these` that fit the conditions."""
    these = record.c.id == any_(bindparam("these", type_=ARRAY(Integer)))
    return select(record.c.id).where(these, *only).order_by(record.c.id.desc()).limit(bindparam("limit"))


def _lexeme(word: Word) -> str:
    return f"'{word.text}'{':*' if word.begins else ''}"
