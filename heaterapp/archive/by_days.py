"""The newest records whose work was done on certain days: whole months and single days, each for itself."""

from collections.abc import Mapping
from datetime import date, timedelta
from functools import cache, lru_cache
from typing import Any

from sqlalchemy import ColumnElement, Connection, Select, bindparam, literal_column, select

from heaterapp.archive.columns import LARGEST_WHOLE
from heaterapp.archive.indexes import listed, time_of_work
from heaterapp.archive.tables import finding, record

DAY = timedelta(days=1)
_of_firm = (finding.c.organisation == bindparam("firm"), finding.c.record < bindparam("before"))


class Days:
    """The records of certain days of work below an id.

    asked  `firm`, `since` and `until`, and what other conditions ask for
    """

    def __init__(self, connection: Connection, asked: Mapping[str, Any], before: int):
        self._connection, self._dialect = connection, connection.dialect.name
        self._values = {**asked, "before": min(before, LARGEST_WHOLE)}
        ends: list[tuple[int, int, str, str]] = []
        for part, times in _parts(*(date.fromisoformat(asked[name]) for name in ("since", "until"))).items():
            query, given = _ends_of_each(self._dialect, part)
            told = connection.execute(query, {**self._values, "times": given(times)})
            ends += [(newest, oldest, part, time) for time, newest, oldest in told if newest is not None]
        self._ends = sorted(ends, reverse=True)

    def ends(self) -> tuple[int, int]:
        """The newest and the oldest of all, 0 where there is none."""
        oldest = (end[1] for end in self._ends)
        return (self._ends[0][0], min(oldest)) if self._ends else (0, 0)

    def fitting(self, only: tuple[ColumnElement, ...], limit: int) -> list[int]:
        """Return at most so many ids of records that fit the conditions, newest first."""
        found: list[int] = []
        for newest, _, part, time in self._ends:
            if len(found) == limit and found[-1] > newest:
                break
            values = {**self._values, "time": time, "limit": limit}
            of_it = self._connection.execute(_of_time(self._dialect, part, only), values)
            found = sorted([*found, *(row[0] for row in of_it)], reverse=True)[:limit]
        return found


def _parts(since: date, until: date) -> dict[str, list[str]]:
    """The months that lie whole between the days, and the days beside them.

    Among the months is the nameless one, of works whose day is not known.

    >>> _parts(date(2025, 11, 29), date(2026, 1, 1))
    {'month': ['', '2025-12'], 'day': ['2025-11-29', '2025-11-30', '2026-01-01']}
    """
    months, days, day = [""], [], since
    while day <= until:
        following = (day.replace(day=1) + 31 * DAY).replace(day=1)
        if day.day == 1 and following - DAY <= until:
            months.append(f"{day:%Y-%m}")
            day = following
        else:
            days.append(day.isoformat())
            day += DAY
    return {"month": months, "day": days}


@cache
def _ends_of_each(dialect: str, part: str) -> tuple[Select, Any]:
    time, given = listed(dialect, "times")
    its = select(finding.c.record).where(*_of_firm, literal_column(time_of_work(dialect, part)) == time)
    newest = its.order_by(finding.c.record.desc()).limit(1).scalar_subquery()
    oldest = its.order_by(finding.c.record).limit(1).scalar_subquery()
    return select(time, newest, oldest), given


# To build a statement takes longer than to answer it; conditions are kept by what they are.
@lru_cache(maxsize=64)
def _of_time(dialect: str, part: str, only: tuple[ColumnElement, ...]) -> Select:
    query = select(finding.c.record).join(record, record.c.id == finding.c.record)
    query = query.where(*_of_firm, literal_column(time_of_work(dialect, part)) == bindparam("time"), *only)
    return query.order_by(finding.c.record.desc()).limit(bindparam("limit"))
