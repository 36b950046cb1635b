"""The jobs that no paper was issued for, found on the desk's lines by words and by whose they are."""

from __future__ import annotations

from sqlalchemy import ColumnElement, Connection, select

from heaterapp.archive import office_tables, tables
from heaterapp.archive.desk_board import having
from heaterapp.archive.words import Word, loosened, typed_words

_record, _line = tables.record, office_tables.desk_line


def unissued(connection: Connection, organisation: int, text: str, installer: int | None) -> list[str]:
    """Return the ids of an organisation's drafts without a paper, in order.

    text       words that each must have, as the desk is searched; all where empty
    installer  whose they are; everybody's where None
    """
    typed = typed_words(text)
    if text.strip() and not typed:
        return []
    looser = loosened(typed)
    found = _found(connection, organisation, typed, installer)
    if not found and looser and looser != typed:
        found = _found(connection, organisation, looser, installer)
    return found


def _found(connection: Connection, organisation: int, typed: list[Word], installer: int | None) -> list[str]:
    own = (_record.c.organisation == organisation, _record.c.job_id == _line.c.job_id)
    issued = select(_record.c.id).where(*own).exists()
    asked: list[ColumnElement] = [_line.c.organisation == organisation, _line.c.state == "draft", ~issued]
    if installer is not None:
        asked.append(_line.c.installer == installer)
    query = select(_line.c.job_id).where(*asked, *having(typed)).order_by(_line.c.job_id)
    return list(connection.execute(query).scalars())
