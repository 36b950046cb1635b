"""Soak of issuing: many processes at once, killed at random moments, and then the account.

The command is `python -m heaterapp.soak`. Papers are fixed bytes but for those asked for
beside. POSIX only.
"""

import mmap
import os
import random
import signal
import struct
import time
import traceback
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from heaterapp.archive import soak_writer
from heaterapp.archive.soak_account import Outcome, account
from heaterapp.archive.soak_writer import render, submission
from heaterapp.archive.store import Store, open_store

__all__ = ["Outcome", "Soak", "render", "run", "submission"]

LONGEST_PAUSE_S = 0.03


@dataclass(frozen=True)
class Soak:
    """What is to be done. It ends after `issues` acknowledgements (0: never), or after `seconds`."""

    folder: Path
    writers: int = 16
    kills: int = 200
    issues: int = 0
    seconds: float = 60
    seed: int = 0
    url: str | None = None
    restart: Callable[[], None] | None = None
    """Ends the database's server hard; it comes up again by itself."""
    restarts: int = 0
    beside: Callable[[Store, Path], int] | None = None
    """Something done in a process of its own meanwhile; how many papers it read back is its answer."""


def run(soak: Soak, say: Callable[[str], None] = lambda line: None) -> Outcome:
    """Run the soak, in an empty folder and an empty database, and return its account."""
    if _wait(_fork(lambda: _prepare(soak))):
        raise RuntimeError("the soak could not be prepared")
    with mmap.mmap(-1, 8 * soak.writers) as told:
        return _Running(soak, told, say).run()


class _Running:
    def __init__(self, soak: Soak, told: mmap.mmap, say: Callable[[str], None]):
        self._soak = soak
        self._told = told
        self._say = say
        self._draw = random.Random(soak.seed)  # noqa: S311
        self._alive: dict[int, int] = {}
        self._outcome = Outcome()
        self._began = time.monotonic()

    def run(self) -> Outcome:
        soak = self._soak
        beside = _fork(lambda: _beside(soak)) if soak.beside else None
        try:
            for writer in range(soak.writers):
                self._start(writer)
            for at, act in self._moments():
                if not self._reached(at):
                    break
                act()
            self._reached(1.0)
            (soak.folder / "stop").touch()
            for pid in list(self._alive):
                _wait(pid)
                self._alive.pop(pid)
            if beside is not None and _wait(beside):
                self._outcome.faults.append("the real papers beside failed")
            beside = None
        finally:
            for pid in [*self._alive, *([beside] if beside is not None else [])]:
                os.kill(pid, signal.SIGKILL)
                _wait(pid)
        self._outcome.seconds = time.monotonic() - self._began
        read_back = soak.folder / "papers"
        self._outcome.papers = int(read_back.read_text()) if read_back.exists() else 0
        account(lambda: _open(soak), soak.folder, soak.writers, self._outcome)
        return self._outcome

    def _moments(self) -> list[tuple[float, Callable[[], None]]]:
        # The first twentieth is left for the writers to begin.
        kills = [(self._draw.uniform(0.05, 1), self._kill) for _ in range(self._soak.kills)]
        restarts = [(self._draw.uniform(0.05, 1), self._restart) for _ in range(self._soak.restarts)]
        return sorted(kills + restarts, key=lambda moment: moment[0])

    def _progress(self) -> float:
        passed = (time.monotonic() - self._began) / self._soak.seconds
        if not self._soak.issues:
            return passed
        if passed >= 1:
            self._outcome.faults.append("the time was up before the issues were done")
            return 2.0
        return sum(struct.unpack(f"{self._soak.writers}q", self._told)) / self._soak.issues

    def _reached(self, part: float) -> bool:
        """Wait until this part of the whole is done; False when the time was up before."""
        spoken = time.monotonic()
        while (done := self._progress()) < part:
            time.sleep(0.002)
            if time.monotonic() - spoken > 30:
                spoken = time.monotonic()
                self._say(f"{done:.1%} after {spoken - self._began:.0f} s, {self._outcome.kills} kills")
        return done < 2.0 or not self._soak.issues

    def _start(self, writer: int) -> None:
        self._alive[_fork(lambda: _write(self._soak, writer, self._told))] = writer

    def _kill(self) -> None:
        time.sleep(self._draw.uniform(0, LONGEST_PAUSE_S))
        pid = self._draw.choice(list(self._alive))
        os.kill(pid, signal.SIGKILL)
        _wait(pid)
        self._outcome.kills += 1
        self._start(self._alive.pop(pid))

    def _restart(self) -> None:
        self._soak.restart()
        self._outcome.restarts += 1


def _open(soak: Soak) -> Store:
    return open_store(url=soak.url, data_dir=soak.folder, upgrade=False)


def _prepare(soak: Soak) -> None:
    store = open_store(url=soak.url, data_dir=soak.folder)
    firm = store.organisations.default().id
    store.people.add(firm, soak_writer.LOGIN, "A. Installer", "installer", "soak soak soak")


def _beside(soak: Soak) -> None:
    store = _open(soak)
    read_back = soak.beside(store, soak.folder)
    (soak.folder / "papers").write_text(str(read_back))
    store.close()


def _write(soak: Soak, writer: int, told: mmap.mmap) -> None:
    def count() -> None:
        at = struct.unpack_from("q", told, 8 * writer)[0]
        struct.pack_into("q", told, 8 * writer, at + 1)

    soak_writer.write(soak_writer.patiently(lambda: _open(soak)), soak.folder, writer, count)


def _wait(pid: int) -> int:
    return os.waitpid(pid, 0)[1]


def _fork(work: Callable[[], object]) -> int:
    """Run `work` in a forked process, so that no open database is ever carried across a fork."""
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
