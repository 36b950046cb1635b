"""How long judging takes, beside its bars: one job warm, its arithmetic alone, and ten thousand by lines."""

from __future__ import annotations

import argparse
import json
import re
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import IO

from heaterapp.full_gas_job import arithmetic_alone, full_gas_job
from heaterapp.rules import assess
from heaterapp.timing import Measured, in_turns

FEWEST_LINES = 100


def assess_part(options: argparse.Namespace) -> Iterator[Measured]:
    """One full gas job, its answers read and judged, and the same arithmetic alone."""
    answers = full_gas_job()
    works = {"judged": lambda: assess(answers), "alone": arithmetic_alone(answers)}
    took = in_turns(options.rounds * 5, works, time.process_time)
    yield Measured("assess one full gas job, every topic, warm", took["judged"] * 1000, 5, "ms")
    name = "... against its arithmetic as one straight function"
    yield Measured(name, took["judged"] / took["alone"], 40, "x")


def held_kb(pid: int) -> float:
    """Memory a process holds of its own now, by the system's account; Linux only.

    Pages of files are not in it: an archive that is read is mapped, and the system keeps of it what it
    has room for and takes the rest back.
    """
    said = Path(f"/proc/{pid}/status").read_text(encoding="ascii")
    found = re.findall(r"^Rss(?:Anon|Shmem):\s+(\d+) kB", said, re.MULTILINE)
    if len(found) != 2:
        raise RuntimeError(f"process {pid} has no memory of its own: it has ended")
    return float(sum(map(int, found)))


def _fed(jobs: int, into: IO[bytes]) -> None:
    """Write so many jobs, no two with the same serial, so that nothing remembered can answer for them."""
    answers = full_gas_job()
    with into:
        for count in range(jobs):
            into.write(json.dumps({**answers, "heater_serial": f"PL-{count:06}"}).encode() + b"\n")


def lines_part(options: argparse.Namespace) -> Iterator[Measured]:
    """So many jobs through `assess --lines`: time for each, and memory at the end against the first tenth."""
    jobs: int = options.lines
    command = [sys.executable, "-m", "heaterapp", "assess", "--lines", "-"]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE) as run:
        if run.stdin is None or run.stdout is None:
            raise RuntimeError("the door was opened without pipes")
        feeding = threading.Thread(target=_fed, args=(jobs, run.stdin), daemon=True)
        feeding.start()
        early, began = 0.0, time.perf_counter()
        for count in range(1, jobs + 1):
            if b'"outcome"' not in run.stdout.readline():
                raise RuntimeError(f"job {count} of {jobs} was not answered with a report")
            if count == jobs // 10:
                early = held_kb(run.pid)
            elif count == jobs:
                late = held_kb(run.pid)
        took = time.perf_counter() - began
    yield Measured(f"assess --lines, {jobs:,} jobs, each", took / jobs * 1000, 5, "ms")
    yield Measured("... memory at the end against after a tenth", late / early, 1.1, "x")
