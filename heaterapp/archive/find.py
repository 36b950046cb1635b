"""Finding: one box over everything a record is known by, newest first."""

from collections.abc import Mapping
from datetime import date, timedelta
from functools import cache, lru_cache
from typing import Any

from sqlalchemy import ColumnElement, Connection, Select, bindparam, not_, select

from heaterapp.archive import checking, office_tables, tables, words
from heaterapp.archive.columns import LARGEST_WHOLE
from heaterapp.archive.database import Database
from heaterapp.archive.hits import read_hits
from heaterapp.archive.matching import days_asked, ids_with_words, within
from heaterapp.archive.organisations import zone_of
from heaterapp.archive.reading_words import has, pattern
from heaterapp.archive.shapes import KINDS, Facts, Hit, Page
from heaterapp.archive.standing import is_finished, is_replaced, is_void
from heaterapp.archive.words import Word

NEWEST = 2**62
LARGEST_PAGE = 200
Days = tuple[date, date]
DAY = timedelta(days=1)
"""The words hold days of issue as UTC has them: by this much a firm's own may be another."""
FIRST_DAY, LAST_DAY = date(1950, 1, 1), date(2099, 12, 31)
STATES = ("current", "replaced", "void")


class Find:
    """Searches the words of an organisation's records."""

    def __init__(self, database: Database):
        self._database = database

    def find(
        self,
        organisation: int,
        text: str = "",
        *,
        kind: str | None = None,
        person: int | None = None,
        state: str | None = None,
        since: str | None = None,
        until: str | None = None,
        finished: bool = False,
        after: int | None = None,
        limit: int = 50,
    ) -> Page:
        """Return the records that have every word of `text`, newest first; all of them for no text.

        Any text is safe. When nothing has every word, directions, street kinds and
        single letters are left out and it is tried once more. `after` is the `next`
        of the page before, `limit` 1 to 200. `state` is current, replaced or void; with
        `finished` only records whose papers are stored. `since` and `until` are ISO dates:
        the work was done on one of the days between, both with; where no day of the work
        is known, the paper was issued on one of them as the firm counts its days.
        Raises Invalid, naming what cannot be read.
        """
        own = own_words(kind, person)
        days = days_of(since, until)
        typed = words.typed_words(text)
        if (not typed and text.strip()) or (days and days[0] > days[1]):
            return Page((), None)
        limit = max(1, min(limit, LARGEST_PAGE))
        before = NEWEST if after is None else max(0, min(after, NEWEST))
        looser = words.loosened(typed)
        only = [] if state == "void" else conditions_of(state)
        only = [*only, is_finished()] if finished else only
        with self._database.read() as connection:
            search = _Search(connection, organisation, days, state == "void", limit)
            # A house number or the end of a serial may look like a day: the words only come near.
            only = [*only, within(connection.dialect.name)] if days else only
            hits = search.hits(own + typed, before, only)
            if not hits and looser and looser != typed:
                # Every word may stand on a record in another state: then nothing is left out.
                exact = (only or search.void) and ids_with_words(
                    connection, organisation, own + typed, before, 1
                )
                hits = [] if exact else search.hits(own + looser, before, only)
        return Page(tuple(hits[:limit]), hits[limit - 1].record if len(hits) > limit else None)


class _Search:
    """One search within one transaction, by an index for what is rare as for what is common."""

    def __init__(
        self,
        connection: Connection,
        organisation: int,
        days: tuple[date, date] | None,
        void: bool,
        limit: int,
    ):
        self._connection, self._organisation, self._limit = connection, organisation, limit
        self.void = void
        self._any_of = words.near(days[0] - DAY, days[1] + DAY) if days and not void else []
        self._asked = days_asked(*days, zone_of(connection, organisation)) if days else {}

    def hits(self, wanted: list[Word], before: int, only: list[ColumnElement]) -> list[Hit]:
        """Return the hits, newest first, one more than the page holds when there are more."""
        take = self._void_ids if self.void else self._ids
        return read_hits(self._connection, self._organisation, take(wanted, before, only))

    def _ids(self, wanted: list[Word], before: int, only: list[ColumnElement]) -> list[int]:
        limit, any_of = self._limit + 1, self._any_of
        return ids_with_words(
            self._connection, self._organisation, wanted, before, limit, only, any_of, self._asked
        )

    def _void_ids(self, wanted: list[Word], before: int, only: list[ColumnElement]) -> list[int]:
        # Void ones are few among very many: they are read, and not the many looked through for them.
        query = _voids(self._connection.dialect.name, len(wanted), tuple(only))
        asked = {**self._asked, "firm": self._organisation, "limit": self._limit + 1}
        asked |= {f"word{at}": pattern(word) for at, word in enumerate(wanted)}
        asked["before"] = min(before, LARGEST_WHOLE)
        return list(self._connection.execute(query, asked).scalars())


@lru_cache(maxsize=64)
def _voids(dialect: str, words: int, only: tuple[ColumnElement, ...]) -> Select:
    """The statement that reads void records that have so many words, newest first."""
    void, finding, record = office_tables.void, tables.finding, tables.record
    query = select(void.c.record).join(finding, finding.c.record == void.c.record)
    if only:
        query = query.join(record, record.c.id == void.c.record).where(*only)
    query = query.where(*(has(dialect, f"word{at}") for at in range(words)))
    query = query.where(void.c.organisation == bindparam("firm"), void.c.record < bindparam("before"))
    return query.order_by(void.c.record.desc()).limit(bindparam("limit"))


def days_of(since: str | None, until: str | None) -> Days | None:
    """The first and the last of the days asked for, None where none are; raises Invalid."""
    if not since and not until:
        return None
    first = date.fromisoformat(checking.iso_date("since", since)) if since else FIRST_DAY
    last = date.fromisoformat(checking.iso_date("until", until)) if until else LAST_DAY
    return max(first, FIRST_DAY), min(last, LAST_DAY)


def own_words(kind: str | None, person: int | None) -> list[Word]:
    """The words of ours that every record has of this kind and installer; raises Invalid."""
    own = [words.kind_word(checking.choice("kind", kind, KINDS))] if kind is not None else []
    own += [words.installer_word(person)] if person is not None else []
    return [Word(text, begins=False) for text in own]


def conditions_of(state: str | None) -> list[ColumnElement]:
    """The conditions on a record's row that it is in this state, none for any; raises Invalid."""
    return [] if state is None else list(_in_state(checking.choice("state", state, STATES)))


@cache
def _in_state(state: str) -> tuple[ColumnElement, ...]:
    if state == "void":
        return (is_void(),)
    if state == "replaced":
        return is_replaced(), not_(is_void())
    return not_(is_replaced()), not_(is_void()), is_finished()


def words_of(row: Mapping[str, Any], facts: Facts, installer: int | None) -> str:
    """Return the words to index of a record's row and what it is found by."""
    own = [words.organisation_word(row["organisation"]), words.kind_word(row["kind"])]
    if installer is not None:
        own.append(words.installer_word(installer))
    return words.kept_words(
        texts=[facts.address, facts.owner, facts.model, facts.installer],
        marks=[row["number"], facts.serial, facts.model, facts.permit],
        dates=[facts.work_date, row["issued_at"]],
        own=own,
    )
