"""Soak of issuing: many processes at once, killed at random moments, and then the account.

    python -m heaterapp.archive.soak --writers 16 --kills 200 --seconds 60
    ... --url postgresql+psycopg://soak@/soak?host=/run/postgresql

Each writer notes a key before it submits and the number once it is acknowledged; a
writer that was killed starts again with its last unanswered key. Papers are fixed
bytes. At the end every number, key and acknowledgement is held against the
archive. A url names an empty database, which is left as the soak filled it; without
one a throw-away SQLite file serves. POSIX only. Exits 1 when anything is wrong.
"""

import argparse
import os
import random
import shutil
import signal
import sys
import tempfile
import time
import traceback
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path
from uuid import UUID

from sqlalchemy import select

from heaterapp.archive import tables
from heaterapp.archive.organisations import DEFAULT_PREFIXES
from heaterapp.archive.shapes import KINDS, Facts, Record, Submission
from heaterapp.archive.store import Store, open_store

KINDS_DRAWN = ("certificate",) * 6 + ("correction_list",) * 2 + ("findings_report",) * 2
JOBS_PER_WRITER = 40
STREETS = ("Oak Ave", "Quay Street", "N. Harbor Road", "Larkin Court")


@dataclass
class Outcome:
    """What the soak saw. `faults` is empty when all promises held."""

    issued: int = 0
    acknowledged: int = 0
    kills: int = 0
    found_committed: int = 0
    repeats: int = 0
    finished_at_start: int = 0
    seconds: float = 0.0
    restart_s: float = 0.0
    faults: list[str] = field(default_factory=list)

    def lines(self) -> list[str]:
        return [
            f"{self.kills} hard kills in {self.seconds:.1f} s of issuing",
            f"{self.issued} records, {self.issued / self.seconds:.0f} a second",
            f"{self.acknowledged} acknowledged, {self.repeats} of them sent again and compared",
            f"{self.found_committed} retries after a kill found their first try committed",
            f"{self.finished_at_start} papers finished at start",
            f"start, finish and verify: {self.restart_s:.2f} s",
            "gaps, duplicates, acknowledged losses, forked keys, chain faults: "
            + (f"{len(self.faults)} FOUND" if self.faults else "0"),
            *self.faults[:20],
        ]


def render(record: Record) -> dict[str, bytes]:
    """Return papers that depend on the record and cost nothing."""
    return {"certificate.pdf": b"%PDF-" + record.number.encode() + record.check_code.encode() + bytes(1000)}


def submission(organisation: int, person: int, key: str) -> Submission:
    """Return the one submission a key stands for, the same in every process."""
    draw = random.Random(key)  # noqa: S311
    writer = key.split("-")[0]
    return Submission(
        organisation=organisation,
        person=person,
        job_id=str(UUID(int=random.Random(f"{writer} {draw.randrange(JOBS_PER_WRITER)}").getrandbits(128))),  # noqa: S311
        key=key,
        kind=draw.choice(KINDS_DRAWN),
        job=b'{"key":"' + key.encode() + b'"}',
        report=b'{"outcome":"ready"}' * 50,
        signature=b'{"typed":"A. Installer"}',
        ruleset_digest="soak",
        ruleset_version="1",
        ruleset_zip=b"rules" * 1000,
        facts=Facts(
            address=f"{draw.randrange(1, 999)} {draw.choice(STREETS)}",
            owner=f"Owner {draw.randrange(999)}",
            serial=f"S{draw.randrange(10**8):08}",
            work_date="2026-03-14",
        ),
    )


def run(
    writers: int, kills: int, seconds: float, folder: Path, seed: int = 0, url: str | None = None
) -> Outcome:
    """Run the soak in `folder` and the database at `url` (both must be empty) and return its account."""
    draw = random.Random(seed)  # noqa: S311
    _in_child(lambda: _prepare(folder, url))
    outcome = Outcome()
    began = time.monotonic()
    alive = {_fork_writer(folder, writer, url): writer for writer in range(writers)}
    try:
        for moment in sorted(draw.uniform(0.3, seconds) for _ in range(kills)):
            time.sleep(max(0.0, began + moment - time.monotonic()))
            writer = _kill(draw.choice(list(alive)), alive)
            outcome.kills += 1
            alive[_fork_writer(folder, writer, url)] = writer
        time.sleep(max(0.0, began + seconds - time.monotonic()))
        (folder / "stop").touch()
        for pid in list(alive):
            os.waitpid(pid, 0)
            alive.pop(pid)
    finally:
        for pid in list(alive):
            _kill(pid, alive)
    outcome.seconds = time.monotonic() - began
    _account(folder, writers, outcome, url)
    return outcome


def _kill(pid: int, alive: dict[int, int]) -> int:
    os.kill(pid, signal.SIGKILL)
    os.waitpid(pid, 0)
    return alive.pop(pid)


def _prepare(folder: Path, url: str | None) -> None:
    store = open_store(url=url, data_dir=folder)
    store.people.add(store.organisations.default().id, "soak", "A. Installer", "installer", "soak soak soak")


