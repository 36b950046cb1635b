"""Backups as the settings want them: one after the other from a thread, and now when somebody asks.

Knows the archive and its settings, no web.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
import socket
import sys
import threading
from collections.abc import Callable, Mapping
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any, NamedTuple

from heaterapp.archive import ArchiveError, open_store
from heaterapp.archive.backups import later

LOOK_EVERY_S = 60.0
NICE = 10
RENEW_EVERY_S = 60.0


class Wanted(NamedTuple):
    """What the settings say: where backups go, how often (hours), how many stay, the key that goes along,
    and where bodies lie that are not in the database."""

    folder: Path
    hours: int
    keep: int
    secret: Path
    blobs: str | None = None
    blobs_endpoint: str | None = None


def wanted(config: Mapping[str, Any]) -> Wanted | None:
    """Return what the settings want, or None where they name no folder for backups."""
    if not config["BACKUPS"]:
        return None
    secret = Path(config["DATA_DIR"]) / "secret-key"
    folder, places = Path(config["BACKUPS"]).resolve(), (config["BLOBS"], config["S3_ENDPOINT"])
    return Wanted(folder, config["BACKUP_HOURS"], config["BACKUP_KEEP"], secret, *places)


def run(store: Any, plan: Wanted, token: str) -> bool:
    """Make the backup claimed with `token` and write down how it went; return whether it is good."""
    timetable = store.backups.timetable
    try:
        good, said = make(store, plan, lambda: timetable.renew(token))
    except Exception as broken:
        timetable.failed(token, f"The backup broke off: {type(broken).__name__}.")
        raise
    if good:
        timetable.done(token, f"{said} {socket.gethostname()}")
    else:
        timetable.failed(token, said)
        print(f"Backup: {said}", file=sys.stderr, flush=True)
    return good


def make(store: Any, plan: Wanted, renew: Callable[[], object]) -> tuple[bool, str]:
    """Make one in a process of its own, so that nobody at the pages waits for it.

    renew    called once a minute while it is at work
    returns  True with the backup's name and size in bytes, or False with the sentence that says why not
    """
    spawning = multiprocessing.get_context("spawn")
    answer, door = spawning.Pipe(duplex=False)
    url = store.database.engine.url.render_as_string(hide_password=False)
    process = spawning.Process(target=work, args=(url, plan, door), name="heaterapp-backup", daemon=True)
    process.start()
    door.close()
    with answer:
        while not answer.poll(RENEW_EVERY_S):
            renew()
        try:
            told: tuple[bool, str] = answer.recv()
        except EOFError:
            told = False, "The process that made the backup was ended before it was done."
    process.join()
    return told


def work(url: str, plan: Wanted, door: Connection) -> None:
    """The life of that process: one backup, less eager than whoever serves, and one answer."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    os.nice(NICE)
    store = None
    try:
        store = open_store(url, upgrade=False, blobs=plan.blobs, blobs_endpoint=plan.blobs_endpoint)
        made = store.backups.make(plan.folder, plan.secret, plan.keep)
        if made.unnoted:
            print(f"Backup: {made.unnoted}.", file=sys.stderr, flush=True)
        door.send((True, f"{made.path.name} {made.size}"))
    except ArchiveError as refused:
        door.send((False, f"{str(refused).rstrip('.')}."))
    finally:
        if store is not None:
            store.close()


def run_if_due(store: Any, plan: Wanted) -> bool | None:
    """Make a backup if one is due and nobody else makes it: True good, False failed, None not ours."""
    token = store.backups.timetable.claim(plan.hours)
    return None if token is None else run(store, plan, token)


def start_now(store: Any, plan: Wanted) -> bool:
    """Begin a backup in a thread of its own; False where one is being made already."""
    token = store.backups.timetable.claim()
    if token is None:
        return False
    threading.Thread(target=run, args=(store, plan, token), name="backup", daemon=True).start()
    return True


class Rounds:
    """The thread that looks once a minute whether a backup is due; `end` stops it between two looks."""

    def __init__(self, store: Any, plan: Wanted):
        self._store, self._plan = store, plan
        self._ended = threading.Event()
        self._thread = threading.Thread(target=self._go, name="backups", daemon=True)
        self._thread.start()

    def _go(self) -> None:
        noting = later.Noting(self._store.database, self._plan.folder)
        while True:
            try:
                noting.note()
            except Exception as broken:  # whatever it is: backups go on; no folder is there before the first
                if self._plan.folder.is_dir():
                    said = f"Later erasures: {type(broken).__name__}: {broken}"
                    print(said.splitlines()[0][:300], file=sys.stderr)
            try:
                run_if_due(self._store, self._plan)
            except Exception as broken:  # the database may be away for a while: the next look may find it
                print(f"Backup: {type(broken).__name__}: {broken}".splitlines()[0][:300], file=sys.stderr)
            if self._ended.wait(LOOK_EVERY_S):
                return

    def end(self) -> None:
        self._ended.set()
        self._thread.join(1)


class Late(NamedTuple):
    """What is said of backups that are late, and the moment it is about, if any."""

    words: str
    at: str = ""

    def __str__(self) -> str:
        return f"{self.words} {self.at[:10]} {self.at[11:16]} UTC." if self.at else self.words


def warning(store: Any, config: Mapping[str, Any]) -> Late | None:
    """Return what to say where the last good backup is too old or there is none, else None."""
    plan = wanted(config)
    if plan is None or not store.backups.timetable.is_overdue(plan.hours):
        return None
    good = store.backups.timetable.standing().good
    if good is None:
        return Late("No backup has been made yet, and the last try failed.")
    return Late("The last good backup is too old: it was made", good.at)
