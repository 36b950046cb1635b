"""The account after a soak: every number, key and acknowledgement held against the archive."""

import time
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path

from sqlalchemy import select

from heaterapp.archive import office_tables, tables
from heaterapp.archive.organisations import DEFAULT_PREFIXES
from heaterapp.archive.shapes import KINDS
from heaterapp.archive.soak_writer import read_notes, read_words, render, submit, who
from heaterapp.archive.store import Store


@dataclass
class Outcome:
    """What the soak saw. `faults` is empty when all promises held."""

    issued: int = 0
    acknowledged: int = 0
    kills: int = 0
    restarts: int = 0
    found_committed: int = 0
    repeats: int = 0
    voided: int = 0
    superseded: int = 0
    papers: int = 0
    finished_at_start: int = 0
    seconds: float = 0.0
    restart_s: float = 0.0
    verify_s: float = 0.0
    faults: list[str] = field(default_factory=list)

    def lines(self) -> list[str]:
        more = [f"{self.restarts} restarts of the database's server"] if self.restarts else []
        more += [f"{self.papers} real papers rendered beside and read back"] if self.papers else []
        return [
            f"{self.kills} hard kills in {self.seconds:.1f} s of issuing",
            *more,
            f"{self.issued} records, {self.issued / self.seconds:.0f} a second",
            f"{self.superseded} of them replaced by a later one, {self.voided} voided",
            f"{self.acknowledged} acknowledged, {self.repeats} of them sent again and compared",
            f"{self.found_committed} retries after a kill found their first try committed",
            f"{self.finished_at_start} papers finished at start",
            f"start again: {self.restart_s:.2f} s; verify every byte: {self.verify_s:.1f} s",
            "gaps, duplicates, acknowledged losses, forked keys, chain faults: "
            + (f"{len(self.faults)} FOUND" if self.faults else "0"),
            # A submission that was refused comes last: what is lost must be seen.
            *sorted(self.faults, key=lambda fault: fault.startswith("error "))[:20],
        ]


def account(open_again, folder: Path, writers: int, outcome: Outcome) -> None:
    """Start the archive again, finish what waits, send the last keys again, and compare all."""
    began = time.monotonic()
    store = open_again()
    done = store.finish_pending(render)
    recent = store.verify_recent()
    outcome.restart_s = time.monotonic() - began
    outcome.finished_at_start = len(done.finished)
    outcome.faults += [f"could not finish {record}: {why}" for record, why in done.failed]
    outcome.faults += [str(fault) for fault in recent.faults]
    organisation, person = who(store)
    promised: dict[str, str] = {}
    voided: dict[str, int] = {}
    for writer in range(writers):
        tried, answered = read_notes(folder, writer)
        promised |= answered
        for key in tried[-1:]:
            if key not in answered:
                submit(store, organisation, person, key)
        outcome.found_committed += len(read_words(folder, writer, "found"))
        outcome.repeats += len(read_words(folder, writer, "same"))
        for line in read_words(folder, writer, "voided"):
            voided[line.split()[1]] = int(line.split()[2])
        outcome.faults += read_words(folder, writer, "error", "other")
    outcome.acknowledged = len(promised)
    compare(store, organisation, promised, outcome)
    compare_voids(store, organisation, voided, outcome)
    began = time.monotonic()
    outcome.faults += [str(fault) for fault in store.verify().faults]
    outcome.verify_s = time.monotonic() - began
    store.close()


def compare(store: Store, organisation: int, promised: dict[str, str], outcome: Outcome) -> None:
    """Hold key -> number as it was told against what is stored; add what differs to the faults."""
    record, key_table = tables.record, tables.submission
    with store.database.read() as connection:
        rows = connection.execute(
            select(record, key_table.c.key)
            .outerjoin(key_table, key_table.c.record == record.c.id)
            .where(record.c.organisation == organisation)
            .order_by(record.c.id)
        ).all()
        waiting = len(connection.execute(select(tables.pending)).all())
    outcome.issued = len(rows)
    numbers = {row.key: row.number for row in rows}
    for kind in KINDS:
        found = [row.number for row in rows if row.kind == kind]
        expected = [f"{DEFAULT_PREFIXES[kind]}-{at:06d}" for at in range(1, len(found) + 1)]
        if found != expected:
            outcome.faults.append(f"{kind}: numbers do not run 1 to {len(found)} in order")
    outcome.faults += [
        f"{key} was told {number}" for key, number in promised.items() if numbers.get(key) != number
    ]
    many = [key for key, count in Counter(row.key for row in rows).items() if count > 1 or key is None]
    outcome.faults += [f"{key} has more than one record" for key in many]
    compare_lines(rows, outcome)
    if waiting:
        outcome.faults.append(f"{waiting} records without papers")


def compare_lines(rows: list, outcome: Outcome) -> None:
    """Add to the faults where a line of corrections forks, breaks off or skips a revision."""
    replaced = Counter(row.supersedes for row in rows if row.supersedes is not None)
    outcome.superseded = len(replaced)
    outcome.faults += [f"record {one} was replaced {n} times" for one, n in replaced.items() if n > 1]
    current = Counter((row.job_id, row.kind) for row in rows if row.id not in replaced)
    outcome.faults += [f"job {job} has {count} current" for job, count in current.items() if count != 1]
    places = {row.id: (row.job_id, row.kind, row.revision) for row in rows}
    for row in rows:
        before = places.get(row.supersedes) if row.supersedes is not None else (row.job_id, row.kind, 0)
        if before != (row.job_id, row.kind, row.revision - 1):
            outcome.faults.append(f"record {row.id} does not follow the one before it")


def compare_voids(store: Store, organisation: int, voided: dict[str, int], outcome: Outcome) -> None:
    """Hold key -> record as its void was acknowledged against the voids that are stored."""
    table = office_tables.void
    with store.database.read() as connection:
        kept = connection.execute(select(table.c.record).where(table.c.organisation == organisation))
        stored = set(kept.scalars())
    outcome.voided = len(stored)
    outcome.faults += [f"{key}: its void is lost" for key, record in voided.items() if record not in stored]
