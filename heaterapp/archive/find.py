"""Finding: one box over everything a record is known by, newest first."""

from collections.abc import Mapping
from typing import Any

from sqlalchemy import ColumnElement, not_

from heaterapp.archive import checking, words
from heaterapp.archive.database import Database
from heaterapp.archive.dialect import ids_with_words
from heaterapp.archive.hits import read_hits
from heaterapp.archive.shapes import KINDS, Facts, Page
from heaterapp.archive.standing import is_finished, is_replaced, is_void
from heaterapp.archive.words import Word

NEWEST = 2**62
LARGEST_PAGE = 200
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
        finished: bool = False,
        after: int | None = None,
        limit: int = 50,
    ) -> Page:
        """Return the records that have every word of `text`, newest first; all of them for no text.

        Any text is safe. When nothing has every word, directions, street kinds and
        single letters are left out and it is tried once more. `after` is the `next`
        of the page before, `limit` 1 to 200. `state` is current, replaced or void; with
        `finished` only records whose papers are stored.
        """
        own = own_words(organisation, kind, person)
        typed = words.typed_words(text)
        if not typed and text.strip():
            return Page((), None)
        limit = max(1, min(limit, LARGEST_PAGE))
        before = NEWEST if after is None else max(0, min(after, NEWEST))
        looser = words.loosened(typed)
        only = [*([is_finished()] if finished else []), *conditions_of(state)]
        with self._database.read() as connection:
            ids = ids_with_words(connection, own + typed, before, limit + 1, only)
            if not ids and looser and looser != typed:
                # Every word may stand on a record in another state: then nothing is left out.
                exact = only and ids_with_words(connection, own + typed, before, 1)
                ids = [] if exact else ids_with_words(connection, own + looser, before, limit + 1, only)
            hits = read_hits(connection, organisation, ids[:limit])
        return Page(tuple(hits), ids[limit - 1] if len(ids) > limit else None)


def own_words(organisation: int, kind: str | None, person: int | None) -> list[Word]:
    """The words of ours that every record has that belongs here; raises Invalid."""
    own = [words.organisation_word(organisation)]
    own += [words.kind_word(checking.choice("kind", kind, KINDS))] if kind is not None else []
    own += [words.installer_word(person)] if person is not None else []
    return [Word(text, begins=False) for text in own]


def conditions_of(state: str | None) -> list[ColumnElement]:
    """The conditions on a record's row that it is in this state, none for any; raises Invalid."""
    if state is None:
        return []
    if checking.choice("state", state, STATES) == "void":
        return [is_void()]
    return [not_(is_void()), is_replaced() if state == "replaced" else not_(is_replaced())]


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
