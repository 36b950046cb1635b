"""One writer of the soak: issues, corrects, voids and sends again, and notes what it was told.

A key is noted before it is sent and its number once it is acknowledged, so that a writer
that was killed takes up its last unanswered key again.
"""

import itertools
import os
import random
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from uuid import UUID

from sqlalchemy.exc import DBAPIError

from heaterapp.archive.errors import AlreadyVoid, JobIssued, NotCurrent, SupersedeConflict
from heaterapp.archive.shapes import Facts, Issued, Record, Submission
from heaterapp.archive.store import Store

KINDS_DRAWN = ("certificate",) * 6 + ("correction_list",) * 2 + ("findings_report",) * 2
STREETS = ("Oak Ave", "Quay Street", "N. Harbor Road", "Larkin Court")
SHARED_JOBS = 50
AGAIN, VOIDED = 5, 11
"""Every so many issues one is sent again, and one is voided."""
PATIENCE_S = 60
LOGIN = "soak"


def render(record: Record) -> dict[str, bytes]:
    """Return papers that depend on the record and cost nothing."""
    return {"certificate.pdf": b"%PDF-" + record.number.encode() + record.check_code.encode() + bytes(1000)}


def submission(organisation: int, person: int, key: str) -> Submission:
    """Return the one submission a key stands for, the same in every process.

    Of ten, seven are for a new job, two for an earlier one of this writer, and one for a
    job that all writers share.
    """
    draw = random.Random(key)  # noqa: S311
    writer, _, turn = key.partition("-")
    at = int(turn)
    part = draw.random()
    job = f"{writer} {at}" if part < 0.7 else f"{writer} {draw.randrange(at + 1)}"
    if part > 0.9:
        job = f"shared {draw.randrange(SHARED_JOBS)}"
    return Submission(
        organisation=organisation,
        person=person,
        job_id=str(UUID(int=random.Random(job).getrandbits(128))),  # noqa: S311
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


def who(store: Store) -> tuple[int, int]:
    """Return the organisation and the person everything is issued as."""
    organisation = store.organisations.default().id
    person = store.people.by_login(organisation, LOGIN)
    assert person is not None  # noqa: S101
    return organisation, person.id


def submit(store: Store, organisation: int, person: int, key: str, maybe_known: bool = True) -> Issued:
    """Issue a key's submission, as often as others come between; the key's one answer.

    maybe_known  False when the key was certainly never sent before
    """
    wish = submission(organisation, person, key)
    job = store.jobs.create(organisation, person, {"key": key}, wish.job_id)
    correcting = job.state == "issued" and random.Random(f"{key} corrects").random() < 0.5  # noqa: S311
    while True:
        if maybe_known and store.records.by_key(organisation, key) is not None:
            return store.issue_and_finish(wish, render)
        if job.state == "issued":
            store.jobs.reopen(organisation, job.id)
        current = store.records.current(organisation, job.id, wish.kind) if correcting else None
        try:
            return store.issue_and_finish(
                replace(wish, supersedes=current.record if current else None), render
            )
        except (JobIssued, SupersedeConflict):
            job = store.jobs.get(organisation, job.id)


def read_notes(folder: Path, writer: int) -> tuple[list[str], dict[str, str]]:
    """Return the keys a writer tried, in order, and key -> number of those acknowledged."""
    lines = [line.split() for line in _note_lines(folder, writer)]
    return (
        [line[1] for line in lines if line[0] == "try"],
        {line[1]: line[2] for line in lines if line[0] == "ack"},
    )


def read_words(folder: Path, writer: int, *words: str) -> list[str]:
    """Return a writer's lines that begin with one of the words."""
    return [line for line in _note_lines(folder, writer) if line.partition(" ")[0] in words]


def _note_lines(folder: Path, writer: int) -> list[str]:
    path = folder / f"notes-{writer}"
    # A line that a kill cut short was never told to anybody.
    return path.read_text().rpartition("\n")[0].splitlines() if path.exists() else []


def write(store: Store, folder: Path, writer: int, told: Callable[[], None]) -> None:
    """Issue until the file `stop` is in the folder; `told` is called for each acknowledgement."""
    organisation, person = patiently(lambda: who(store))
    notes = os.open(folder / f"notes-{writer}", os.O_WRONLY | os.O_APPEND | os.O_CREAT, 0o600)

    def note(*words: object) -> None:
        os.write(notes, " ".join(str(word) for word in words).replace("\n", " ").encode() + b"\n")

    tried, answered = read_notes(folder, writer)
    turn = len(tried) - 1 if tried and tried[-1] not in answered else len(tried)
    while not (folder / "stop").exists():
        key = f"writer{writer}-{turn:08}"
        new = turn == len(tried)
        if new:
            note("try", key)
            tried.append(key)
        tries = itertools.count()
        try:
            answer = patiently(
                lambda key=key, new=new, tries=tries: submit(
                    store, organisation, person, key, not new or next(tries) > 0
                )
            )
            if answer.repeated:
                note("found", key)
            note("ack", key, answer.number)
            told()
            _then(store, organisation, person, key, turn, answer, note)
        except Exception as error:
            note("error", key, type(error).__name__, error)
        turn += 1


def _then(store: Store, organisation: int, person: int, key: str, turn: int, answer: Issued, note) -> None:
    if turn % AGAIN == AGAIN - 1:
        again = patiently(lambda: submit(store, organisation, person, key))
        note("same" if again.number == answer.number else "other", key, again.number)
    if turn % VOIDED == VOIDED - 1:
        try:
            patiently(lambda: store.void(organisation, answer.record, person, "Soak: issued in error."))
        except AlreadyVoid:
            pass  # the first try was kept, and its answer lost with the server
        except NotCurrent:
            return  # another writer replaced it meanwhile
        note("voided", key, answer.record)


def patiently(act: Callable):
    """Do `act`, again and again while the database's server is being started anew."""
    until = time.monotonic() + PATIENCE_S
    while True:
        try:
            return act()
        except Exception as error:
            if not _server_gone(error) or time.monotonic() > until:
                raise
            time.sleep(0.1)


def _server_gone(error: Exception) -> bool:
    said = str(error)
    if isinstance(error, DBAPIError):
        return error.connection_invalidated or "onnection" in said or "starting up" in said
    # A transaction that cannot even begin is told by the driver itself.
    return type(error).__module__.startswith("psycopg")
