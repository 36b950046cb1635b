"""What the desk says of a job: how far it is, how long its permit lasts, what to do next."""

from __future__ import annotations

from collections.abc import Mapping

from heaterapp.archive.desk_shapes import WARNED_BEFORE, DeskJob, Inspection, Line
from heaterapp.web.days import days_until, shown_day

STATES = {
    "draft": "In hand",
    "unsigned": "Waiting for a signature",
    "uninspected": "Waiting for an inspection",
    "to_fix": "Things to fix: second visit due",
    "void": "Only paper void",
    "issued": "Paper issued",
    "unassigned": "No installer",
    "permit": "Permit issued, no inspection booked",
    "booked": "Inspection booked",
    "failed": "Inspection failed, or items to mend",
    "lapsing": "Permit about to lapse",
    "undated": "Permit without a day of issue",
    "final": "Final",
}
STAGES = {
    "": "", "permit": "permit issued", "booked": "inspection booked", "failed": "inspection failed",
    "final": "final inspection passed",
}  # fmt: skip
RESULTS = {
    "booked": "Booked", "passed": "Passed", "failed": "Failed", "partly": "Passed in part",
    "cancelled": "Cancelled",
}  # fmt: skip
YEAR_DAYS, PERMIT_YEARS = 366, 3
UNDATED = "The permit has no day of issue: it cannot be watched"
ONLY_VOID = "Its only paper is void: a new one is needed"
MENDERS = ("installer", "office", "owner of the house", "somebody else")


def state_words(line: Line, only_void: bool = False, to_fix: bool = False) -> str:
    """How far a job is, in one line.

    only_void  whether its only paper is void
    to_fix     whether its signed correction list is the last word on it
    returns    as `Paper issued, inspection booked`
    """
    if only_void:
        return STATES["void"]
    if line.state == "erased":
        return "Erased for privacy"
    how_far = "to_fix" if to_fix else "draft" if line.state == "draft" else "issued"
    said = [STATES[how_far], STAGES.get(line.stage, "")]
    return ", ".join(part for part in said if part)


def permit_days(expires_on: str, on: str) -> tuple[int, str]:
    """Days to a permit's end, and the words after the number.

    >>> permit_days("2026-11-26", "2026-11-20"), permit_days("2026-11-26", "2026-11-27")
    ((6, 'days left'), (1, 'day since it lapsed'))
    """
    left = days_until(expires_on, on)
    count = abs(left)
    word = "day" if count == 1 else "days"
    return count, f"{word} left" if left >= 0 else f"{word} since it lapsed"


def odd_days(job: DeskJob, opened_on: str, on: str) -> list[str]:
    """What of a job's days is possible but odd, a sentence each.

    opened_on  the ISO day the job was begun
    on         today, ISO
    """
    planned, issued = job.facts.get("planned_on", ""), job.permit_issued_on or ""
    ends, since = job.permit_expires_on or "", job.facts.get("present_owner_since", "")
    said = []
    if job.job.state == "draft" and planned and planned < opened_on:
        said.append(f"Planned for {shown_day(planned)}, which lies before the job was opened: is it right?")
    if planned and days_until(planned, on) > YEAR_DAYS:
        said.append(f"Planned for {shown_day(planned)}, more than a year ahead: is the year right?")
    if issued > on:
        said.append(f"The permit's day of issue, {shown_day(issued)}, lies ahead: is the year right?")
    elif ends and days_until(ends, on) > PERMIT_YEARS * YEAR_DAYS:
        said.append(f"The permit lapses on {shown_day(ends)}, years ahead: is the year right?")
    if since > on:
        said.append(f"The house has the new owner since {shown_day(since)}, which lies ahead: is it right?")
    return said


def undated(job: DeskJob, permit: Mapping[str, str]) -> str:
    """What is said of a permit that is issued, where no day says when it was or when it lapses; or nothing.

    permit  what stands in the permit's fields
    """
    dated = job.permit_issued_on or job.permit_expires_on or job.final_on
    return UNDATED if permit.get("permit_status") == "issued" and not dated else ""


