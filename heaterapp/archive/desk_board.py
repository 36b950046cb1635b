"""What needs doing, first; then every job, searched and paged over the desk's narrow rows."""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from datetime import date, timedelta
from itertools import islice
from typing import Any

from sqlalchemy import (
    ColumnElement,
    Connection,
    Row,
    Select,
    and_,
    case,
    func,
    or_,
    select,
    tuple_,
)

from heaterapp.archive import checking, desk_line, office_tables, words
from heaterapp.archive.database import Database
from heaterapp.archive.desk_shapes import OPEN_RESULTS, WARNED_BEFORE, Inspection, Line, Listed
from heaterapp.archive.inspection_items import shape_of
from heaterapp.archive.waiting import is_draft_waiting, is_only_void, is_to_fix, is_uninspected, is_unsigned
from heaterapp.archive.words import Word

_line, _inspection = office_tables.desk_line, office_tables.inspection
FILTERS = (
    "draft", "unsigned", "void", "issued", "unassigned", "permit", "booked", "failed", "final", "lapsing",
    "uninspected", "to_fix", "undated",
)  # fmt: skip
LARGEST_PAGE = 200
BOOKED_AHEAD_DAYS = 7
_by_day = func.coalesce(_line.c.day, "")


class Board:
    """Reads only."""

    def __init__(self, database: Database):
        self._database = database

    def to_do(self, organisation: int, on: str, limit: int = 20) -> dict[str, Listed]:
        """Return what needs doing, each kind with its first `limit` lines and how many there are in all.

        on       today, ISO
        returns  `lapsing` (lapsed, within 30 days, or an inspection is booked after its end, soonest
                 first), `undated` (a permit is issued, and no day says when it lapses), `booked` (today
                 and the next 7 days, and those whose day passed without a result) and `failed` (the last
                 one failed and nothing is booked since, or something of one is still to mend) as
                 (Line, Inspection), `to_fix` (a correction list is signed), `void` (the only paper is void),
                 `unsigned` (the drafts that wait for a signature; its total counts `void` as well),
                 `unassigned` (a draft that is nobody's)
        """
        ahead = _days(on, BOOKED_AHEAD_DAYS)
        draft = (_line.c.state == "draft",)
        own = _inspection.c.organisation == organisation
        visits = (own, _inspection.c.result == "booked", _inspection.c.booked_for <= ahead)
        failed = (_is_to_mend(organisation),)
        with self._database.read() as connection:
            listed = {
                "lapsing": _some(
                    connection, organisation, _lapsing(organisation, on), _line.c.permit_expires_on, limit
                ),
                "undated": _some(
                    connection, organisation, (_is_undated(organisation),), _line.c.opened_at, limit
                ),
                "to_fix": _some(connection, organisation, (is_to_fix(organisation),), _by_day, limit),
                "booked": _visits(connection, organisation, visits, limit),
                "void": _some(connection, organisation, (is_only_void(organisation),), _by_day, limit),
                "unsigned": _some(
                    connection, organisation, (is_draft_waiting(organisation, on),), _by_day, limit
                ),
                "unassigned": _some(
                    connection, organisation, (*draft, _line.c.installer.is_(None)), _line.c.opened_at, limit
                ),
            }  # fmt: skip
            found = _some(connection, organisation, failed, _line.c.opened_at, limit)
            pairs = [(line, _last(connection, organisation, line.job_id)) for line in found.lines]
            unsigned = Listed(listed["unsigned"].lines, listed["unsigned"].total + listed["void"].total)
            return {**listed, "unsigned": unsigned, "failed": Listed(tuple(pairs), found.total)}

    def booked_for(self, organisation: int, job_ids: Sequence[str]) -> dict[str, str]:
        """Return job -> the ISO day its inspection is booked for, of as many jobs as are listed."""
        booked = (
            _inspection.c.organisation == organisation, _inspection.c.result == "booked",
            _inspection.c.job_id.in_(job_ids),
        )  # fmt: skip
        with self._database.read() as connection:
            rows = connection.execute(select(_inspection.c.job_id, _inspection.c.booked_for).where(*booked))
            return dict(rows.all())

    def find(
        self,
        organisation: int,
        text: str = "",
        *,
        on: str,
        state: str | None = None,
        installer: int | None = None,
        after: tuple[str, str] | None = None,
        limit: int = 50,
    ) -> tuple[list[Line], tuple[str, str] | None]:
        """Return the jobs that have every word of `text`, the newest opened first, and the next page's key.

        on     today, ISO, by which a permit lapses
        state  one of FILTERS
        after  the key of the page before, limit 1 to 200

        When nothing has every word, directions, street kinds and single letters are left
        out and it is tried once more. Raises Invalid.
        """
        typed = words.typed_words(text)
        if not typed and text.strip():
            return [], None
        # With words to look for, reading every row in its own order beats any index.
        own = _line.c.organisation + 0 if typed else _line.c.organisation
        where: list[ColumnElement] = [own == organisation, _line.c.state != "erased"]
        if state is not None:
            where.append(and_(*_in_state(checking.choice("state", state, FILTERS), organisation, on)))
        if installer is not None:
            where.append(_line.c.installer == installer)
        if after is not None:
            where.append(tuple_(_line.c.opened_at, _line.c.job_id) < after)
        looser = words.loosened(typed)
        limit = max(1, min(limit, LARGEST_PAGE))
        with self._database.read() as connection:
            rung = _of_phone(connection, organisation, phone_digits(text))
            has = [or_(and_(*having(typed)), _line.c.job_id.in_(rung))] if rung else having(typed)
            found = connection.execute(_page([*where, *has], limit)).all()
            if not found and looser and looser != typed:
                found = connection.execute(_page([*where, *having(looser)], limit)).all()
        last = found[limit - 1] if len(found) > limit else None
        return [line_of(row) for row in found[:limit]], (last.opened_at, last.job_id) if last else None


