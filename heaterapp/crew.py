"""Processes that work for the app's threads: a few, started when first needed, each one thread's at a time.

What may break, or is hostile, runs in one of them: the renderer of papers, the opener of photos. Whatever
goes wrong there ends that process and nothing else.
"""

from __future__ import annotations

import multiprocessing
import queue
import tempfile
import threading
from abc import ABC, abstractmethod
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from multiprocessing.connection import Connection
from typing import Any, Generic, TypeVar

ENDING_S = 5


class Died(Exception):
    """The process ended without an answer."""


class NoTurn(Exception):
    """Too many wait already, or the turn did not come in time."""


class Turns:
    """One at a time; each waits as long as it said, and whoever finds too many here does not wait at all."""

    def __init__(self) -> None:
        self._free = threading.Semaphore()
        self._lock = threading.Lock()
        self._here = 0

    @contextmanager
    def turn(self, seconds: float, behind: int | None = None) -> Iterator[None]:
        """Wait for one's turn, and have it.

        seconds  longest to wait  [s]
        behind   how many may be here already, whose turn it is included; any number where none is given
        raises   NoTurn
        """
        with self._lock:
            if behind is not None and self._here > behind:
                raise NoTurn
            self._here += 1
        try:
            if not self._free.acquire(timeout=seconds):
                raise NoTurn
            try:
                yield
            finally:
                self._free.release()
        finally:
            with self._lock:
                self._here -= 1


def _begin(life: Callable[[Connection], None], door: Connection, folder: str) -> None:
    tempfile.tempdir = folder
    life(door)


class Hand:
    """One process, the pipe to it, and the folder for its passing files, which goes with it.

    life  what it does from its first to its last moment; it is given its end of the pipe
    name  how it is listed among the machine's processes
    """

    def __init__(self, life: Callable[[Connection], None], name: str) -> None:
        spawning = multiprocessing.get_context("spawn")
        self._door, inner = spawning.Pipe()
        self._folder = tempfile.TemporaryDirectory(prefix=f"{name}-", ignore_cleanup_errors=True)
        given = (life, inner, self._folder.name)
        self.process = spawning.Process(target=_begin, args=given, daemon=True, name=name)
        self.process.start()
        inner.close()

    @property
    def alive(self) -> bool:
        """Whether the process still runs."""
        return self.process.is_alive()

    def stop(self) -> None:
        """End the process now."""
        self._door.close()
        self.process.kill()
        self.process.join(ENDING_S)
        self._folder.cleanup()


Any_Hand = TypeVar("Any_Hand", bound=Any)


class Crew(ABC, Generic[Any_Hand]):
    """At most so many processes; whoever takes one gives it back, and says whether it may be used again."""

    def __init__(self, most: int) -> None:
        self._idle: queue.LifoQueue[Any_Hand | None] = queue.LifoQueue()
        for _ in range(most):
            self._idle.put(None)
        self._started: set[Any_Hand] = set()
        self._lock = threading.Lock()

    @abstractmethod
    def _start(self) -> Any_Hand:
        """Start one process."""

    def take(self) -> Any_Hand:
        """A process that nobody else has, waited for; one that ended is replaced."""
        hand = self._idle.get()
        try:
            if hand is None or not hand.alive:
                self._forget(hand)
                hand = self._start()
                with self._lock:
                    self._started.add(hand)
            return hand
        except BaseException:
            self._idle.put(None)
            raise

    def give(self, hand: Any_Hand, again: bool) -> None:
        """Give one back. Where it may not be used again, an answer may still be under way, it is ended."""
        try:
            if not again:
                self._forget(hand)
        finally:
            self._idle.put(hand if again else None)

    def _forget(self, hand: Any_Hand | None) -> None:
        if hand is not None:
            hand.stop()
            with self._lock:
                self._started.discard(hand)

    def close(self) -> None:
        """End every process; a later call starts new ones."""
        with self._lock:
            started, self._started = self._started, set()
        for hand in started:
            hand.stop()
