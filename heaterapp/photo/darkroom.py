"""Photos are opened in processes of their own, so that a hostile one can break nothing else."""

from __future__ import annotations

import atexit
import gc
import os
import resource
import signal
from dataclasses import dataclass
from multiprocessing.connection import Connection
from pathlib import Path

from heaterapp.crew import Crew, Died, Hand

from .header import LONGEST_SIDE, SAYS, NotAPhoto, looked_at, size_of

MOST_WORKERS = 2
SECONDS = 2.5
"""Longest that a process may take over one photo; then it is killed."""
TICKS = os.sysconf("SC_CLK_TCK")
START_SECONDS = 60.0
MOST_MEMORY = 300_000_000
MOST_ANSWER = 10_000_000
TRIES = 2
READY, MADE, REFUSED, TOO_MUCH, BROKEN = b"r", b"m", b"n", b"o", b"b"


class DarkroomFailed(RuntimeError):
    """The process that opens photos could not be started, got no time, or answers what it should not."""


@dataclass(frozen=True, slots=True)
class Tidied:
    """A photo that can be kept: JPEG bytes, width and height [px]."""

    body: bytes
    width: int
    height: int


def _limited() -> None:
    resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY, MOST_MEMORY))
    for kind in (resource.RLIMIT_CORE, resource.RLIMIT_FSIZE):
        resource.setrlimit(kind, (0, 0))


def serve(door: Connection) -> None:
    """The process's life: say that it is ready, then one answer to every photo."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        from .picture import remade

        _limited()
    except Exception as fault:  # a missing library: its own sentence says what to install
        door.send_bytes(BROKEN + f"{type(fault).__name__}: {fault}"[:500].encode())
        return
    door.send_bytes(READY)
    while True:
        try:
            body = door.recv_bytes()
        except (EOFError, ConnectionError):
            return
        except MemoryError:
            door.send_bytes(TOO_MUCH)
            return
        try:
            made, _, _ = remade(body)
            answer = MADE + made
        except NotAPhoto as fault:
            answer = REFUSED + f"{fault.code} {fault}".encode()
        except MemoryError:
            answer = TOO_MUCH
        del body
        door.send_bytes(answer)
        gc.collect()


class Worker(Hand):
    """One process that opens photos. Plain bytes go both ways: nothing that it sends is ever run."""

    def __init__(self) -> None:
        super().__init__(serve, "heaterapp-darkroom")
        self._ready = False

    def _answer(self, seconds: float) -> bytes | None:
        """What it says within so many seconds; None when it says nothing."""
        try:
            return self._door.recv_bytes(MOST_ANSWER) if self._door.poll(seconds) else None
        except (EOFError, OSError) as gone:
            raise Died from gone

    def develop(self, body: bytes) -> bytes | None:
        """Have one photo made; its answer, or None when it took too long."""
        if not self._ready:
            answer = self._answer(START_SECONDS)
            if answer != READY:
                raise DarkroomFailed((answer or b"").removeprefix(BROKEN).decode() or "it does not start")
            self._ready = True
        try:
            before = self._worked()
            self._door.send_bytes(body)
            answer = self._answer(SECONDS)
            if answer is None and self._worked() - before < SECONDS / 2:
                raise DarkroomFailed("this machine is too busy to open a photo now")
        except OSError as gone:
            raise Died from gone
        return answer

    def _worked(self) -> float:
        """The seconds that the machine has worked for this process."""
        told = Path(f"/proc/{self.process.pid}/stat").read_text(encoding="ascii").rpartition(")")[2].split()
        return (int(told[11]) + int(told[12])) / TICKS


class _Darkroom(Crew[Worker]):
    """The processes, at most two."""

    def __init__(self) -> None:
        super().__init__(MOST_WORKERS)

    def _start(self) -> Worker:
        return Worker()

    def _once(self, body: bytes) -> bytes | None:
        """One process's answer. Whatever but a clean answer comes of it, the process is not used again."""
        worker, clean = self.take(), False
        try:
            answer = worker.develop(body)
            clean = answer is not None and answer[:1] in (MADE, REFUSED)
            return answer
        finally:
            self.give(worker, again=clean)

    def develop(self, body: bytes) -> Tidied:
        """See `tidied`. A process that died or ran short of memory is replaced once."""
        says = "damaged"
        for _ in range(TRIES):
            try:
                answer = self._once(body)
            except Died:
                says = "damaged"
                continue
            if answer is None:
                raise NotAPhoto("too_large", SAYS["slow"])
            if answer[:1] == MADE:
                return _checked(answer[1:])
            if answer[:1] == REFUSED:
                code, _, text = answer[1:].decode().partition(" ")
                raise NotAPhoto(code, text)
            says = "too_large"
        raise NotAPhoto(says)


def _checked(made: bytes) -> Tidied:
    try:
        kind = looked_at(made)
        width, height = size_of(made, kind)
    except NotAPhoto as fault:
        raise DarkroomFailed("what was made of a photo is none") from fault
    if kind != "jpeg" or max(width, height) > LONGEST_SIDE:
        raise DarkroomFailed("what was made of a photo is not as it was to be")
    return Tidied(made, width, height)


_darkroom = _Darkroom()
atexit.register(_darkroom.close)


def tidied(body: bytes) -> Tidied:
    """Make a photo that can be kept of what a phone sent; see the package."""
    looked_at(body)
    return _darkroom.develop(body)


def shutdown() -> None:
    """Stop the processes; the next photo starts new ones."""
    _darkroom.close()
