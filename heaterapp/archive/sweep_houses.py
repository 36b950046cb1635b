"""The houses that a sweep's papers stand for: several papers of a job, or several jobs, are of one house."""

import json
from collections.abc import Collection, Iterable, Sequence
from dataclasses import replace
from typing import NamedTuple

from sqlalchemy import Connection, func, select

from heaterapp.archive import tables
from heaterapp.archive.standing import is_finished
from heaterapp.archive.sweep_shapes import Swept
from heaterapp.archive.words import same_address

AT_ONCE = 500
_record, _finding = tables.record, tables.finding


class Present(NamedTuple):
    """The newest paper of a job: what holds of its heater by now."""

    record: int
    number: str
    address: str
    model: str
    serial: str


def house_of(address: str, job_id: str) -> str:
    """Return what two papers of one house have in common; without an address it is the job."""
    return same_address(address) or f"job {job_id}"


def present_of(connection: Connection, organisation: int, jobs: Collection[str]) -> dict[str, Present]:
    """Return job -> its newest paper, for as many jobs as are listed."""
    found = {}
    every = sorted(set(jobs))
    for begin in range(0, len(every), AT_ONCE):
        some = every[begin : begin + AT_ONCE]
        of_jobs = (_record.c.organisation == organisation, _record.c.job_id.in_(some))
        newest = select(func.max(_record.c.id)).where(*of_jobs, is_finished()).group_by(_record.c.job_id)
        query = select(_record.c.id, _record.c.job_id, _record.c.number, _finding.c.facts)
        joined = query.outerjoin(_finding, _finding.c.record == _record.c.id)
        for row in connection.execute(joined.where(_record.c.id.in_(newest))):
            facts = json.loads(row.facts) if row.facts else {}
            said = (facts.get(name, "") for name in ("address", "model", "serial"))
            found[row.job_id] = Present(row.id, row.number, *said)
    return found


def with_present(connection: Connection, organisation: int, swept: Sequence[Swept]) -> list[Swept]:
    """Return the same papers, each that was replaced with what holds in its place."""
    present = present_of(connection, organisation, {one.job_id for one in swept if one.record})
    made = []
    for one in swept:
        now = present.get(one.job_id)
        if now is not None and one.record and now.record != one.record:
            one = replace(
                one, present=now.number, present_address=now.address, present_model=now.model,
                present_serial=now.serial,
            )  # fmt: skip
        made.append(one)
    return made


def by_house(rows: Iterable[tuple[int, str, str]]) -> dict[str, list[int]]:
    """Return house -> its papers' ids, of (id, job, address as it holds now), in the order given."""
    found: dict[str, list[int]] = {}
    known: dict[str, str] = {}
    for record, job, address in rows:
        house = known.get(address) if address else None
        if house is None:
            house = known[address] = house_of(address, job)
        found.setdefault(house, []).append(record)
    return found
