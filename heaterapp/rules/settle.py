"""What happens to a check's result before it is a finding: how sure the clause is, whose work it was."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from typing import Any

from .book import Clause
from .catalog import Check
from .job import ACCEPTED_AS, Job
from .report import Result

_MEMORY = "The clause is from memory and may not fail a job: read it in the adopted book."


def settled(result: Result, clause: Clause | None, check: Check, job: Job) -> Result:
    """Weaken a failure that rests on memory, or on a book that does not bind what was there before.

    A clause from memory gives `authority`. On an installation that somebody else
    made (`job_kind` existing), what differs from the present book is `authority`,
    except hazards and clauses that bind existing installations.
    """
    if result.verdict != "fails" or result.kind != "rule":
        return result
    if clause is not None and clause.confidence == "memory":
        return result._replace(verdict="authority", why=f"{result.why} {_MEMORY}")
    if (
        job.values.get("job_kind") == "existing"
        and not check.hazard
        and not _binds_what_was_there(clause, job)
    ):
        return result._replace(verdict="authority", why=f"Differs from the present book: {result.why}")
    return result


def as_amended(result: Result, clauses: Mapping[str, Clause], job: Job) -> Result:
    """A result by a clause that the organisation's amendments struck is silent, with their reason.

    clauses  those of the place, amended

    One by a clause that only the place's books lack stands on what the amendments state: the check's own.
    """
    if not job.amendments or not result.clause or result.clause in clauses:
        return result
    why = job.amendments["silent"].get(result.clause)
    return result._replace(clause="") if why is None else Result("silent", why, kind=result.kind)


def mark_of(finding: Mapping[str, Any]) -> str:
    """A short mark of what a finding says: verdict, found, limit and why, of which an acceptance holds.

    finding  `verdict`, `found`, `limit` and `why`, as the report has them
    returns  16 hexadecimal digits; another value, limit or sentence gives others
    """
    told = [finding.get(key) or "" for key in ("verdict", "found", "limit", "why")]
    return hashlib.sha256("\0".join(told).encode()).hexdigest()[:16]


def acceptance_of(
    result: Result, check: Check, job: Job, found: str | None, limit: str | None, why: str
) -> dict[str, str] | None:
    """What the authority accepted of this open item, if anything.

    found, limit, why  as the report prints them

    A hazard that fails is nobody's to accept: a leak stays a leak, whoever signs for it.
    An acceptance that says of what it was given holds for that finding only.
    """
    given = job.acceptances.get(check.name)
    if not given or result.kind != "rule" or result.verdict not in ("fails", "authority", "engineer"):
        return None
    if check.hazard and result.verdict == "fails":
        return None
    now = {"verdict": result.verdict, "found": found or ""}
    now["of"] = mark_of({**now, "limit": limit, "why": why})
    return None if any(given.get(key, now[key]) != now[key] for key in ACCEPTED_AS) else given


def _binds_what_was_there(clause: Clause | None, job: Job) -> bool:
    if clause is None or not clause.retroactive:
        return False
    return clause.retroactive == "all" or job.values.get("building_kind") != "business"


def note_of(result: Result, clause: Clause | None) -> str:
    """What is added to a failure that rests on a clause carried from another edition."""
    if result.verdict != "fails" or result.kind != "rule":
        return ""
    if clause is not None and clause.confidence == "carried":
        where = clause.carried_from or "another edition"
        return f" (Read in: {where}. Confirm in the adopted edition.)"
    return ""
