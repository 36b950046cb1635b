"""A job judged long ago is judged again, by the very ruleset that is kept beside it.

    judge_with(ruleset_zip, answers) -> bytes        one job, in a process that ends with it
    with Judge(ruleset_zip) as judge:                many jobs by one ruleset
        report = judge.judge(answers)

ruleset_zip  the bytes that the archive keeps. Whether they were ever released is the caller's to ask first
answers      question name -> answer, or the stored bytes of a job
returns      the report in its one byte form
raises       CannotJudge, always as one of: RulesetDamaged, AnswersRefused, TooSlow, BrokenOff

The process is bare Python (`-I -S`) that has only this zip and Python's own library on its path, an empty
environment, an empty folder and bounded memory. A hook in it refuses every act but reading its own files;
a hook is no boundary, and neither is the rest of `judging_apart.py` on every system. The boundary is that
the caller gives only rules that were released.
"""

from __future__ import annotations

import io
import json
import os
import selectors
import subprocess
import sys
import tempfile
import time
import zipfile
from collections.abc import Mapping
from pathlib import Path
from types import TracebackType
from typing import Any

from heaterapp.archive.kept_rules import UNREADABLE_ZIP
from heaterapp.rules import canonical_bytes

LIFE = Path(__file__).with_name("judging_apart.py")
BARE = ("-I", "-S", "-B", "-u", "-X", "utf8")
DOOR = "heaterapp/rules/__main__.py"
SECONDS = 20.0
"""Longest that one job may take; it takes some 5 ms."""
START_SECONDS = 60.0
MEMORY = 512_000_000
"""Most that the process may hold [bytes]; today's ruleset takes some 60,000,000."""
LARGEST_REPORT = 20_000_000
AT_ONCE = 65_536
ENDING_S = 5


class CannotJudge(Exception):
    """The job was not judged again; the text says why."""


class RulesetDamaged(CannotJudge):
    """The stored ruleset is no zip of rules, or does not start."""


class AnswersRefused(CannotJudge):
    """The ruleset does not read these answers; `key` is the question, `expected` what it wanted."""

    def __init__(self, key: str, expected: str) -> None:
        super().__init__(f"{key}: expected {expected}")
        self.key, self.expected = key, expected


class TooSlow(CannotJudge):
    """No answer came in time; the process was ended."""


class BrokenOff(CannotJudge):
    """The process ended, or said something that is no report."""


def judge_with(ruleset_zip: bytes, answers: Mapping[str, Any] | bytes, seconds: float = SECONDS) -> bytes:
    """Judge one job by an archived ruleset; see the module."""
    with Judge(ruleset_zip, seconds) as judge:
        return judge.judge(answers)


