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
from dataclasses import asdict, replace
from functools import partial
from pathlib import Path
from typing import Any
from unittest import mock

from heaterapp.engine_times import engine_part
from heaterapp.full_gas_job import gas_job
from heaterapp.judging_times import FEWEST_LINES, assess_part, lines_part
from heaterapp.phone_times import phone_part, shell_part
from heaterapp.recheck_times import recheck_part
from heaterapp.timing import Measured, in_turns

ROWS, COLUMNS = 40, 3
SEARCHES = 7
"""Searches of each family a round: a 95th of a hundred hangs less on one bad moment than one of sixty."""


def _archive(folder: Path) -> tuple[Any, Any, Any, Any]:
    from heaterapp import archive, demo

    store = archive.open_store(data_dir=folder)
    firm = store.organisations.default()
    store.organisations.save(firm.id, name=demo.FIRM, **demo.FIRM_FACTS)
    person = store.people.add(firm.id, "bench", "Riley Okafor", "installer", "a long pass phrase")
    job = store.jobs.create(firm.id, person.id, gas_job())
    return store, firm, person, job


def page_part(options: argparse.Namespace) -> Iterator[Measured]:
    """The heaviest section page, in process, the assess apart, against an empty answer."""
    from flask import Flask

    from heaterapp import create_app, rules
    from heaterapp.web import jobs as pages

    store, _, person, job = _archive(options.folder / "page")
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


def plain_table() -> str:
    """A page with a table of 40 rows and three columns, the renderer's plainest honest work."""
    row = "".join(f"<td>cell {at} of the row</td>" for at in range(COLUMNS))
    return f"<!doctype html><title>t</title><table>{f'<tr>{row}</tr>' * ROWS}</table>"


def with_photos(record: Any, seed: int) -> Any:
    """The record as the press takes it, with three photos that no press has seen."""
    from heaterapp.certificate import Filed
    from heaterapp.certificate.filed import FiledPhoto
    from heaterapp.photo import tidied
    from heaterapp.sample_photo import sample_photo

    kinds, at_work = ("plate", "straps", "house"), "2026-11-26T09:14:07Z"
    taken = [
        FiledPhoto(kind, "As found.", True, at_work, "ab" * 32, tidied(sample_photo(seed + at)).body)
        for at, kind in enumerate(kinds)
    ]
    return replace(Filed.of(record), photos=tuple(taken))


def certificate_part(options: argparse.Namespace) -> Iterator[Measured]:
    """Both files of a certificate against a plain table; the whole issue against the bare render."""
    from weasyprint import HTML
    from weasyprint.text.fonts import FontConfiguration

    from heaterapp.certificate import render_files, render_here, shutdown
    from heaterapp.issue import submission

    store, firm, person, _ = _archive(options.folder / "certificate")
    seen: list[Any] = []
    html, fonts = plain_table(), FontConfiguration()

    def wish() -> Any:
        one = store.jobs.create(firm.id, person.id, gas_job())
        signed = {"name": person.name, "role": "installer", "method": "typed", "statement": "Mine."}
        one = store.jobs.save_signature(firm.id, one.id, {"signatures": [signed]})
        return submission(person, one, f"benchmark-{len(wishes)}")

    wishes: list[Any] = []
    for _ in range(options.rounds + 2):
        wishes.append(wish())
    waiting = iter(wishes)

    def issue() -> None:
        seen.append(store.issue_and_finish(next(waiting), render_files).record)

    try:
        issue()
        record = store.records.get(firm.id, seen[0])
        taken = [with_photos(record, 3 * at) for at in range(options.rounds + 2)]
        fresh = iter(taken)
        works = {
            "table": lambda: HTML(string=html).write_pdf(font_config=fonts),
            "here": lambda: render_here(record),
            "photos": lambda: render_here(next(fresh)),
            "bare": lambda: render_files(record),
            "issue": issue,
        }
        took = in_turns(options.rounds, works)
        largest = max(len(body) for body in render_here(record).values())
        largest_of_photos = max(len(body) for one in taken[:5] for body in render_here(one).values())
    finally:
        shutdown()
        store.close()
    here, table = took["here"], took["table"]
    name = f"certificate, both files, no photos ({here * 1000:.0f} ms), against a table"
    yield Measured(name, here / table, 5, "x")
    yield Measured("certificate, larger file, no photos", largest / 1000, 500, "KB")
    photos = took["photos"]
    name = f"certificate, both files, three photos ({photos * 1000:.0f} ms), against a table"
    yield Measured(name, photos / table, 5, "x")
    yield Measured("certificate, larger file, three photos", largest_of_photos / 1000, 500, "KB")
    name = "issue as seen by the phone, against the bare render"
    yield Measured(name, took["issue"] / took["bare"], 1.5, "x")


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
