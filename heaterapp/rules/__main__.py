"""The machine door: `assess` and `schema`, on bare Python."""

from __future__ import annotations

import argparse
import json
import os
import sys
from collections.abc import Iterable, Iterator
from decimal import Decimal
from typing import Any, BinaryIO

from . import BadAnswer, assess, canonical_bytes
from .schema import job_schema

LARGEST = 4_000_000


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    kept: dict[str, Any] = {}
    for key, value in pairs:
        if key in kept:
            raise BadAnswer(key[:60], "each key once")
        kept[key] = value
    return kept


def read_job(text: bytes) -> dict[str, Any]:
    """One JSON object of answers, numbers exact.

    raises  BadAnswer when it is not one, too long, or names a key twice
    """
    if len(text) > LARGEST:
        raise BadAnswer("job", f"at most {LARGEST} bytes of JSON")
    try:
        answers = json.loads(
            text.decode("utf-8"),
            parse_float=Decimal,
            parse_int=Decimal,
            parse_constant=Decimal,  # NaN and Infinity: refused by the question that they answer
            object_pairs_hook=_once,
        )
    except BadAnswer:
        raise
    except (ValueError, RecursionError, ArithmeticError) as unreadable:
        raise BadAnswer("job", f"readable JSON ({' '.join(str(unreadable).split())[:120]})") from None
    if not isinstance(answers, dict):
        raise BadAnswer("job", "one JSON object of answers")
    return answers


def lines_of(source: BinaryIO) -> Iterator[bytes]:
    """The lines of a file; of one longer than a job may be only as much as shows that."""
    while line := source.readline(LARGEST + 2):
        yield line
        while not line.endswith(b"\n") and len(line) > LARGEST:
            line = source.readline(LARGEST + 2) or b"\n"


def _reports(lines: Iterable[bytes]) -> int:
    """A report for each job; a job that cannot be read gives its error in the same place."""
    worst = 0
    for count, line in enumerate(lines, 1):
        if not line.strip():
            continue
        try:
            sys.stdout.buffer.write(assess(read_job(line)).to_bytes() + b"\n")
        except BadAnswer as bad:
            refused = {"error": {"line": count, "key": bad.key, "expected": bad.expected}}
            sys.stdout.buffer.write(canonical_bytes(refused) + b"\n")
            print(f"line {count}: {bad}", file=sys.stderr)
            worst = 2
    return worst


def _opened(name: str) -> BinaryIO:
    if name == "-":
        return sys.stdin.buffer
    try:
        return open(name, "rb")
    except OSError as unreadable:
        raise BadAnswer("job", f"a readable file ({unreadable.strerror}: {name})") from None


def main(arguments: list[str] | None = None) -> int:
    """Run the machine door. Returns 0, or 2 with one line on standard error for each job not read."""
    try:
        return _answer(arguments)
    except BrokenPipeError:
        # Whoever read the output had enough of it; what is left must not be flushed at the end.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0


def _answer(arguments: list[str] | None) -> int:
    parser = argparse.ArgumentParser(prog="heaterapp", description="Judge a job, or print the schema of one.")
    doors = parser.add_subparsers(dest="door", required=True)
    one = doors.add_parser("assess", help="read a job as JSON, print the report as JSON")
    one.add_argument("job", help="a file, or - for standard input")
    one.add_argument("--lines", action="store_true", help="one job a line in, one report a line out")
    one.add_argument("--pretty", action="store_true", help="indent the report for reading")
    doors.add_parser("schema", help="print the JSON Schema of a job")
    chosen = parser.parse_args(arguments)
    if chosen.door == "schema":
        print(json.dumps(job_schema(), indent=1, ensure_ascii=False, sort_keys=True), flush=True)
        return 0
    try:
        source = _opened(chosen.job)
        if chosen.lines:
            return _reports(lines_of(source))
        report = assess(read_job(source.read(LARGEST + 1)))
    except BadAnswer as bad:
        print(str(bad), file=sys.stderr)
        return 2
    if chosen.pretty:
        print(json.dumps(report.as_json(), indent=1, ensure_ascii=False, sort_keys=True))
    else:
        sys.stdout.buffer.write(canonical_bytes(report.as_json()) + b"\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