def _in_child(work) -> int:
    """Run `work` in a forked process, so that no open database is ever carried across a fork."""
    pid = _fork(work)
    _, status = os.waitpid(pid, 0)
    if status:
        raise RuntimeError("the soak could not be prepared")
    return pid


def _fork(work) -> int:
    pid = os.fork()
    if pid:
        return pid
    code = 1
    try:
        work()
        code = 0
    except BaseException:
        traceback.print_exc()
    os._exit(code)


def _fork_writer(folder: Path, writer: int, url: str | None) -> int:
    return _fork(lambda: _write(folder, writer, url))


def _write(folder: Path, writer: int, url: str | None) -> None:
    store = open_store(url=url, data_dir=folder, upgrade=False)
    organisation, person = _who(store)
    notes = os.open(folder / f"notes-{writer}", os.O_WRONLY | os.O_APPEND | os.O_CREAT, 0o600)
    tried, answered = _read_notes(folder, writer)
    turn = len(tried) - 1 if tried and tried[-1] not in answered else len(tried)
    while not (folder / "stop").exists():
        key = f"writer{writer}-{turn:08}"
        if turn == len(tried):
            os.write(notes, f"try {key}\n".encode())
            tried.append(key)
        try:
            number = _submit(store, organisation, person, key, notes)
            os.write(notes, f"ack {key} {number}\n".encode())
            if turn % 5 == 4:
                again = _submit(store, organisation, person, key, None)
                os.write(notes, f"{'same' if again == number else 'other'} {key} {again}\n".encode())
        except Exception as error:
            os.write(notes, f"error {key} {type(error).__name__} {error}".replace("\n", " ").encode() + b"\n")
        turn += 1


def _submit(store: Store, organisation: int, person: int, key: str, notes: int | None) -> str:
    wish = submission(organisation, person, key)
    job = store.jobs.create(organisation, person, {"key": key}, wish.job_id)
    if job.state == "issued" and store.records.by_key(organisation, key) is None:
        store.jobs.reopen(organisation, job.id)
    answer = store.issue_and_finish(wish, render)
    if answer.repeated and notes is not None:
        os.write(notes, f"found {key}\n".encode())
    return answer.number


def _who(store: Store) -> tuple[int, int]:
    organisation = store.organisations.default().id
    return organisation, store.people.all(organisation)[0].id


def _read_notes(folder: Path, writer: int) -> tuple[list[str], dict[str, str]]:
    path = folder / f"notes-{writer}"
    lines = [line.split() for line in path.read_text().splitlines()] if path.exists() else []
    return (
        [line[1] for line in lines if line[0] == "try"],
        {line[1]: line[2] for line in lines if line[0] == "ack"},
    )


def _account(folder: Path, writers: int, outcome: Outcome, url: str | None) -> None:
    began = time.monotonic()
    store = open_store(url=url, data_dir=folder)
    done = store.finish_pending(render)
    verified = store.verify()
    outcome.restart_s = time.monotonic() - began
    outcome.finished_at_start = len(done.finished)
    outcome.faults += [f"could not finish {record}: {why}" for record, why in done.failed]
    outcome.faults += [str(fault) for fault in verified.faults]
    organisation, person = _who(store)
    promised: dict[str, str] = {}
    for writer in range(writers):
        tried, answered = _read_notes(folder, writer)
        promised |= answered
        for key in tried[-1:]:
            if key not in answered:
                _submit(store, organisation, person, key, None)
        for line in (folder / f"notes-{writer}").read_text().splitlines():
            word = line.partition(" ")[0]
            outcome.found_committed += word == "found"
            outcome.repeats += word == "same"
            if word in ("error", "other"):
                outcome.faults.append(line)
    outcome.acknowledged = len(promised)
    _compare(store, organisation, promised, outcome)
    store.close()


def _compare(store: Store, organisation: int, promised: dict[str, str], outcome: Outcome) -> None:
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
    replaced = {row.supersedes for row in rows}
    current = Counter((row.job_id, row.kind) for row in rows if row.id not in replaced)
    outcome.faults += [f"job {job} has {count} current" for job, count in current.items() if count != 1]
    if waiting:
        outcome.faults.append(f"{waiting} records without papers")


def main(arguments: list[str] | None = None) -> int:
    parser = argparse.ArgumentParser(
        prog="python -m heaterapp.archive.soak", description=__doc__.split("\n")[0]
    )
    parser.add_argument("--writers", type=int, default=16)
    parser.add_argument("--kills", type=int, default=200)
    parser.add_argument("--seconds", type=float, default=60)
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--url", help="an empty database, such as postgresql+psycopg://soak@/soak")
    options = parser.parse_args(arguments)
    folder = Path(tempfile.mkdtemp(prefix="soak-"))
    print(f"{options.writers} writers, {options.kills} kills, {options.seconds:g} s ...", flush=True)
    try:
        outcome = run(options.writers, options.kills, options.seconds, folder, options.seed, options.url)
    finally:
        shutil.rmtree(folder, ignore_errors=True)
    print("\n".join(outcome.lines()))
    return 1 if outcome.faults else 0


if __name__ == "__main__":
    sys.exit(main())