def phone_digits(text: str) -> str:
    """Return the digits of what may be a phone number, without the country's; nothing for anything else.

    >>> phone_digits("(555) 014-2233"), phone_digits("+1 555 014 2233"), phone_digits("12 Oak Ave 5550142")
    ('5550142233', '5550142233', '')
    """
    digits = re.sub(r"\D", "", text, flags=re.ASCII)
    if not 7 <= len(digits) <= 15 or not re.fullmatch(r"[\d\s().+/-]+", text, re.ASCII):
        return ""
    return digits[1:] if len(digits) == 11 and digits[0] == "1" else digits


def _of_phone(connection: Connection, organisation: int, digits: str) -> list[str]:
    """The jobs for which a visit was booked with a phone that ends in these digits."""
    if not digits:
        return []
    # Four digits stand together however a number is written; the rest is compared here.
    near = _inspection.c.facts.like(f"%{digits[-4:]}%")
    query = select(_inspection.c.job_id, _inspection.c.facts).where(
        _inspection.c.organisation == organisation, near
    )
    rows = connection.execute(query.order_by(_inspection.c.id.desc()))
    rung = (job for job, facts in rows if phone_digits(json.loads(facts).get("phone", "")).endswith(digits))
    return list(dict.fromkeys(islice(rung, LARGEST_PAGE)))


def lines_of(connection: Connection, organisation: int, job_ids: Sequence[str]) -> dict[str, Line]:
    """Return job -> its line, for as many jobs as are listed."""
    found: dict[str, Line] = {}
    for begin in range(0, len(job_ids), LARGEST_PAGE):
        some = job_ids[begin : begin + LARGEST_PAGE]
        query = select(_line).where(_line.c.organisation == organisation, _line.c.job_id.in_(some))
        found |= {row.job_id: line_of(row) for row in connection.execute(query)}
    return found


def line_of(row: Row) -> Line:
    """Return a line's row as it is told."""
    return Line(
        **{name: said for name, said in row._mapping.items() if name not in ("organisation", "words")}
    )


def _some(connection: Connection, organisation: int, where: tuple, order: Any, limit: int) -> Listed:
    own = (_line.c.organisation == organisation, *where)
    query = select(_line).where(*own).order_by(order, _line.c.job_id).limit(limit)
    lines = tuple(line_of(row) for row in connection.execute(query))
    total = len(lines)
    if total == limit:
        total = connection.execute(select(func.count()).select_from(_line).where(*own)).scalar_one()
    return Listed(lines, total)


