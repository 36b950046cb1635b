"""Speed promises beside their bars: python -m heaterapp benchmark (--help for its options).

Every line is one promise; speeds that are compared are taken in turns inside one run, since
machines are noisy, and medians are printed. Exit status 1 when a bar is missed. A part whose
module is not installed is left out, and says so. Everything is made in a throw-away folder.
"""

from __future__ import annotations

import argparse
import json
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import asdict
from functools import partial
from pathlib import Path
from unittest import mock

from heaterapp.certificate_times import bench_archive, certificate_part
from heaterapp.engine_times import engine_part
from heaterapp.judging_times import FEWEST_LINES, assess_part, lines_part
from heaterapp.phone_times import phone_part, shell_part
from heaterapp.recheck_times import recheck_part
from heaterapp.timing import Measured, in_turns

SEARCHES = 7
"""Searches of each family a round: a 95th of a hundred hangs less on one bad moment than one of sixty."""


def page_part(options: argparse.Namespace) -> Iterator[Measured]:
    """The heaviest section page, in process, the assess apart, against an empty answer."""
    from flask import Flask

    from heaterapp import create_app, rules
    from heaterapp.web import jobs as pages

    store, _, person, job = bench_archive(options.folder / "page")
    try:
        app = create_app(STORE=store, SECRET_KEY="benchmark only " * 3, RENDER=lambda record: {})
        client = app.test_client()
        token, _ = store.sessions.start(person.organisation, person.id, "benchmark")
        with client.session_transaction() as session:
            session["token"] = token
        bare = Flask("empty")
        bare.add_url_rule("/", view_func=lambda: "")
        nobody = bare.test_client()
        works: dict[str, Callable[[], object]] = {"empty": lambda: nobody.get("/")}
        works |= {one: partial(client.get, f"/jobs/{job.id}/{one}") for one in rules.SECTIONS}
        with mock.patch.object(pages, "judged", return_value=pages.judged(job.answers)):
            for section in rules.SECTIONS:
                answer = client.get(f"/jobs/{job.id}/{section}")
                if answer.status_code != 200:
                    raise RuntimeError(f"section {section} answered {answer.status_code}")
            took = in_turns(options.rounds * 3, works, time.process_time)
    finally:
        store.close()
    heaviest = max(rules.SECTIONS, key=took.__getitem__)
    name = f"heaviest section page ({heaviest}, {took[heaviest] * 1000:.1f} ms), against empty"
    yield Measured(name, took[heaviest] / took["empty"], 18, "x")


def search_part(options: argparse.Namespace) -> Iterator[Measured]:
    """The office's questions to an archive of so many records, against reading the newest 50."""
    from heaterapp import archive
    from heaterapp.archive import search_times

    store = archive.open_store(data_dir=options.archive or options.folder / "search")
    try:
        firms = search_times.filled(store, options.rows)
        runs = max(20, options.rounds * SEARCHES)
        times = search_times.measure(store, firms[0], runs, options.rows)
    finally:
        store.close()
    newest = next(one for one in times if one.name == "newest")
    slowest = max((one for one in times if one is not newest), key=lambda one: one.p95_ms)
    name = f"search of {options.rows:,} records, slowest p95 ({slowest.name})"
    yield Measured(name, slowest.p95_ms, 10, "ms")
    yield Measured("... against reading the newest 50", slowest.p95_ms / newest.p50_ms, 20, "x")


PARTS: dict[str, Callable[[argparse.Namespace], Iterator[Measured]]] = {
    "assess": assess_part,
    "lines": lines_part,
    "page": page_part,
    "certificate": certificate_part,
    "search": search_part,
    "recheck": recheck_part,
    "shell": shell_part,
    "phone": phone_part,
    "engine": engine_part,
}


def _run(name: str, options: argparse.Namespace) -> Iterator[Measured]:
    try:
        for one in PARTS[name](options):
            if not options.json:
                print(one.line(), flush=True)
            yield one
    except ImportError as missing:
        print(f"{name}: left out, {missing.name or missing} is not installed", file=sys.stderr, flush=True)


def main(arguments: list[str] | None = None) -> int:
    """Measure, print, and return 0, or 1 when a bar is missed."""
    parser = argparse.ArgumentParser(prog="python -m heaterapp benchmark", description="Speed promises.")
    parser.add_argument("--rows", type=int, default=100_000, help="records to search among (100,000)")
    parser.add_argument("--archive", type=Path, help="folder that keeps those records for another time")
    parser.add_argument("--rounds", type=int, default=15, help="rounds taken in turns (15)")
    parser.add_argument("--lines", type=int, default=10_000, help="jobs judged by lines (10,000)")
    parser.add_argument("--only", choices=PARTS, action="append", help="one part; may be repeated")
    parser.add_argument("--json", action="store_true", help="print as JSON")
    options = parser.parse_args(arguments)
    if options.rows < 100 or options.rounds < 1 or options.lines < FEWEST_LINES:
        parser.error(f"--rows and --lines are at least {FEWEST_LINES} and --rounds at least 1")
    with tempfile.TemporaryDirectory(prefix="benchmark-", ignore_cleanup_errors=True) as folder:
        options.folder = Path(folder)
        found = [one for name in (options.only or PARTS) for one in _run(name, options)]
    kept = all(one.kept for one in found)
    if options.json:
        print(json.dumps([{**asdict(one), "kept": one.kept} for one in found]))
    else:
        print("Every bar is kept." if kept else "A bar is missed.")
    return 0 if kept else 1


if __name__ == "__main__":
    sys.exit(main())
