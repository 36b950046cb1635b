"""Speed promises beside their bars: python -m heaterapp.benchmark [--records 100000] [--runs 30].

Every line is one promise; speeds of two things are compared inside one run, since machines
are noisy. Exit status 1 when a bar is missed. A part whose module is not installed is left
out, and says so. Everything is made in a throw-away folder.
"""

from __future__ import annotations

import argparse
import shutil
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from decimal import Decimal, localcontext
from pathlib import Path
from typing import Any
from unittest import mock

from heaterapp.rules import Job, assess
from heaterapp.rules.calc import altitude, expansion, strap_forces, strapping, venting
from heaterapp.rules.units import EXACT

D = Decimal
ROWS, COLUMNS = 40, 3


@dataclass(frozen=True)
class Measured:
    """One promise: what was found, and the most it may be."""

    name: str
    found: float
    bar: float
    unit: str

    @property
    def kept(self) -> bool:
        """At or below the bar."""
        return self.found <= self.bar

    def line(self) -> str:
        """The promise as one line of print."""
        word = "kept" if self.kept else "MISSED"
        return f"{self.name:58} {self.found:9.2f} {self.unit:2}  bar {self.bar:6.2f} {self.unit:2}  {word}"


def seconds(work: Callable[[], object], runs: int) -> float:
    """The median time of one call, warm.

    work     called once to warm up, then `runs` times
    returns  [s]
    """
    work()
    times = []
    for _ in range(runs):
        began = time.perf_counter()
        work()
        times.append(time.perf_counter() - began)
    return statistics.median(times)


def gas_job() -> dict[str, Any]:
    """The answers of the demo's first job, a gas tank with everything answered."""
    from heaterapp import demo

    return demo.answers_of(demo.STORIES[0])


def straight(job: dict[str, Any]) -> list[Decimal]:
    """The gas job's arithmetic as one straight function: no books, no questions, no words."""
    with localcontext(EXACT):
        house, setting = job["house_pressure_psi"], job["precharge_psi"]
        air = altitude.atmosphere(job["elevation_ft"])
        grown = expansion.thermal_expansion(job["storage_gal"], job["cold_inlet_f"], job["thermostat_f"])
        tank, holds = job["expansion_tank_gal"], job["expansion_acceptance_gal"]
        needed = expansion.tank_needed(grown, house, house, D(80), air)
        as_set = expansion.peak_pressure(grown, tank, setting, house, air, holds)
        advised = expansion.peak_pressure(grown, tank, house, house, air, holds)
        used = expansion.acceptance_used(grown, tank, setting, house, air, holds)
        gauge = expansion.precharge_at_air(house, job["installed_air_f"], job["precharge_air_f"], air)
        derated = altitude.rated_input(job["input_btuh"], job["elevation_ft"], D("0.04"), D(2000))
        base, height, straps = job["tank_base_in"], job["tank_height_in"], job["strap_heights_in"]
        low, high = strapping.lower_third(base, height), strapping.upper_third(base, height)
        weight = job["dry_weight_lb"] + D("8.33") * job["storage_gal"]
        force = strap_forces.strap_force(weight, D(1), D(3))
        middle = strap_forces.mass_height(base, height)
        pulls = strap_forces.strap_reactions(force, middle, straps)
        legs = strap_forces.splay(job["tank_diameter_in"], job["wall_gap_in"], job["anchor_spacing_in"])
        loads = [strap_forces.strap_load(one, legs) for one in pulls]
        angle = strap_forces.splay_deg(legs)
        tips = strap_forces.tipping_ratio(middle, base, job["tank_diameter_in"] / 2)
        area = venting.circle_ratio(job["vent_diameter_in"], job["draft_hood_outlet_in"])
        reach = venting.connector_length_by_height(job["vent_height_ft"], D("0.75"))
        rise = venting.rise_needed(job["connector_length_ft"], D("0.25"))
        worked: list[Any] = [needed, as_set, advised, used]
        firm = [gauge, derated, *low, *high, force, *pulls, angle, tips, area, reach, rise]
        return [*firm, D(len(loads)), D(len(worked))]


def assess_part(options: argparse.Namespace) -> Iterator[Measured]:
    """One full gas job, its answers read and judged, and the same arithmetic alone."""
    answers = gas_job()
    read = Job(answers).values
    judged = seconds(lambda: assess(answers), options.runs * 3)
    alone = seconds(lambda: straight(read), options.runs * 3)
    yield Measured("assess one full gas job, warm", judged * 1000, 5, "ms")
    yield Measured("... against its arithmetic as one straight function", judged / alone, 40, "x")


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
        empty = seconds(lambda: bare.test_client().get("/"), options.runs * 10)
        report = pages.judged(job.answers)
        times = {}
        with mock.patch.object(pages, "judged", return_value=report):
            for section in rules.SECTIONS:
                answer = client.get(f"/jobs/{job.id}/{section}")
                if answer.status_code != 200:
                    raise RuntimeError(f"section {section} answered {answer.status_code}")
                times[section] = seconds(
                    lambda section=section: client.get(f"/jobs/{job.id}/{section}"),  # type: ignore[misc]
                    options.runs,
                )
    finally:
        store.close()
    heaviest = max(times, key=times.__getitem__)
    name = f"heaviest section page ({heaviest}, {times[heaviest] * 1000:.1f} ms), against empty"
    yield Measured(name, times[heaviest] / empty, 18, "x")


