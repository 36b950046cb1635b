"""A line to a mail server: its answers end, and how much of a mail went over it is known."""

from __future__ import annotations

import smtplib
from typing import Any

MOST_LINES, MOST_BYTES = 100, 65_536
"""Of one answer: a server says a dozen lines at most, and a broken one says them without end."""
END = b"\r\n.\r\n"


class Endless(smtplib.SMTPException):
    """An answer is longer than any that means something."""


class _Lines:
    """What a server says, read line by line to an end of its own or to ours."""

    def __init__(self, file: Any):
        self._file, self._lines, self._bytes = file, 0, 0

    def readline(self, most: int) -> bytes:
        line: bytes = self._file.readline(most)
        self._lines, self._bytes = self._lines + 1, self._bytes + len(line)
        if self._lines > MOST_LINES or self._bytes > MOST_BYTES:
            raise Endless
        return line

    def begin(self) -> None:
        self._lines = self._bytes = 0

    def close(self) -> None:
        self._file.close()


class Plain(smtplib.SMTP):
    """Reads bounded answers, and knows whether any and whether all of the content went out."""

    begun = handed_over = False

    def getreply(self) -> tuple[int, bytes]:
        if not isinstance(self.file, _Lines):
            self.file = _Lines(self.file or self.sock.makefile("rb"))
        self.file.begin()
        return super().getreply()

    def send(self, s: Any) -> None:
        self.begun = self.begun or isinstance(s, bytes)
        super().send(s)
        self.handed_over = isinstance(s, bytes) and s.endswith(END)


class Tls(Plain, smtplib.SMTP_SSL):
    """The same with TLS from the first byte."""