class Judge:
    """One process that judges by one ruleset, started at the first job; one thread at a time uses it.

    After TooSlow or BrokenOff the process is gone; the next job starts a new one.
    """

    def __init__(self, ruleset_zip: bytes, seconds: float = SECONDS, memory: int = MEMORY) -> None:
        self._zip = _packed_anew(ruleset_zip)
        self._seconds, self._memory = seconds, memory
        self._folder: tempfile.TemporaryDirectory[str] | None = None
        self._process: subprocess.Popen[bytes] | None = None
        self._held = b""

    def __enter__(self) -> Judge:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def judge(self, answers: Mapping[str, Any] | bytes) -> bytes:
        """Return the report of one job; see the module."""
        line = answers if isinstance(answers, bytes) else canonical_bytes(dict(answers))
        # Stored answers may be any JSON, but they go over as one line.
        line = b" ".join(line.split(b"\n")).strip() or b"null"
        if self._process is None:
            self._start()
        said = self._exchange(line + b"\n", self._seconds)
        if said.startswith(b'{"error":'):
            refused = json.loads(said)["error"]
            raise AnswersRefused(str(refused["key"]), str(refused["expected"]))
        if not said.startswith(b"{"):
            self.close()
            raise BrokenOff(f"The archived rules broke off: {_told(said)}.")
        return said

    def close(self) -> None:
        """End the process and take its folder away; harmless to repeat."""
        process, self._process = self._process, None
        if process is not None:
            process.kill()
            for pipe in (process.stdin, process.stdout):
                if pipe is not None:
                    pipe.close()
            process.wait(ENDING_S)
        if self._folder is not None:
            self._folder.cleanup()
            self._folder = None

    def _start(self) -> None:
        self._folder = tempfile.TemporaryDirectory(prefix="heaterapp-judge-", ignore_cleanup_errors=True)
        rules, empty = Path(self._folder.name, "rules.zip"), Path(self._folder.name, "empty")
        rules.write_bytes(self._zip)
        empty.mkdir()
        if os.geteuid() == 0:
            # It becomes nobody, who has to read them.
            os.chmod(self._folder.name, 0o755)  # noqa: S103
            rules.chmod(0o644)
        self._process = subprocess.Popen(
            [sys.executable, *BARE, str(LIFE), str(rules), str(self._memory)], bufsize=0, cwd=empty, env={},
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL,
        )  # fmt: skip
        self._held = b""
        for pipe in self._pipes():
            os.set_blocking(pipe, False)
        try:
            said = self._exchange(b"", START_SECONDS)
        except BrokenOff as fault:
            raise RulesetDamaged(f"The archived rules do not start: {fault}") from fault
        if said != b"ready":
            self.close()
            raise RulesetDamaged(f"The archived rules do not start: {_told(said)}.")

    def _pipes(self) -> tuple[int, int]:
        if self._process is None or self._process.stdin is None or self._process.stdout is None:
            raise BrokenOff("The process of the archived rules is not there.")
        return self._process.stdin.fileno(), self._process.stdout.fileno()

    def _exchange(self, line: bytes, seconds: float) -> bytes:
        """Send a line and give the next one that comes; the process is ended where none does."""
        try:
            return self._swap(memoryview(line), time.monotonic() + seconds, seconds)
        except BaseException:
            self.close()
            raise

    def _swap(self, left: memoryview, until: float, seconds: float) -> bytes:
        into, out = self._pipes()
        with selectors.DefaultSelector() as waiting:
            waiting.register(out, selectors.EVENT_READ)
            if left:
                waiting.register(into, selectors.EVENT_WRITE)
            while b"\n" not in self._held:
                ready = waiting.select(max(0.0, until - time.monotonic()))
                if not ready:
                    raise TooSlow(f"The archived rules gave no answer within {seconds:g} seconds.")
                for key, _ in ready:
                    if key.fd == into:
                        left = _sent(into, left)
                        if not left:
                            waiting.unregister(into)
                    else:
                        self._take(out)
        answer, _, self._held = self._held.partition(b"\n")
        return answer

    def _take(self, out: int) -> None:
        came = os.read(out, AT_ONCE)
        if not came:
            raise BrokenOff("The process of the archived rules ended without an answer.")
        self._held += came
        if len(self._held) > LARGEST_REPORT:
            raise BrokenOff(f"The archived rules gave more than {LARGEST_REPORT:,} bytes as a report.")


def _sent(into: int, left: memoryview) -> memoryview:
    try:
        return left[os.write(into, left) :]
    except BrokenPipeError:
        # What it said before it ended is still to be read.
        return left[:0]


def _told(said: bytes) -> str:
    return said.decode("utf-8", "replace").removeprefix("broken ")[:300].rstrip(".") or "it said nothing"


def _packed_anew(ruleset_zip: bytes) -> bytes:
    """Return the same files in a zip of our own making; raises RulesetDamaged.

    A zip can be made to show one content to the reader that reckons its digest and another to the
    one that imports from it (two tables of files, one of them ZIP64): what runs is what was read.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(ruleset_zip)) as packed:
            torn = packed.testzip()
            files = [] if torn else [(name, packed.read(name)) for name in packed.namelist()]
    except UNREADABLE_ZIP as fault:
        raise RulesetDamaged("The stored ruleset is no zip that can be read.") from fault
    if torn is not None:
        raise RulesetDamaged(f"The stored ruleset is damaged: {torn} does not give its checksum.")
    if DOOR not in dict(files):
        raise RulesetDamaged(f"The stored ruleset holds no rules: {DOOR} is missing.")
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_STORED) as packed:
        for name, body in files:
            packed.writestr(zipfile.ZipInfo(name), body)
    return held.getvalue()