def plain_table() -> str:
    """A page with a table of 40 rows and three columns, the renderer's plainest honest work."""
    row = "".join(f"<td>cell {at} of the row</td>" for at in range(COLUMNS))
    return f"<!doctype html><title>t</title><table>{f'<tr>{row}</tr>' * ROWS}</table>"


def certificate_part(options: argparse.Namespace) -> Iterator[Measured]:
    """Both files of a certificate against a plain table; the whole issue against the bare render."""
    from weasyprint import HTML
    from weasyprint.text.fonts import FontConfiguration

    from heaterapp import demo
    from heaterapp.certificate import render_files, render_here, shutdown
    from heaterapp.issue import submission

    store, firm, person, _ = _archive(options.folder / "certificate")
    runs = max(3, options.runs // 5)
    seen = []

    def issue(at: int) -> float:
        one = store.jobs.create(firm.id, person.id, gas_job())
        demo._sign(store, person, one)
        wish = submission(person, store.jobs.get(firm.id, one.id), f"benchmark-{at}")
        began = time.perf_counter()
        answer = store.issue_and_finish(wish, render_files)
        took = time.perf_counter() - began
        seen.append(store.records.get(firm.id, answer.record))
        return took

    try:
        issue(0)
        issued = statistics.median(issue(at) for at in range(1, runs + 1))
        bare = seconds(lambda: render_files(seen[-1]), runs)
        html, fonts = plain_table(), FontConfiguration()
        table = seconds(lambda: HTML(string=html).write_pdf(font_config=fonts), runs)
        here = seconds(lambda: render_here(seen[-1]), runs)
        largest = max(len(body) for body in render_here(seen[-1]).values())
    finally:
        shutdown()
        store.close()
    name = f"certificate, both files, no photos ({here * 1000:.0f} ms), against a table"
    yield Measured(name, here / table, 5, "x")
    yield Measured("certificate, larger file, no photos", largest / 1000, 500, "KB")
    yield Measured("issue as seen by the phone, against the bare render", issued / bare, 1.5, "x")


def search_part(options: argparse.Namespace) -> Iterator[Measured]:
    """The office's questions to an archive of so many records, against reading the newest 50."""
    from heaterapp import archive
    from heaterapp.archive import search_times

    store = archive.open_store(data_dir=options.folder / "search")
    try:
        firms = search_times.fill(store, options.records)
        times = search_times.measure(store, firms[0], runs=options.runs)
    finally:
        store.close()
    newest = next(one for one in times if one.name == "newest")
    slowest = max((one for one in times if one is not newest), key=lambda one: one.p95_ms)
    name = f"search of {options.records:,} records, slowest p95 ({slowest.name})"
    yield Measured(name, slowest.p95_ms, 10, "ms")
    yield Measured("... against reading the newest 50", slowest.p95_ms / newest.p50_ms, 20, "x")


PARTS: dict[str, Callable[[argparse.Namespace], Iterator[Measured]]] = {
    "assess": assess_part,
    "page": page_part,
    "certificate": certificate_part,
    "search": search_part,
}


def _run(name: str, options: argparse.Namespace) -> bool:
    kept = True
    try:
        for one in PARTS[name](options):
            print(one.line(), flush=True)
            kept = kept and one.kept
    except ImportError as missing:
        print(f"{name}: left out, {missing.name or missing} is not installed", flush=True)
    return kept


def main(arguments: list[str] | None = None) -> int:
    """Measure, print, and return 0, or 1 when a bar is missed."""
    parser = argparse.ArgumentParser(prog="python -m heaterapp.benchmark", description="Speed promises.")
    parser.add_argument("--records", type=int, default=100_000, help="size of the searched archive")
    parser.add_argument("--runs", type=int, default=30, help="how often each thing is timed")
    parser.add_argument("--only", choices=PARTS, action="append", help="one part; may be repeated")
    options = parser.parse_args(arguments)
    if options.records < 100 or options.runs < 1:
        parser.error("--records is at least 100 and --runs at least 1")
    options.folder = Path(tempfile.mkdtemp(prefix="benchmark-"))
    try:
        kept = [_run(name, options) for name in (options.only or PARTS)]
    finally:
        shutil.rmtree(options.folder, ignore_errors=True)
    print("Every bar is kept." if all(kept) else "A bar is missed.")
    return 0 if all(kept) else 1


if __name__ == "__main__":
    sys.exit(main())
