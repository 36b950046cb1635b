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
_STRUCTURE = "SELECT block FROM finding_words_data WHERE id = 10"
_NEWER = b"\xff\x00\x00\x01"
PAGES, PAUSE_S = 100, 0.005
"""How much of the word index is written anew in one go (pages of 4 KB), and how long others have then."""
STEPS_A_PAGE, STEPS_BESIDE = 3, 20
"""No more steps than rewrite each page so often, and some for what others write: the next day goes on."""
MOST_LEVELS = 100
"""Each joining of all costs a level or two for good, and an index of 2000 can be read no more."""
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
            levels = _levels(connection.exec_driver_sql(_STRUCTURE).scalar_one())
            # Two of about a size are joined from here on, where it is four while records are written.
            connection.exec_driver_sql(_MERGE, ("usermerge", 2))
        alike = sum(sizes[:-1]) * SMALL_SHARE >= sizes[-1]
        # Negative: all are put on a level of their own first, to become one however unlike they are in size.
        # Once only: asked for again after somebody has written, all begins anew a level further, without end.
        pages = -PAGES if alike and levels < MOST_LEVELS else PAGES
        for _ in range(STEPS_BESIDE + STEPS_A_PAGE * sum(sizes) // PAGES):
            before = driver.total_changes
            with connection.begin():
                connection.exec_driver_sql(_MERGE, ("merge", pages))
            if driver.total_changes - before < 2:
                break
            pages, steps = PAGES, steps + 1
            time.sleep(PAUSE_S)
        return steps


def _levels(structure: bytes) -> int:
    """Return on how many levels the pieces of a word index lie, by its own record of them.

    A cookie of 4 bytes, in newer indexes a mark of 4 more, then the count: seven bits a byte, the highest
    bit on all but the last (SQLite's FTS5, "Structure Record Format", in fts5_index.c).
    """
    at, count = 8 if structure[4:8] == _NEWER else 4, 0
    while structure[at] & 0x80:
        count, at = count << 7 | structure[at] & 0x7F, at + 1
    return count << 7 | structure[at]
