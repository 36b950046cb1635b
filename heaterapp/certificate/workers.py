"""Papers are pressed in processes of their own: the renderer's fonts must not be shared between threads."""

from __future__ import annotations

import atexit
import gc
import signal
from collections.abc import Callable
from multiprocessing.connection import Connection
from typing import Any

from heaterapp.crew import Crew, Died, Hand, NoTurn, Turns

from . import cover, redacted, translated
from .filed import Filed
from .release import release

MOST_WORKERS = 2
SECONDS = 30.0
"""Longest that one record's papers may take, after the worker is up."""
START_SECONDS = 60.0
TRIES = 2
LINK_WAITS_S, MAIL_WAITS_S = 12.0, 120.0
"""How long who has a link waits for a press, and a mail, behind which nobody sits."""
BEHIND = 2
"""Each who waits keeps a thread of the server: so many may be here before one more who has a link."""


MAKERS: dict[type, Callable[[Any], dict[str, bytes]]] = {
    cover.Cover: cover.pressed, redacted.Redacted: redacted.pressed,
    translated.Translated: translated.pressed,
}  # fmt: skip
Wanted = Filed | cover.Cover | redacted.Redacted | translated.Translated


class RenderFailed(RuntimeError):
    """The papers could not be made. The text says why; the record is untouched and may be tried again."""


class PressAway(RenderFailed):
    """The press is at fault and not the paper: it is busy, does not start, died or took too long."""


class PressBusy(PressAway):
    """Others are before this one; what was asked for may be asked for again a little later."""

    passes = True
    """It says nothing of a paper that is worth keeping."""


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
                raise PressAway(f"the papers were not made within {seconds:g} s; the worker was stopped")
            answer: tuple[str, Any] = self._door.recv()
            return answer
        except (EOFError, OSError) as gone:
            raise Died from gone

    def wait(self) -> None:
        """Wait until the worker has pressed its throw-away paper."""
        if not self._ready:
            word, answer = self._answer(START_SECONDS)
            if word != "ready":
                raise PressAway(answer)
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
    """The workers, at most two; one of them at most for what nobody of the firm waits for."""

    def __init__(self) -> None:
        super().__init__(MOST_WORKERS)
        self._besides = Turns()

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
        raise PressAway(f"the worker died {TRIES} times while making the papers of {number}")

    def press_besides(
        self, wanted: Wanted, seconds: float, waits: float, behind: int | None = None
    ) -> dict[str, bytes]:
        """Have made what must keep nobody from issuing: on one worker, the other one stays free.

        waits, behind  see Turns.turn
        """
        try:
            with self._besides.turn(waits, behind):
                return self.press(wanted, seconds)
        except NoTurn:
            raise PressBusy("other papers are being made just now") from None

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


def render_in_turn(record: Any, seconds: float = SECONDS) -> dict[str, bytes]:
    """Make a record's papers as `render_files`, only that no other paper waits behind them.

    raises   PressBusy where too many others wait, or the turn does not come
    """
    filed = Filed.of(record)
    filed.judged()
    return _shop.press_besides(filed, seconds, LINK_WAITS_S, BEHIND)


for _made in (render_files, render_in_turn):
    _made.release = release  # type: ignore[attr-defined] # the archive keeps with the papers what made them


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


def render_for_link(given: translated.Translated, seconds: float = SECONDS) -> bytes:
    """Make a paper for who has its link, as `render_translated`: issuing never waits behind it.

    raises   PressBusy where too many others wait, or the turn does not come
    """
    given.filed.judged()
    return _shop.press_besides(given, seconds, LINK_WAITS_S, BEHIND)[given.name]


def render_for_mail(given: translated.Translated, seconds: float = SECONDS) -> bytes:
    """Make a paper that goes along in a mail, as `render_for_link`, only that it waits longer."""
    given.filed.judged()
    return _shop.press_besides(given, seconds, MAIL_WAITS_S)[given.name]


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
