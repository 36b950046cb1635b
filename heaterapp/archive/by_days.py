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


def newest_of_days(
    connection: Connection, asked: Mapping[str, Any], only: tuple[ColumnElement, ...], before: int, limit: int
) -> list[int]:
    """Return at most `limit` ids below `before` of records that fit the conditions, newest first.

    asked  the values of the conditions, with `firm`, and `since` and `until` of the days
    """
    dialect, before = connection.dialect.name, min(before, LARGEST_WHOLE)
    values = {**asked, "before": before, "limit": limit}
    newest: list[tuple[int, str, str]] = []
    for part, times in _parts(*(date.fromisoformat(asked[name]) for name in ("since", "until"))).items():
        query, given = _newest_of_each(dialect, part)
        told = connection.execute(query, {**values, "times": given(times)})
        newest += [(top, part, time) for time, top in told if top is not None]
    found: list[int] = []
    for top, part, time in sorted(newest, reverse=True):
        if len(found) == limit and found[-1] > top:
            break
        of_it = connection.execute(_of_time(dialect, part, only), {**values, "time": time})
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
def _newest_of_each(dialect: str, part: str) -> tuple[Select, Any]:
    time, given = listed(dialect, "times")
    its = select(finding.c.record).where(*_of_firm, literal_column(time_of_work(dialect, part)) == time)
    newest = its.order_by(finding.c.record.desc()).limit(1).scalar_subquery()
    return select(time, newest), given


# To build a statement takes longer than to answer it; conditions are kept by what they are.
@lru_cache(maxsize=64)
def _of_time(dialect: str, part: str, only: tuple[ColumnElement, ...]) -> Select:
    query = select(finding.c.record).join(record, record.c.id == finding.c.record)
    query = query.where(*_of_firm, literal_column(time_of_work(dialect, part)) == bindparam("time"), *only)
    return query.order_by(finding.c.record.desc()).limit(bindparam("limit"))
