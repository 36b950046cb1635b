"""In what two reports on one job differ: verdicts, checks, outcome; never wording.

A change is told by a short mark, by which many jobs can be counted, and what a person wants to read of it:

    outcome:ready:fix              {"before", "now"}
    changed:pan.depth:meets:fails  {"check", "before", "now", "title", "why", "book", "section"}
    new:pan.depth:fails            the same without before
    gone:pan.depth:meets           the same, as it was said then
    refused:thermostat_f           {"key", "expected"}      today's rules do not read the answers
    broken:ValueError              {"says"}                 today's rules broke over them

The check of an advice has `(advice)` behind its name. A failure that the authority accepted is `accepted`.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

Changes = dict[str, dict[str, Any]]
QUIET = "not_applicable"
"""A check of which this is said counts as one that is not there."""


def changes(before: Mapping[str, Any], now: Mapping[str, Any]) -> Changes:
    """Return mark -> what is to be read of it, for two reports as plain data; empty where they agree."""
    found: Changes = {}
    if before.get("outcome") != now.get("outcome"):
        ends = {"before": str(before.get("outcome")), "now": str(now.get("outcome"))}
        found[f"outcome:{ends['before']}:{ends['now']}"] = ends
    then, today = _by_check(before), _by_check(now)
    for check in sorted(_otherwise(then, today)):
        old, new = then.get(check), today.get(check)
        if old is not None and new is not None:
            told = {"before": verdict(old), **_read(check, new)}
            found[f"changed:{check}:{verdict(old)}:{verdict(new)}"] = told
        elif new is not None and verdict(new) != QUIET:
            found[f"new:{check}:{verdict(new)}"] = _read(check, new)
        elif old is not None and verdict(old) != QUIET:
            told = _read(check, old)
            found[f"gone:{check}:{verdict(old)}"] = {**told, "before": told.pop("now")}
    return found


def verdict(finding: Mapping[str, Any]) -> str:
    """Return a finding's verdict, `accepted` for a failure that the authority accepted."""
    return "accepted" if finding["verdict"] == "fails" and finding.get("accepted") else finding["verdict"]


def _otherwise(then: Mapping[str, Mapping[str, Any]], today: Mapping[str, Mapping[str, Any]]) -> set[str]:
    """The checks of which both do not say the same."""
    return then.keys() ^ today.keys() | {
        check for check, old in then.items() if check in today and verdict(old) != verdict(today[check])
    }


def _by_check(report: Mapping[str, Any]) -> dict[str, Mapping[str, Any]]:
    return {
        one["check"] + (" (advice)" if one.get("kind") == "advice" else ""): one
        for one in report.get("findings", ())
    }


def _read(check: str, finding: Mapping[str, Any]) -> dict[str, Any]:
    said = {name: finding.get(name) or "" for name in ("title", "why", "book", "section")}
    return {"check": check, "now": verdict(finding), **said}
