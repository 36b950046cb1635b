"""The speed promises, measured on this machine: every figure beside its bar, as ratios inside one run.

    python -m heaterapp benchmark [--rounds N] [--rows N]

Exit 0 when every bar is held, 1 when one is missed. Never a timed unit test: machines are noisy, so what is
compared is taken in turns, and medians are printed.
"""

from __future__ import annotations

import argparse
import json
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from statistics import median
from typing import Any

from heaterapp import archive, create_app, demo, rules
from heaterapp.issue import submission
from heaterapp.rules.calc import altitude, expansion, strap_forces, strapping, water

ASSESS_MS = 5.0
ASSESS_RATIO = 40.0
PAGE_RATIO = 18.0
CERTIFICATE_RATIO = 5.0
ISSUE_RATIO = 1.5
SEARCH_MS = 10.0
SEARCH_RATIO = 20.0


@dataclass(frozen=True)
class Measured:
    """One figure and the most it may be."""

    name: str
    value: float
    bar: float
    unit: str

    @property
    def held(self) -> bool:
        return self.value <= self.bar


def in_turns(rounds: int, **works: Callable[[], Any]) -> dict[str, float]:
    """Median milliseconds of each work, taken in turns, the first round thrown away."""
    taken: dict[str, list[float]] = {name: [] for name in works}
    for _ in range(rounds + 1):
        for name, work in works.items():
            began = time.perf_counter()
            work()
            taken[name].append((time.perf_counter() - began) * 1000)
    return {name: median(times[1:]) for name, times in taken.items()}


def _answers() -> dict[str, Any]:
    return demo.answers_of(
        demo.Story("PL-0001", "gas", "12 N. Oak Ave", "Dana Whitlock", "LW26K1", "2026-09-03")
    )


def straight_arithmetic() -> None:
    """The same job's arithmetic as one straight function: what the figures come to, nothing said."""
    air = altitude.atmosphere(Decimal(120))
    grown = expansion.thermal_expansion(Decimal(40), Decimal(50), Decimal(120))
    tank, sixty = Decimal("4.5"), Decimal(60)
    expansion.tank_needed(grown, sixty, sixty, Decimal(80), air)
    expansion.peak_pressure(grown, tank, sixty, sixty, air)
    expansion.acceptance_used(grown, tank, sixty, sixty, air)
    weight = water.operating_weight(Decimal(125), Decimal(40), Decimal("8.33"))
    force = strap_forces.strap_force(weight, Decimal(1), Decimal(3))
    base, height = Decimal(18), Decimal(58)
    strapping.lower_third(base, height)
    strapping.upper_third(base, height)
    middle = strap_forces.mass_height(base, height)
    legs = strap_forces.splay(Decimal(18), Decimal(1), Decimal(32))
    for share in strap_forces.strap_reactions(force, middle, (Decimal(36), Decimal(68))):
        strap_forces.strap_load(share, legs)
    strap_forces.splay_deg(legs)


def judging(rounds: int) -> list[Measured]:
    """Assess of a full gas job, and its ratio to the bare arithmetic."""
    answers = _answers()
    times = in_turns(rounds * 5, judge=lambda: rules.assess(answers), bare=straight_arithmetic)
    return [
        Measured("assess, full gas job", times["judge"], ASSESS_MS, "ms"),
        Measured("assess / its bare arithmetic", times["judge"] / times["bare"], ASSESS_RATIO, "x"),
    ]


def pages(rounds: int, folder: Path) -> list[Measured]:
    """The heaviest section page, assess counted apart, against an empty answer."""
    from heaterapp.web import jobs

    app = create_app(DATA_DIR=str(folder), SECRET_KEY="benchmark" * 4, RENDER=lambda record: {})
    app.add_url_rule("/empty", view_func=lambda: "hello")
    store = app.extensions["archive"]
    firm = store.organisations.default()
    person = store.people.add(firm.id, "bench", "Bench", "installer", "copper-kettle-47")
    job = store.jobs.create(firm.id, person.id, _answers())
    token, _ = store.sessions.start(firm.id, person.id, "benchmark")
    client = app.test_client()
    with client.session_transaction() as session:
        session["token"] = token
    report = rules.assess(dict(job.answers)).as_json()
    usual, jobs.judged = jobs.judged, lambda answers: report
    try:
        works = {
            s: (lambda s=s: client.get(f"/jobs/{job.id}/{s}")) for s in ("water", "relief", "vent", "place")
        }
        times = in_turns(rounds, empty=lambda: client.get("/empty"), **works)
    finally:
        jobs.judged = usual
        store.close()
    heaviest = max(works, key=times.__getitem__)
    return [
        Measured(
            f"section page ({heaviest}) / empty answer", times[heaviest] / times["empty"], PAGE_RATIO, "x"
        )
    ]


