"""The rows of sweeps as migration 0005 makes them; frozen, whatever `sweeping.py` has become since."""

import json
import unicodedata
from collections.abc import Mapping
from typing import Any

import sqlalchemy as sa

SOUGHT = ("fails", "authority", "engineer", "unanswered", "error")
LONGEST, LONGEST_CHECK = 300, 100
SWEEP = sa.text(
    "INSERT INTO sweep (organisation, record, maker, model, serial, expansion_tank, place, worked_on) VALUES"
    " (:organisation, :record, :maker, :model, :serial, :expansion_tank, :place, :worked_on)"
)
FINDING = sa.text(
    "INSERT INTO sweep_finding (organisation, record, check_name, verdict)"
    " VALUES (:organisation, :record, :check_name, :verdict)"
)


def keep(
    connection: sa.Connection, organisation: int, record: int, job: bytes | None, report: bytes | None
) -> None:
    """Write one record's rows, from its stored job and report."""
    own = {"organisation": organisation, "record": record}
    connection.execute(SWEEP, {**own, **_marks(_object(job))})
    rows = [{**own, "check_name": check, "verdict": verdict} for check, verdict in sorted(_amiss(report))]
    if rows:
        connection.execute(FINDING, rows)


def _marks(answers: Mapping[str, Any]) -> dict[str, str]:
    tank = answers.get("expansion_device") in (None, "tank")
    size = _said(answers, "expansion_tank_gal") if tank else ""
    return {
        "maker": _folded(_said(answers, "heater_maker")),
        "model": _folded(_said(answers, "heater_model")),
        "serial": _folded(_said(answers, "heater_serial")),
        "expansion_tank": _line(size),
        "place": _line(_said(answers, "place")),
        "worked_on": _line(_said(answers, "work_date"))[:10],
    }


def _amiss(report: bytes | None) -> set[tuple[str, str]]:
    findings = _object(report).get("findings")
    found = set()
    for one in findings if isinstance(findings, list) else ():
        if not isinstance(one, dict):
            continue
        check, verdict = one.get("check"), one.get("verdict")
        if isinstance(check, str) and verdict in SOUGHT:
            found.add((_line(check)[:LONGEST_CHECK], "advice" if one.get("kind") == "advice" else verdict))
    return found


def _folded(text: str) -> str:
    parted = unicodedata.normalize("NFKD", unicodedata.normalize("NFKD", text).upper())
    return "".join(c for c in parted if c.isalnum())[:LONGEST]


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
