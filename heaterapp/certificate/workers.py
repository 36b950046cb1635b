"""Papers are pressed in processes of their own: the renderer's fonts must not be shared between threads."""

from __future__ import annotations

import atexit
import gc
import signal
from collections.abc import Callable
from multiprocessing.connection import Connection
from typing import Any

from heaterapp.crew import Crew, Died, Hand

from . import cover, redacted, translated
from .filed import Filed
from .release import release

MOST_WORKERS = 2
SECONDS = 30.0
"""Longest that one record's papers may take, after the worker is up."""
START_SECONDS = 60.0
TRIES = 2


MAKERS: dict[type, Callable[[Any], dict[str, bytes]]] = {
    cover.Cover: cover.pressed, redacted.Redacted: redacted.pressed,
    translated.Translated: translated.pressed,
}  # fmt: skip
Wanted = Filed | cover.Cover | redacted.Redacted | translated.Translated


class RenderFailed(RuntimeError):
    """The papers could not be made. The text says why; the record is untouched and may be tried again."""


def serve(door: Connection) -> None:
    """The worker's life: press one throw-away paper, say so, then one answer to every record."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        from .press import render_here, warm_up

        warm_up()
    except Exception as fault:  # a missing font or library: its own sentence says what to install
        door.send(("failed", f"{type(fault).__name__}: {fault}"[:500]))
        return
    gc.collect()
    gc.freeze()
    door.send(("ready", None))
    while True:
        try:
            filed = door.recv()
        except (EOFError, ConnectionError):
            return
        try:
            make = MAKERS.get(type(filed), render_here)
            door.send(("made", make(filed)))
        except Exception as fault:  # whatever breaks is told to the caller, and the worker lives on
            door.send(("failed", f"{type(fault).__name__}: {fault}"[:500]))
        gc.collect()  # the last layout goes now, while nobody waits


class Worker(Hand):
    """One process that presses papers."""

    def __init__(self) -> None:
        super().__init__(serve, "heaterapp-press")
        self._ready = False

    def _answer(self, seconds: float) -> tuple[str, Any]:
        try:
            if not self._door.poll(seconds):
                self.stop()
                raise RenderFailed(f"the papers were not made within {seconds:g} s; the worker was stopped")
            answer: tuple[str, Any] = self._door.recv()
            return answer
        except (EOFError, OSError) as gone:
            raise Died from gone

    def wait(self) -> None:
        """Wait until the worker has pressed its throw-away paper."""
        if not self._ready:
            word, answer = self._answer(START_SECONDS)
            if word != "ready":
                raise RenderFailed(answer)
            self._ready = True

    def press(self, filed: Wanted, seconds: float) -> tuple[str, Any]:
        """Have one record's papers made."""
        self.wait()
        try:
            self._door.send(filed)
        except OSError as gone:
            raise Died from gone
        return self._answer(seconds)


class _Shop(Crew[Worker]):
    """The workers, at most two."""

    def __init__(self) -> None:
        super().__init__(MOST_WORKERS)

    def _start(self) -> Worker:
        return Worker()

    def press(self, filed: Wanted, seconds: float) -> dict[str, bytes]:
        """Have the papers made; a worker that dies is replaced once."""
        for _ in range(TRIES):
            worker, again = self.take(), False
            try:
                word, answer = worker.press(filed, seconds)
                again = True
            except Died:
                continue
            finally:
                self.give(worker, again)
            if word != "made":
                raise RenderFailed(answer)
            made: dict[str, bytes] = answer
            return made
        number = getattr(filed, "number", "") or filed.filed.number  # type: ignore[union-attr]
        raise RenderFailed(f"the worker died {TRIES} times while making the papers of {number}")

    def warm(self) -> None:
        """Start one worker and wait until it is ready."""
        worker = self.take()
        try:
            worker.wait()
        finally:
            self.give(worker, again=True)


_shop = _Shop()
atexit.register(_shop.close)


def render_files(record: Any, seconds: float = SECONDS) -> dict[str, bytes]:
    """Make a record's papers in a worker process; see the package.

    seconds  longest the worker may take  [s]
    """
    filed = Filed.of(record)
    filed.judged()
    return _shop.press(filed, seconds)


render_files.release = release  # type: ignore[attr-defined] # the archive keeps with the papers what made them


def render_redacted(copy: redacted.Redacted, seconds: float = SECONDS) -> bytes:
    """Make a copy with personal data left out in a worker process, as PDF bytes.

    seconds  longest the worker may take  [s]
    raises   RenderFailed, NotReady
    """
    copy.filed.judged()
    return _shop.press(copy, seconds)["copy.pdf"]


def render_translated(given: translated.Translated, seconds: float = SECONDS) -> bytes:
    """Make a paper in another language in a worker process, as PDF bytes.

    seconds  longest the worker may take  [s]
    raises   RenderFailed, NotReady
    """
    given.filed.judged()
    return _shop.press(given, seconds)[given.name]


def render_cover(page: cover.Cover, seconds: float = SECONDS) -> bytes:
    """Make the cover page of a copy in a worker process, as PDF bytes.

    seconds  longest the worker may take  [s]
    raises   RenderFailed
    """
    return _shop.press(page, seconds)["cover.pdf"]


def warm() -> None:
    """Start a worker before it is needed, and wait until it is."""
    _shop.warm()


def shutdown() -> None:
    """Stop the workers; the next record starts new ones."""
    _shop.close()
