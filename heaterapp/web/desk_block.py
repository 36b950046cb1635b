"""What the desk knows of a job, for the page of its record and for what is handed out of it."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from heaterapp import archive
from heaterapp.archive.desk_shapes import DeskJob, Inspection, Line
from heaterapp.web.days import shown_day, today
from heaterapp.web.security import current_person, store

MOST_BESIDE = 10
NOTHING_NOTED = "No inspection is noted here"
ENDED = {"failed": "failed on", "partly": "was passed only in part on"}


def desk_of(organisation: int, job_id: str) -> DeskJob | None:
    """Return what the desk holds of a job; None where it is erased."""
    try:
        found: DeskJob = store().desk.get(organisation, job_id)
    except (archive.NotFound, archive.Erased):
        return None
    return found


def final_words(organisation: int, job_id: str) -> str:
    """Return in a phrase what the desk knows of a job's final inspection."""
    desk = desk_of(organisation, job_id)
    visits = store().inspections.of_job(organisation, job_id) if desk else []
    return inspected_words(desk.final_on if desk else None, visits)


def inspected_words(final_on: str | None, visits: Sequence[Inspection]) -> str:
    """Return how a job's final inspection stands.

    final_on  the ISO day on which it passed
    visits    the job's inspections, newest first
    returns   as `Not passed; the last inspection failed on 24 Nov 2026`, without a stop
    """
    if final_on:
        return f"Passed on {shown_day(final_on)}"
    held = [one for one in visits if one.result != "cancelled"]
    booked = next((one.booked_for for one in held if one.result == "booked"), None)
    last = next((one for one in held if one.result != "booked"), None)
    if last is None:
        return f"Booked for {shown_day(booked)}" if booked else NOTHING_NOTED
    if last.result == "passed":
        said = f"Not noted as final; an inspection passed on {shown_day(last.result_on)}"
    else:
        said = f"Not passed; the last inspection {ENDED[last.result]} {shown_day(last.result_on)}"
    return f"{said}, another is booked for {shown_day(booked)}" if booked else said


def left_open(organisation: int, job_id: str) -> str:
    """Return in a sentence what of a job's inspections is not done; nothing where all is, or none known."""
    desk = desk_of(organisation, job_id)
    return open_words(desk.final_on, store().inspections.of_job(organisation, job_id)) if desk else ""


def not_passed_on(organisation: int, job_id: str) -> str:
    """Return the ISO date of a job's last inspection where that was not passed in full, else nothing."""
    desk = desk_of(organisation, job_id)
    if desk is None or desk.final_on:
        return ""
    visits = store().inspections.of_job(organisation, job_id)
    last = next((one for one in visits if one.result not in ("cancelled", "booked")), None)
    return str(last.result_on or "") if last and last.result in ENDED else ""


def open_words(final_on: str | None, visits: Sequence[Inspection]) -> str:
    """Return what `left_open` says.

    final_on  the ISO day on which the final inspection passed
    visits    the job's inspections, newest first
    returns   as `The last inspection failed on 24 Nov 2026; 1 of its items is open.`
    """
    last = next((one for one in visits if one.result not in ("cancelled", "booked")), None)
    left = sum(len(one.open_items) for one in visits)
    items = f"{left} of the inspector's items {'is' if left == 1 else 'are'} open" if left else ""
    if final_on or last is None or last.result not in ENDED:
        return f"{items}." if items else ""
    day = shown_day(last.result_on)
    mended = "; its items are said to be mended" if last.items else ""
    return f"The last inspection {ENDED[last.result]} {day}{f'; {items}' if items else mended}."


def at_desk(text: str, jobs: Collection[str]) -> list[Line]:
    """Return the desk's lines that have the typed words, at most 10, but for jobs shown already."""
    found, _ = store().board.find(current_person().organisation, text, on=today(), limit=50)
    return [line for line in found if line.job_id not in jobs][:MOST_BESIDE]
