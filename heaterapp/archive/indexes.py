"""The indexes that searches go by beside the tables' own: of the days of work, and the care of the words'."""

import json
import time
from collections.abc import Callable
from typing import Any

from sqlalchemy import ARRAY, ColumnElement, Engine, String, bindparam, func

# Not read as JSON: what is damaged must still be told from what is not, and not be refused here.
_AFTER = 'substr(finding.facts, instr(finding.facts, \'"work_date":"\') + 13, {})'
_MONTH, _DAY = _AFTER.format(7), _AFTER.format(10)
_TIMES = {
    "sqlite": {
        "month": f"CASE WHEN {_MONTH} GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]' THEN {_MONTH} ELSE '' END",
        "day": _DAY,
    },
    "postgresql": {
        "month": """coalesce(substring(finding.facts from '"work_date":"([0-9]{4}-[0-9]{2})'), '')""",
        "day": """substring(finding.facts from '"work_date":"([0-9]{4}-[0-9]{2}-[0-9]{2})')""",
    },
}
_PIECES = "SELECT count(*) FROM finding_words_idx GROUP BY segid ORDER BY 1"
_MERGE = "INSERT INTO finding_words(finding_words, rank) VALUES (?, ?)"
PAGES, PAUSE_S = 100, 0.005
"""How much of the word index is written anew in one go (pages of 4 KB), and how long others have then."""
SMALL_SHARE = 8
"""All pieces become one where all but the largest have at least the so-manieth part of its size."""


def time_of_work(dialect: str, part: str) -> str:
    """The `month` or the `day` of the work in `finding.facts`; no month is empty, as no index of it finds."""
    return _TIMES[dialect][part]


def time_indexes(dialect: str) -> dict[str, str]:
    """Return name -> statement that make the indexes of a firm's records by month and by day of the work."""
    times = {part: time_of_work(dialect, part).replace("finding.", "") for part in ("month", "day")}
    return {
        f"ix_finding_{part}": f"CREATE INDEX ix_finding_{part} ON finding (organisation, ({time}), record)"
        for part, time in times.items()
    }


def listed(dialect: str, name: str) -> tuple[ColumnElement, Callable[[list[str]], Any]]:
    """Return a column of the texts bound by that name, one a row, and what makes a list of them to bind."""
    if dialect == "sqlite":
        return func.json_each(bindparam(name)).table_valued("value").c.value, json.dumps
    given = func.unnest(bindparam(name, type_=ARRAY(String)))
    return given.table_valued("value").render_derived().c.value, list


def tidy_words(engine: Engine) -> int:
    """Join the pieces that SQLite's word index falls into as records come; return in how many steps.

    A search opens each piece for each word, a dozen of them where there could be one. Each step is a
    short transaction of its own, others write in between; it may be stopped and begun again anywhere.
    """
    if engine.dialect.name != "sqlite":
        return 0
    with engine.execution_options(writes=True).connect() as connection:
        driver, steps = connection.connection.driver_connection, 0
        with connection.begin():
            sizes = connection.exec_driver_sql(_PIECES).scalars().all()
            if len(sizes) < 2:
                return 0
            # Two of about a size are joined from here on, where it is four while records are written.
            connection.exec_driver_sql(_MERGE, ("usermerge", 2))
        # Negative: all into one, however unlike they are in size.
        pages = -PAGES if sum(sizes[:-1]) * SMALL_SHARE >= sizes[-1] else PAGES
        while True:
            before = driver.total_changes
            with connection.begin():
                connection.exec_driver_sql(_MERGE, ("merge", pages))
            if driver.total_changes - before < 2:
                return steps
            steps += 1
            time.sleep(PAUSE_S)
