"""python -m heaterapp export FILE: records, or everything of a firm, into one file."""

from __future__ import annotations

import argparse
import json
import os
from collections.abc import Iterator
from contextlib import ExitStack, suppress
from pathlib import Path
from typing import Any

from heaterapp import exported, firm_days
from heaterapp.archive import KINDS, Wanted
from heaterapp.archive.find import STATES
from heaterapp.opening import Stopped, open_archive

NAME = "export"
SAYS = "write records as CSV, JSON or papers, or everything of the firm, into a file"
FORMS = ("csv", "json", "json_lines", "inspections", "papers")


def options(parser: argparse.ArgumentParser) -> None:
    """Name the arguments."""
    parser.add_argument("file", type=Path, help="where to write it; it must not be there yet")
    parser.add_argument(
        "--form",
        choices=(*FORMS, "whole", "schema"),
        default="csv",
        help="default csv; whole: everything, to take along",
    )
    parser.add_argument("--firm", help="short name of the firm, where there are several")
    parser.add_argument("--text", default="", help="words, as in the office's search")
    parser.add_argument("--kind", choices=KINDS)
    parser.add_argument("--state", choices=STATES)
    parser.add_argument(
        "--drafts", action="store_true", help="with jobs that have no paper yet, by --text and --installer"
    )
    parser.add_argument("--installer", help="sign-in name of the installer")
    parser.add_argument("--from", dest="since", help="first day of issue, such as 2026-03-01")
    parser.add_argument("--to", dest="until", help="last day of issue, such as 2026-03-31")


def run(chosen: argparse.Namespace) -> int:
    """Write the file whole or not at all. Raises Stopped."""
    if chosen.form == "schema":
        write(chosen.file, iter([json.dumps(exported.schema(), indent=1).encode()]))
        print(f"The JSON Schema stands in {chosen.file}.")
        return 0
    store = open_archive()
    with ExitStack() as opened:
        opened.callback(store.close)
        firm = store.organisations.by_slug(chosen.firm) if chosen.firm else store.organisations.default()
        wanted = _wanted(store, firm, chosen)
        if chosen.form == "whole":
            leaving = opened.enter_context(store.moving.leaving(firm.id))
            store.exports.note(firm.id, None, "whole", Wanted(), leaving.records)
            write(chosen.file, leaving.pieces())
            print(
                f"Everything of {firm.name or firm.slug} stands in {chosen.file}: {leaving.records} records."
            )
            return 0
        moment = opened.enter_context(store.exports.moment(firm.id, wanted))
        store.exports.note(firm.id, None, chosen.form, wanted, moment.count)
        made = {
            "csv": lambda: exported.csv_of(moment.taken()),
            "json": lambda: exported.document_of(moment.taken(), store.database.now()),
            "json_lines": lambda: exported.lines_of(moment.taken()),
            "inspections": lambda: exported.inspections_of(moment.taken()),
            "papers": lambda: exported.papers_of(moment),
        }
        write(chosen.file, made[chosen.form]())
        print(f"{moment.count} records stand in {chosen.file}.")
    return 0


def write(file: Path, pieces: Iterator[bytes]) -> None:
    """Write a new file, which has its name only once it is whole. Raises Stopped."""
    if file.exists():
        raise Stopped(f"{file} is there already: name a file that is not.")
    part = file.with_name(f".{file.name}.part")
    try:
        with part.open("xb") as out:
            out.writelines(pieces)
            out.flush()
            os.fsync(out.fileno())
        part.rename(file)
    except OSError as refused:
        raise Stopped(f"{file}: {refused.strerror}. Nothing was written.") from refused
    finally:
        with suppress(OSError):
            part.unlink(missing_ok=True)


def _wanted(store: Any, firm: Any, chosen: argparse.Namespace) -> Wanted:
    person = None
    if chosen.installer:
        found = store.people.by_login(firm.id, chosen.installer)
        if found is None:
            raise Stopped(f"--installer {chosen.installer}: nobody signs in under this name.")
        person = found.id
    days = {}
    for option, typed in (("--from", chosen.since), ("--to", chosen.until)):
        days[option] = firm_days.read_day(typed) if typed else None
        if typed and days[option] is None:
            raise Stopped(f"{option} {typed}: a date such as 2026-03-14 was expected.")
    zone = firm_days.zone_of(firm.settings)
    since, until = days["--from"], days["--to"]
    wanted = Wanted(
        text=chosen.text, kind=chosen.kind, state=chosen.state, person=person,
        since=firm_days.begin_of(since, zone) if since else None,
        until=firm_days.end_of(until, zone) if until else None,
        drafts=chosen.drafts,
    )  # fmt: skip
    if wanted.drafts and wanted.narrows:
        raise Stopped("--drafts: name no kind, state or days: only a paper has these.")
    if wanted.drafts and chosen.form == "papers":
        raise Stopped("--drafts: a ZIP of papers can hold nothing of jobs that have none.")
    return wanted
