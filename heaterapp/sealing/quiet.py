"""What the signing library says of a file is told in our words: its own log goes nowhere."""

from __future__ import annotations

import logging
from collections.abc import Iterator
from contextlib import contextmanager

NAMES = ("pyhanko", "pyhanko_certvalidator")


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
