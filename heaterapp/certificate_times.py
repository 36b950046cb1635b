"""What a certificate costs, beside its bars: a plain table, ReportLab, size, memory, the whole issue."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any
from unittest import mock

from heaterapp.full_gas_job import gas_job
from heaterapp.judging_times import held_kb
from heaterapp.timing import Measured, in_turns

ROWS, COLUMNS = 40, 3
PAPERS = 100
"""Papers of one process, over which its memory is held."""
SHARED = 9
"""Records whose photos those papers share in turn: making them takes longer than printing them."""
MEASURED = 5
"""Papers with photos whose size is taken."""
PAGES = 3


def bench_archive(folder: Path) -> tuple[Any, Any, Any, Any]:
    """A new archive with a firm, an installer and a job: (archive, firm, person, job)."""
    from heaterapp import archive, demo

    store = archive.open_store(data_dir=folder)
    firm = store.organisations.default()
    store.organisations.save(firm.id, name=demo.FIRM, **demo.FIRM_FACTS)
    person = store.people.add(firm.id, "bench", "Riley Okafor", "installer", "a long pass phrase")
    job = store.jobs.create(firm.id, person.id, gas_job())
    return store, firm, person, job


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


def printed_markup(filed: Any) -> str:
    """The markup that a record's papers were printed from, in the setting that was taken."""
    from heaterapp.certificate import press

    made, real = [], press.html_of

    def kept(*given: Any) -> str:
        made.append(real(*given))
        return made[-1]

    with mock.patch.object(press, "html_of", kept):
        press.render_here(filed)
    return made[-1]


def twin_of(filed: Any) -> Callable[[Any], bytes] | None:
    """What makes a paper in ReportLab, from a record like this one; None where ReportLab is not installed.

    It reads the record and makes the photos small as the press does; only its plan, which stands for the
    program that a person would have written, was made before.
    """
    from heaterapp.certificate.content import paper_of

    try:
        from heaterapp import reportlab_plan, reportlab_twin
    except ImportError as missing:
        if (missing.name or "").partition(".")[0] != "reportlab":
            raise
        return None
    plan = reportlab_plan.planned(printed_markup(filed))
    return lambda one: reportlab_twin.pressed(plan, paper_of(one), PAGES)


def certificate_part(options: argparse.Namespace) -> Iterator[Measured]:
    """Both files of a certificate against a plain table and ReportLab; size, memory; the whole issue."""
    from weasyprint import HTML
    from weasyprint.text.fonts import FontConfiguration

    from heaterapp.certificate import render_files, render_here, shutdown
    from heaterapp.issue import submission

    store, firm, person, _ = bench_archive(options.folder / "certificate")
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
        fresh, again = iter(taken), iter(taken)
        sizes: dict[str, list[int]] = {"here": [], "photos": []}

        def pressed(name: str, one: Any) -> None:
            sizes[name].append(max(len(body) for body in render_here(one).values()))

        works: dict[str, Callable[[], object]] = {
            "table": lambda: HTML(string=html).write_pdf(font_config=fonts),
            "here": lambda: pressed("here", record),
            "photos": lambda: pressed("photos", next(fresh)),
            "bare": lambda: render_files(record),
            "issue": issue,
        }
        twin = twin_of(taken[0])
        if twin is not None:
            works["twin"] = lambda: twin(next(again))
        took = in_turns(options.rounds, works)
    finally:
        shutdown()
        store.close()
    table, photos = took["table"], took["photos"]
    name = f"certificate, both files, no photos ({took['here'] * 1000:.0f} ms), against a table"
    yield Measured(name, took["here"] / table, 5, "x")
    yield Measured("certificate, larger file, no photos", max(sizes["here"]) / 1000, 500, "KB")
    name = f"certificate, both files, three photos ({photos * 1000:.0f} ms), against a table"
    yield Measured(name, photos / table, 5, "x")
    if twin is None:
        print("certificate against ReportLab: left out, reportlab is not installed", file=sys.stderr)
    else:
        yield Measured(
            f"... against ReportLab, same content ({took['twin'] * 1000:.0f} ms)",
            photos / took["twin"],
            1,
            "x",
        )
    largest = max(sizes["photos"][:MEASURED])
    yield Measured("certificate, larger file, three photos", largest / 1000, 500, "KB")
    yield from memory(taken[:SHARED], PAPERS if options.rounds >= 10 else 2 * options.rounds)
    name = "issue as seen by the phone, against the bare render"
    yield Measured(name, took["issue"] / took["bare"], 1.5, "x")


def memory(taken: list[Any], papers: int) -> Iterator[Measured]:
    """What a press holds of its own after so many papers with photos, and against after a tenth of them."""
    from heaterapp.certificate.workers import SECONDS, Worker

    press, early = Worker(), 0.0
    try:
        for count in range(1, papers + 1):
            one = replace(taken[count % len(taken)], number=f"C-{count:06}", content_digest=f"{count:064x}")
            word, told = press.press(one, SECONDS)
            if word != "made":
                raise RuntimeError(f"paper {count} was not made: {told}")
            if count == max(1, papers // 10):
                early = held_kb(press.process.pid)
        late = held_kb(press.process.pid)
    finally:
        press.stop()
    yield Measured(f"memory of a press after {papers} papers, three photos", late / 1000, 150, "MB")
    yield Measured("... against after a tenth of them", late / early, 1.1, "x")
