"""What was so when a copy was given, by the log's order, and apart from it what has come since."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from heaterapp import archive
from heaterapp.archive.copies import Copy
from heaterapp.web.days import local_day, shown_day, today, void_since
from heaterapp.web.desk_block import final_words
from heaterapp.web.handed_out import facts_of, looked_over, outcome_of, state_words
from heaterapp.web.office import KINDS
from heaterapp.web.security import store

MOST_ENTRIES = 1000


def as_given(hits: Sequence[archive.Hit], copy: Copy, organisation: int) -> list[archive.Hit]:
    """Return papers as they stood when the copy was given; those made later are left out."""
    records, log = store().records, store().log
    lines = {job: records.of_job(organisation, job) for job in {hit.job_id for hit in hits}}
    named = sorted(one.record for line in lines.values() for one in line)
    issued, made, voided = (
        {one.record: one.seq for one in log.newest(organisation, act=act, records=named, limit=MOST_ENTRIES)}
        for act in ("issue", "finish", "void")
    )
    # What is numbered replaces nothing until its papers are made; one erased before that has none.
    made = issued | made

    def later(record: int | None, among: Mapping[int | None, int]) -> bool:
        return among.get(record, 0) > copy.key

    found = []
    for hit in hits:
        if later(hit.record, made):
            continue
        after = [one for one in lines[hit.job_id] if one.record > hit.record and one.finished]
        # Newest first: the last of them is the next paper.
        by = next((one for one in reversed(after) if not later(one.record, made)), None)
        hit = replace(
            hit, superseded_by=by.record if by else None, superseded_by_number=by.number if by else None
        )
        if later(hit.record, voided):
            hit = replace(hit, voided_at=None, void_reason=None)
        found.append(hit)
    return found


def told_apart(opened: archive.Record, copy: Copy) -> tuple[str, str]:
    """Say what a record was when the copy was given, and what has come since: nothing where nothing has."""
    now = store().records.hit(opened.organisation, opened.number)
    then = as_given([now], copy, opened.organisation)[0]
    if then == now:
        return state_words(opened), ""
    return _when_given(opened, then), _since([(now, then)], (), opened.organisation)


def came_since(
    hits: Sequence[archive.Hit], given: Sequence[archive.Hit], organisation: int
) -> str:
    """Say what has come since to any of several papers, and which are new."""
    then = {hit.record: hit for hit in given}
    changed = [(hit, then[hit.record]) for hit in hits if hit.record in then and then[hit.record] != hit]
    return _since(changed, [hit for hit in hits if hit.record not in then], organisation)


def papers_told(organisation: int, hits: Sequence[archive.Hit]) -> list[dict[str, Any]]:
    """Return what a buyer is told of each paper, without anything of its owners.

    hits  the papers as they stood when the copy was given; one that stands no more is headed by that
    """
    found = []
    for hit in hits:
        opened = store().records.get(organisation, hit.record)
        now = store().records.hit(organisation, opened.number)
        standing = hit.state == now.state == "current"
        found.append({
            "hit": hit, "outcome": outcome_of(opened), "standing": standing,
            "state": state_words(opened) if hit.state == now.state else _when_given(opened, hit),
            "looked_over": looked_over(opened), "facts": facts_of(opened, "address"),
            "final": final_words(organisation, opened.job_id), "check_code": opened.check_code,
        })  # fmt: skip
    return found


def _when_given(opened: archive.Record, then: archive.Hit) -> str:
    return f"When this copy was given, {_was(state_words(opened, then))}"


def _since(
    changed: Sequence[tuple[archive.Hit, archive.Hit]], new: Sequence[archive.Hit], organisation: int
) -> str:
    said = [_now(hit, before, organisation) for hit, before in changed]
    for hit in new:
        said.append(f"{KINDS[hit.kind]} {hit.number} was issued on {local_day(hit.issued_at)}.")
    return f"Since then, as of {shown_day(today())}: {' '.join(said)}" if said else ""


def _now(hit: archive.Hit, before: archive.Hit, organisation: int) -> str:
    by = f"{hit.number} was replaced by {hit.superseded_by_number}." if hit.superseded_by_number else ""
    if hit.voided_at is None or before.voided_at is not None:
        return by
    day = void_since(hit, organisation)
    return " ".join(filter(None, (f"{hit.number} is void since {day}.", by)))


def _was(sentence: str) -> str:
    past = sentence.replace(" is the current paper", " was the current paper", 1)
    return past.replace(" is void since ", " was void, since ", 1)
