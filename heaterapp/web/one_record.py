"""One record as the office's pages have it: opened by its number, and who did what to it."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any

from heaterapp import archive
from heaterapp.archive.canonical import read_number
from heaterapp.web.act_bodies import body_of, job_of
from heaterapp.web.act_words import told
from heaterapp.web.days import shown_moment
from heaterapp.web.security import current_person, store

MOST_ACTS = 200


def open_record(number: str) -> archive.Record:
    """Return the record of this number, once its papers are stored: before that it has no number to give.

    raises  NotFound, Erased
    """
    return store().records.get(current_person().organisation, line_of(number).record)


def line_of(number: str) -> archive.Hit:
    """Return the line of a record, an erased one's too. Raises NotFound."""
    hit = store().records.hit(current_person().organisation, number)
    if not hit.finished:
        raise archive.NotFound("No record has this number.")
    return hit


def numbered(typed: str) -> archive.Hit | None:
    """Return the record whose number was typed, in any way that the check page reads; None for none."""
    bare = typed.strip()
    for number in (bare, *read_number(bare)) if bare else ():
        try:
            found: archive.Hit = store().records.hit(current_person().organisation, number)
        except archive.NotFound:
            continue
        return found
    return None


def present_of(hit: archive.Hit) -> str | None:
    """Return the number of the paper that stands in the place of this one, None where none is current."""
    last = hit
    while last.superseded_by_number is not None:
        last = line_of(last.superseded_by_number)
    return last.number if last.state == "current" else None


def names_of_people() -> dict[int, str]:
    """Return id -> name of everybody of this firm."""
    return {one.id: one.name for one in store().people.all(current_person().organisation)}


def acts(entries: Collection[archive.LogEntry], people: Mapping[int, str]) -> list[dict[str, Any]]:
    """Return entries of the log as a page shows them: when, who, and what in a plain sentence."""
    org, records = current_person().organisation, store().records
    bodies = [body_of(one) for one in entries]
    numbers = records.numbers(org, {one.record for one in entries if one.record is not None})
    # What is done at the desk names a job: it is shown by the paper that it had by then.
    jobs = records.numbers_as_issued(org, list({job_of(body) for body in bodies} - {""}))
    found = []
    for one, body in zip(entries, bodies, strict=True):
        job = job_of(body)
        by_then = (number for seq, number in jobs.get(job, ()) if seq < one.seq)
        number = numbers.get(one.record or 0, "") or next(by_then, "")
        found.append({
            "seq": one.seq, "at": one.at, "when": shown_moment(one.at),
            "who": people.get(one.actor or 0, "The program" if one.actor is None else "Somebody"),
            "number": number, "job": "" if number else job, "what": told(one.act, body, number),
        })  # fmt: skip
    return found


def story(hits: Collection[archive.Hit]) -> list[dict[str, Any]]:
    """Return every act on these records of one job and on the job itself, newest first."""
    ids, org = [hit.record for hit in hits], current_person().organisation
    job = next((hit.job_id for hit in hits), "")
    found = store().log.of_job(org, job, ids, MOST_ACTS)
    return acts(found, names_of_people())
