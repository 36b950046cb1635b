"""What a sweep looks records up by: the heater, its expansion tank, and what was found amiss.

Written in the issuing transaction, from the stored job and report alone, by the names of the vocabulary;
`verify` works the same out again. Marks are folded: capital letters and digits, nothing between them.
"""

import json
import unicodedata
from collections.abc import Mapping
from typing import Any

from sqlalchemy import Connection, delete, insert

from heaterapp.archive import faults, office_tables

SOUGHT = ("fails", "authority", "engineer", "unanswered", "error")
"""Verdicts of a rule that a sweep finds."""
ADVICE = "advice"
"""How an advice that is not met is kept, whatever it was called in the report."""
LONGEST = 300
LONGEST_CHECK = 100

Marks = dict[str, str]
Amiss = frozenset[tuple[str, str]]


def folded(text: str) -> str:
    """Return a mark as it is compared: capital letters and digits alone, at most 300.

    >>> folded(" wh-40\u00e9 t/Ab-0012 ")
    'WH40ETAB0012'
    """
    parted = unicodedata.normalize("NFKD", unicodedata.normalize("NFKD", text).upper())
    return "".join(c for c in parted if c.isalnum())[:LONGEST]


def marks_of(job: bytes | None) -> Marks:
    """Return the marks of a stored job: nothing in any of them where it says nothing, or is no JSON."""
    answers = _object(job)
    tank = answers.get("expansion_device") in (None, "tank")
    size = _said(answers, "expansion_tank_gal") if tank else ""
    return {
        "maker": folded(_said(answers, "heater_maker")),
        "model": folded(_said(answers, "heater_model")),
        "serial": folded(_said(answers, "heater_serial")),
        "expansion_tank": _line(size),
        "place": _line(_said(answers, "place")),
        "worked_on": _line(_said(answers, "work_date"))[:10],
    }


def amiss_of(report: bytes | None) -> Amiss:
    """Return (check, verdict) of each finding of a stored report that a sweep may look for."""
    findings = _object(report).get("findings")
    found = (_sought(one) for one in findings if isinstance(one, dict)) if isinstance(findings, list) else ()
    return frozenset(one for one in found if one is not None)


def keep(connection: Connection, organisation: int, record: int, marks: Marks, amiss: Amiss) -> None:
    """Write one record's rows, within the transaction that writes the record."""
    own = {"organisation": organisation, "record": record}
    connection.execute(insert(office_tables.sweep).values(**own, **marks))
    rows = [{**own, "check_name": check, "verdict": verdict} for check, verdict in sorted(amiss)]
    if rows:
        connection.execute(insert(office_tables.sweep_finding), rows)
    faults.at("after_sweep_rows")


def drop(connection: Connection, organisation: int, record: int) -> None:
    """Take one record's rows away; the database permits it once the erasure stands in the log."""
    for table in (office_tables.sweep_finding, office_tables.sweep):
        connection.execute(
            delete(table).where(table.c.organisation == organisation, table.c.record == record)
        )


def _sought(finding: Mapping[str, Any]) -> tuple[str, str] | None:
    check, verdict = finding.get("check"), finding.get("verdict")
    if not isinstance(check, str) or verdict not in SOUGHT:
        return None
    return _line(check)[:LONGEST_CHECK], ADVICE if finding.get("kind") == "advice" else verdict


def _object(body: bytes | None) -> Mapping[str, Any]:
    try:
        read = json.loads(body or b"")
    except (ValueError, RecursionError):
        return {}
    return read if isinstance(read, dict) else {}


def _said(answers: Mapping[str, Any], name: str) -> str:
    value = answers.get(name)
    return value if isinstance(value, str) and value != "not_here" else ""


def _line(text: str) -> str:
    return "".join(c for c in text if c.isprintable())[:LONGEST]
