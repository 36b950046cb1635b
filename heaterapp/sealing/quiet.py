"""The signing library kept to itself: its own log goes nowhere, and it finds no event loop of others."""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from typing import TypeVar

NAMES = ("pyhanko", "pyhanko_certvalidator")


Made = TypeVar("Made")


def alone(work: Callable[[], Made]) -> Made:
    """Return what `work` makes; in a thread of its own where this one runs an event loop already.

    The library runs a loop for every signature and every look at one, which no thread may do within another.
    """
    try:
        asyncio.get_running_loop()
    except RuntimeError:
        return work()
    with ThreadPoolExecutor(max_workers=1) as thread:
        return thread.submit(work).result()


class _Heard(logging.Handler):
    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.lines: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.lines.append(record.getMessage()[:300])


@contextmanager
def unheard() -> Iterator[list[str]]:
    """Keep the library's log to ourselves meanwhile; gives the lines that it would have written."""
    heard = _Heard()
    logs = [logging.getLogger(name) for name in NAMES]
    before = [log.propagate for log in logs]
    for log in logs:
        log.addHandler(heard)
        log.propagate = False
    try:
        yield heard.lines
    finally:
        for log, was in zip(logs, before, strict=True):
            log.removeHandler(heard)
            log.propagate = was
