"""Papers are pressed in processes of their own: the renderer's fonts must not be shared between threads."""

from __future__ import annotations

import atexit
import gc
import multiprocessing
import queue
import signal
import threading
from multiprocessing.connection import Connection
from typing import Any

from .filed import Filed

MOST_WORKERS = 2
SECONDS = 30.0
"""Longest that one record's papers may take, after the worker is up."""
START_SECONDS = 60.0
TRIES = 2


class RenderFailed(RuntimeError):
    """The papers could not be made. The text says why; the record is untouched and may be tried again."""


class _Died(Exception):
    """The worker process ended without an answer."""


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
        except EOFError:
            return
        try:
            door.send(("made", render_here(filed)))
        except Exception as fault:  # whatever breaks is told to the caller, and the worker lives on
            door.send(("failed", f"{type(fault).__name__}: {fault}"[:500]))
        gc.collect()  # the last layout goes now, while nobody waits


class Worker:
    """One process and the pipe to it."""

    def __init__(self) -> None:
        spawning = multiprocessing.get_context("spawn")
        self._door, inner = spawning.Pipe()
        self.process = spawning.Process(target=serve, args=(inner,), daemon=True, name="heaterapp-press")
        self.process.start()
        inner.close()
        self._ready = False

    def _answer(self, seconds: float) -> tuple[str, Any]:
        try:
            if not self._door.poll(seconds):
                self.stop()
                raise RenderFailed(f"the papers were not made within {seconds:g} s; the worker was stopped")
            answer: tuple[str, Any] = self._door.recv()
            return answer
        except (EOFError, OSError) as gone:
            raise _Died from gone

    def wait(self) -> None:
        """Wait until the worker has pressed its throw-away paper."""
        if not self._ready:
            word, answer = self._answer(START_SECONDS)
            if word != "ready":
                raise RenderFailed(answer)
            self._ready = True

    def press(self, filed: Filed, seconds: float) -> tuple[str, Any]:
        """Have one record's papers made."""
        self.wait()
        try:
            self._door.send(filed)
        except OSError as gone:
            raise _Died from gone
        return self._answer(seconds)

    @property
    def alive(self) -> bool:
        """Whether the process still runs."""
        return self.process.is_alive()

    def stop(self) -> None:
        """End the process now."""
        self._door.close()
        self.process.kill()
        self.process.join(5)


class _Shop:
    """At most two workers, started when first needed, each used by one thread at a time."""

    def __init__(self) -> None:
        self._idle: queue.LifoQueue[Worker | None] = queue.LifoQueue()
        for _ in range(MOST_WORKERS):
            self._idle.put(None)
        self._started: set[Worker] = set()
        self._lock = threading.Lock()

    def _take(self) -> Worker:
        worker = self._idle.get()
        try:
            if worker is None or not worker.alive:
                self._forget(worker)
                worker = Worker()
                with self._lock:
                    self._started.add(worker)
            return worker
        except BaseException:
            self._idle.put(None)
            raise

    def _forget(self, worker: Worker | None) -> None:
        if worker is not None:
            worker.stop()
            with self._lock:
                self._started.discard(worker)

    def press(self, filed: Filed, seconds: float) -> dict[str, bytes]:
        """Have the papers made; a worker that dies is replaced once."""
        for _ in range(TRIES):
            worker: Worker | None = self._take()
            try:
                word, answer = worker.press(filed, seconds) if worker else ("failed", "")
            except BaseException as fault:
                # Whatever broke off, an answer may still be under way: it must never reach the next record.
                self._forget(worker)
                worker = None
                if not isinstance(fault, _Died):
                    raise
                continue
            finally:
                self._idle.put(worker)
            if word != "made":
                raise RenderFailed(answer)
            made: dict[str, bytes] = answer
            return made
        raise RenderFailed(f"the worker died {TRIES} times while making the papers of {filed.number}")

    def warm(self) -> None:
        """Start one worker and wait until it is ready."""
        worker = self._take()
        try:
            worker.wait()
        finally:
            self._idle.put(worker)

    def close(self) -> None:
        """Stop every worker; a later call starts new ones."""
        with self._lock:
            started, self._started = self._started, set()
        for worker in started:
            worker.stop()


_shop = _Shop()
atexit.register(_shop.close)


def render_files(record: Any, seconds: float = SECONDS) -> dict[str, bytes]:
    """Make a record's papers in a worker process; see the package.

    seconds  longest the worker may take  [s]
    """
    filed = Filed.of(record)
    filed.judged()
    return _shop.press(filed, seconds)


def warm() -> None:
    """Start a worker before it is needed, and wait until it is."""
    _shop.warm()


def shutdown() -> None:
    """Stop the workers; the next record starts new ones."""
    _shop.close()