def lapses_soon(job: DeskJob, on: str) -> bool:
    """Whether the permit is lapsed or about to."""
    return bool(job.permit_expires_on) and days_until(job.permit_expires_on or "", on) <= WARNED_BEFORE


def next_step(
    job: DeskJob,
    visits: list[Inspection],
    on: str,
    permit_status: str,
    only_void: bool = False,
    to_fix: str = "",
) -> str:
    """What to do next for a job, in one sentence.

    visits  its inspections, newest first
    on      today, ISO
    permit_status  as the job or the office says
    only_void  whether its only paper is void
    to_fix  the number of the signed correction list that is the last word on it, empty where none is
    """
    if only_void:
        return f"{ONLY_VOID}. Open the job again."
    last = next((one for one in visits if one.result != "cancelled"), None)
    left = sum(len(one.open_items) for one in visits)
    if job.final_on and left:
        return f"{to_mend(left)}, though the final inspection was passed: note what became of it."
    if job.final_on:
        return f"Nothing: the final inspection was passed on {shown_day(job.final_on)}."
    if job.permit_expires_on and days_until(job.permit_expires_on, on) < 0:
        return "The permit has lapsed. Ask the permit office for an extension or a new one."
    if last and last.result == "booked":
        before = f"{to_mend(left)} before it. " if left else ""
        return before + booked_step(last, on, job.permit_expires_on)
    if last and last.result in ("failed", "partly"):
        return failed_step(last, job.job.state)
    if job.job.state == "draft":
        if job.job.installer is None:
            return "Assign an installer."
        if to_fix:
            return f"{to_fix} names things to fix. A second visit is due, and the job is open for it."
        if job.day and job.day <= on:
            return f"Ask the installer: the work was for {shown_day(job.day)}, and waits for a signature."
        return "The installer takes it along and does the work."
    if permit_status == "not_needed":
        return "Nothing: no permit is needed."
    if not job.permit_issued_on:
        return "Fill in the permit: number and day of issue."
    return "Book the inspection."


def after_it_lapses(booked_for: str, expires_on: str | None) -> str:
    """What is said of an inspection that is booked for a day after the permit lapses; nothing for another.

    >>> after_it_lapses("2027-01-03", "2026-12-20")
    'The permit lapses on 20 Dec 2026, before it: move it up, or ask for an extension.'
    >>> after_it_lapses("2026-12-20", "2026-12-20"), after_it_lapses("2026-12-20", None)
    ('', '')
    """
    if not expires_on or booked_for <= expires_on:
        return ""
    return f"The permit lapses on {shown_day(expires_on)}, before it: move it up, or ask for an extension."


def booked_step(visit: Inspection, on: str, expires_on: str | None = None) -> str:
    """What to do about a booked inspection; first of all where the permit lapses before it."""
    left = days_until(visit.booked_for, on)
    late = after_it_lapses(visit.booked_for, expires_on)
    if late and left >= 0:
        return late
    if left < 0:
        return "Its day has passed: record the result."
    if left == 0:
        return "Today: record the result."
    if visit.facts.get("adult") != "yes":
        return "Make sure that an adult will be there."
    return f"Tell {visit.facts.get('contact') or 'the owner'} the day before."


def to_mend(left: int) -> str:
    """So many items are to be mended, as `1 item to mend`."""
    return f"{left} item{'' if left == 1 else 's'} to mend"


def failed_step(visit: Inspection, state: str, booked_for: str = "", passed: bool = False) -> str:
    """What to do about an inspection that was not passed.

    state       the job's, `draft` where it is open
    booked_for  the day of the next one, where it is booked
    passed      whether a later one was passed
    """
    left = len(visit.open_items)
    if not left and booked_for:
        return f"Everything is mended; the next inspection is booked for {shown_day(booked_for)}."
    if not left:
        if passed:
            return "Nothing: a later inspection was passed."
        return "Everything is mended: book the next inspection."
    still = to_mend(left)
    if booked_for:
        still += f" before the inspection of {shown_day(booked_for)}"
    elif passed:
        return f"{still}, though a later inspection was passed: note what became of it."
    return f"{still}. Open the second visit." if state == "issued" else f"{still}; the job is open for it."