def _visits(connection: Connection, organisation: int, where: tuple, limit: int) -> Listed:
    query = select(_inspection).where(*where).order_by(_inspection.c.booked_for, _inspection.c.id)
    found = [shape_of(row) for row in connection.execute(query.limit(limit))]
    lines = lines_of(connection, organisation, [one.job_id for one in found])
    total = len(found)
    if total == limit:
        total = connection.execute(select(func.count()).select_from(_inspection).where(*where)).scalar_one()
    return Listed(tuple((lines[one.job_id], one) for one in found), total)


def _last(connection: Connection, organisation: int, job_id: str) -> Inspection:
    of_job = (_inspection.c.organisation == organisation, _inspection.c.job_id == job_id)
    query = select(_inspection).where(*of_job, _inspection.c.result.in_(OPEN_RESULTS))
    open_first = case((_inspection.c.open_items > 0, 0), else_=1)
    return shape_of(connection.execute(query.order_by(open_first, _inspection.c.id.desc()).limit(1)).one())


def _lapsing(organisation: int, on: str) -> tuple[ColumnElement, ...]:
    late = _line.alias("late")
    beyond = (
        select(late.c.job_id)
        .select_from(_inspection)
        .join(late, and_(late.c.organisation == organisation, late.c.job_id == _inspection.c.job_id))
        .where(_inspection.c.organisation == organisation, _inspection.c.result == "booked")
        .where(_inspection.c.booked_for > late.c.permit_expires_on)
    )
    soon = _line.c.permit_expires_on <= _days(on, WARNED_BEFORE)
    return or_(soon, _line.c.job_id.in_(beyond)), _line.c.final_on.is_(None)


def _is_to_mend(organisation: int) -> ColumnElement:
    """The last inspection failed with nothing booked since, or an item is open, whatever came since."""
    still = select(_inspection.c.job_id).where(
        _inspection.c.organisation == organisation, _inspection.c.result.in_(OPEN_RESULTS),
        _inspection.c.open_items > 0,
    )  # fmt: skip
    return and_(_line.c.state != "erased", or_(_line.c.stage == "failed", _line.c.job_id.in_(still)))


def _is_undated(organisation: int) -> ColumnElement:
    """A permit is issued, and neither its issue nor its end has a day: nothing can watch it."""
    undated = (
        _line.c.stage.in_(("permit", "booked", "failed")),
        _line.c.permit_issued_on.is_(None), _line.c.permit_expires_on.is_(None), _line.c.final_on.is_(None),
    )  # fmt: skip
    # Only what is inspected without a date is looked up in the job itself: they are few.
    issued = or_(_line.c.stage == "permit", desk_line.says_issued())
    return and_(_line.c.organisation == organisation, *undated, issued)


def _in_state(state: str, organisation: int, on: str) -> tuple[ColumnElement, ...]:
    return {
        "draft": (_line.c.state == "draft",),
        "unsigned": (is_unsigned(organisation, on),),
        "void": (is_only_void(organisation),),
        "issued": (_line.c.state == "issued",),
        "unassigned": (_line.c.state == "draft", _line.c.installer.is_(None)),
        "permit": (_line.c.stage == "permit",),
        "booked": (_line.c.stage == "booked",),
        "failed": (_is_to_mend(organisation),),
        "final": (_line.c.stage == "final",),
        "lapsing": _lapsing(organisation, on),
        "uninspected": (is_uninspected(organisation),),
        "to_fix": (is_to_fix(organisation),),
        "undated": (_is_undated(organisation),),
    }[state]


def having(typed: Sequence[Word]) -> list[ColumnElement]:
    """Return the conditions, on a desk line, that it has every one of these words."""
    # Letters and digits only, so nothing in them means anything to LIKE.
    return [_line.c.words.like(f"% {word.text}{'' if word.begins else ' '}%") for word in typed]


def _page(where: Sequence[ColumnElement], limit: int) -> Select:
    query = select(_line).where(*where)
    return query.order_by(_line.c.opened_at.desc(), _line.c.job_id.desc()).limit(limit + 1)


def _days(on: str, days: int) -> str:
    return (date.fromisoformat(on) + timedelta(days=days)).isoformat()