def papers(rounds: int, folder: Path) -> list[Measured]:
    """A certificate's papers against a plain table by the same renderer; issuing against the bare render."""
    from weasyprint import HTML

    from heaterapp.certificate import render_here

    rows = "".join(f"<tr><td>Item {n}</td><td>{n * 7}</td><td>Section {n}.{n}</td></tr>" for n in range(40))
    plain = f"<table>{rows}</table>"
    store = archive.open_store(data_dir=folder)
    firm = store.organisations.default()
    person = store.people.add(firm.id, "paper", "Paper", "installer", "copper-kettle-47")
    made = iter(range(10_000))

    def wish() -> Any:
        job = store.jobs.create(firm.id, person.id, _answers())
        signed = {
            "signatures": [{"name": "Paper", "role": "installer", "statement": "Mine.", "method": "typed"}]
        }
        job = store.jobs.save_signature(firm.id, job.id, signed)
        return submission(person, job, f"benchmark-{next(made)}")

    first = store.issue_and_finish(wish(), render_here)
    record = store.records.get(firm.id, first.record)
    times = in_turns(
        rounds,
        table=lambda: HTML(string=plain).write_pdf(),
        papers=lambda: render_here(record),
        issue=lambda: store.issue_and_finish(wish(), render_here),
    )
    store.close()
    return [
        Measured(
            "both papers / plain 40-row table",
            times["papers"] / times["table"],
            CERTIFICATE_RATIO,
            "x",
        ),
        Measured("issue / bare render", times["issue"] / times["papers"], ISSUE_RATIO, "x"),
    ]


def searching(rows: int, folder: Path) -> list[Measured]:
    """The slowest family of searches among so many records, and against reading the newest."""
    from heaterapp.archive.search_times import fill, measure

    store = archive.open_store(data_dir=folder)
    firm = fill(store, rows)[0]
    times = measure(store, firm, 60)
    newest = in_turns(60, newest=lambda: store.find(firm, ""))["newest"]
    store.close()
    slowest = max(times, key=lambda one: one.p95_ms)
    return [
        Measured(f"search p95 among {rows:,} ({slowest.name})", slowest.p95_ms, SEARCH_MS, "ms"),
        Measured("search p95 / newest 50", slowest.p95_ms / newest, SEARCH_RATIO, "x"),
    ]


def main(arguments: list[str] | None = None) -> int:
    """Print every figure beside its bar; 1 when one is missed."""
    parser = argparse.ArgumentParser(prog="heaterapp benchmark", description="Measure the speed promises.")
    parser.add_argument("--rounds", type=int, default=9, help="rounds taken in turns (9)")
    parser.add_argument("--rows", type=int, default=100_000, help="records to search among (100,000)")
    parser.add_argument("--json", action="store_true", help="print as JSON")
    chosen = parser.parse_args(arguments)
    found: list[Measured] = []
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        for name, part in (
            ("judging", lambda: judging(chosen.rounds)),
            ("pages", lambda: pages(chosen.rounds, folder / "pages")),
            ("papers", lambda: papers(chosen.rounds, folder / "papers")),
            ("searching", lambda: searching(chosen.rows, folder / "search")),
        ):
            if not chosen.json:
                print(f"{name} ...", flush=True)
            found += part()
    if chosen.json:
        print(json.dumps([{"name": m.name, "value": m.value, "bar": m.bar, "unit": m.unit} for m in found]))
    else:
        for m in found:
            said = "held  " if m.held else "MISSED"
            print(f"{said} {m.value:9.2f} {m.unit:2}  bar {m.bar:g} {m.unit:2}  {m.name}")
    return 0 if all(m.held for m in found) else 1


if __name__ == "__main__":
    raise SystemExit(main())
