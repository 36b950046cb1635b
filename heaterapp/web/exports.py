"""The office's page of exports: records as CSV, JSON or papers, everything to take along, jobs from files."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from contextlib import ExitStack
from dataclasses import dataclass
from typing import Any

from flask import Blueprint, Response, g, render_template, request

from heaterapp import exported, firm_days
from heaterapp.archive import Wanted
from heaterapp.archive.moving import ImportRefused
from heaterapp.archive.shapes import Organisation
from heaterapp.web.job_file import LARGEST_FILE
from heaterapp.web.office import KINDS, LONGEST_TEXT
from heaterapp.web.security import current_organisation, current_person, end, personal, require, store
from heaterapp.web.sent_from_phones import LARGEST_FORM, NotTaken, take_file, workers

blueprint = Blueprint("exports", __name__, url_prefix="/office/exports")
NOTHING = "Nothing matches, so there is nothing to take out. Leave every box empty for all records."
WITHOUT_PAPER = (
    "With jobs that have no paper yet: leave kind, state and days empty, for only a paper has these. "
    "Words and installer find such jobs too."
)
NO_ZIP = (
    "With jobs that have no paper yet: a ZIP of papers can hold nothing of them. Untick this, or choose "
    "CSV or JSON."
)
STATES = {"current": "Current", "replaced": "Replaced", "void": "Void"}
FORMS = {
    "csv": ("CSV, a row a record, a column a question", "records.csv", "text/csv; charset=utf-8"),
    "json": ("JSON, one document", "records.json", "application/json"),
    "json_lines": ("JSON, one record a line", "records.jsonl", "application/jsonl"),
    "inspections": (
        "CSV of inspections, a row an item", "inspections.csv", "text/csv; charset=utf-8",
    ),
    "papers": ("ZIP of the papers, with a list of their hashes", "papers.zip", "application/zip"),
}  # fmt: skip


DAYS = {"since": "Work done from", "until": "Up to", "from": "Issued from", "to": "Issued to"}
MOST_FILES = 50
LARGEST_MEMBER_LIST = 12_000_000
WIDE = ("exports.jobs", "exports.bring")


@dataclass(frozen=True)
class Filter:
    """What was typed, as it was typed, and what of it is wrong: box -> sentence."""

    typed: dict[str, str]
    wanted: Wanted
    errors: dict[str, str]


@blueprint.url_value_preprocessor
def _own_limit(endpoint: str | None, values: Mapping[str, Any] | None) -> None:
    if endpoint in WIDE:
        request.max_content_length = LARGEST_FORM


@blueprint.get("")
@require("office", "owner")
def page() -> Any:
    """Show what can be taken out, the boxes filled as the address says."""
    return exports_page(read_filter(current_organisation()))


@blueprint.post("/records")
@require("office", "owner")
def records() -> Any:
    """Give the records that match, as a file, in the form that was chosen."""
    person = current_person()
    chosen = read_filter(current_organisation())
    form = request.values.get("form", "csv")
    if form not in FORMS:
        chosen.errors["form"] = f"Form: one of {', '.join(words for words, _, _ in FORMS.values())}."
    counting = request.form.get("act") == "count"
    if form == "papers" and chosen.wanted.drafts and not counting:
        chosen.errors.setdefault("drafts", NO_ZIP)
    if chosen.errors:
        return exports_page(chosen, form=form), 422
    with ExitStack() as opening:
        moment = opening.enter_context(store().exports.moment(person.organisation, chosen.wanted))
        if counting:
            return exports_page(chosen, form=form, count=moment.count - moment.drafts, drafts=moment.drafts)
        if not moment.count:
            chosen.errors["q"] = NOTHING
            return exports_page(chosen, form=form), 422
        store().exports.note(person.organisation, person.id, form, chosen.wanted, moment.count)
        taken_at = store().database.now()
        opened = opening.pop_all()
    if form == "papers":
        pieces = exported.papers_of(moment)
    elif form == "csv":
        pieces = exported.csv_of(moment.taken())
    elif form == "inspections":
        pieces = exported.inspections_of(moment.taken())
    elif form == "json":
        pieces = exported.document_of(moment.taken(), taken_at)
    else:
        pieces = exported.lines_of(moment.taken())
    _, name, kind = FORMS[form]
    return sent(pieces, f"{taken_at[:10]}-{name}", kind, opened)


@blueprint.post("/whole")
@require("owner")
def whole() -> Any:
    """Give everything of the firm, to be taken along."""
    person = current_person()
    with ExitStack() as opening:
        leaving = opening.enter_context(store().moving.leaving(person.organisation))
        store().exports.note(person.organisation, person.id, "whole", Wanted(), leaving.records)
        name = f"{store().database.now()[:10]}-everything.zip"
        opened = opening.pop_all()
    return sent(leaving.pieces(), name, "application/zip", opened)


@blueprint.post("/jobs")
@require("office", "owner")
def jobs() -> Any:
    """Take jobs that phones saved to files, each by itself, and say what came of each."""
    files = [one for one in request.files.getlist("files") if one.filename]
    if not files or len(files) > MOST_FILES:
        says = f"Saved jobs: choose 1 to {MOST_FILES} files that phones saved."
        return exports_page(errors={"files": says}), 422
    taken = []
    for one in files:
        name = str(one.filename)[:100]
        try:
            took = take_file(one.stream.read(LARGEST_FILE + 1))
            taken.append((name, True, took.said, took.link))
        except NotTaken as refused:
            more = " Take it alone under Sent from phones, where both are shown." if refused.clashes else ""
            taken.append((name, False, refused.says + more, ""))
    return exports_page(taken=taken), 200 if any(one[1] for one in taken) else 422


@blueprint.get("/import")
@require("owner")
def importing() -> Any:
    """Show where a whole export is taken in."""
    return render_template("office/import.html", errors={}, brought=None)


@blueprint.post("/import")
@require("owner")
def bring() -> Any:
    """Take in everything of a whole export, in the place of this firm while it is empty."""
    person, given = current_person(), request.files.get("file")
    try:
        if given is None or not given.filename:
            raise ImportRefused("Choose the ZIP that was taken along.")
        brought = store().moving.bring(given.stream, person.organisation, LARGEST_MEMBER_LIST)
    except ImportRefused as refused:
        said = {"file": str(refused)}
        return render_template("office/import.html", errors=said, brought=None), 422
    if not brought.here_already:
        # Its own session went with the empty place.
        end()
        g.pop("person", None)
    return render_template("office/import.html", errors={}, brought=brought)


@blueprint.get("/schema.json")
@require("office", "owner")
def schema() -> Any:
    """Give the JSON Schema of the records taken out as JSON."""
    answer = Response(json.dumps(exported.schema(), indent=1), content_type="application/schema+json")
    answer.headers["Content-Disposition"] = 'attachment; filename="records.schema.json"'
    return answer


def sent(pieces: Iterator[bytes], name: str, kind: str, opened: ExitStack) -> Response:
    """Return a download that is made while it is sent; what it reads from is closed at its end."""
    answer = personal(Response(pieces, content_type=kind))
    answer.headers["Content-Disposition"] = f'attachment; filename="{name}"'
    answer.call_on_close(opened.close)
    return answer


def read_filter(firm: Organisation | None) -> Filter:
    """Read the boxes of the page, from its form or its address."""
    boxes = ("q", "kind", "state", "installer", "since", "until", "from", "to")
    typed = {name: request.values.get(name, "")[:LONGEST_TEXT].strip() for name in boxes}
    errors: dict[str, str] = {}
    days = {}
    for name, words in DAYS.items():
        days[name] = firm_days.read_day(typed[name]) if typed[name] else None
        if typed[name] and days[name] is None:
            errors[name] = f"{words}: {firm_days.expected(typed[name])} was expected, not {typed[name]}."
    for first, last in (("since", "until"), ("from", "to")):
        begun, ended = days[first], days[last]
        if begun and ended and begun > ended:
            errors[last] = f"{DAYS[last]}: a date not before the first one was expected."
    zone = firm_days.zone_of(firm.settings if firm else {})
    installer = typed["installer"]
    known = installer.isascii() and installer.isdecimal() and len(installer) < 10
    if installer and not known:
        errors["installer"] = "Installer: somebody of the list was expected."
    for name, words, allowed in (("kind", "Kind", KINDS), ("state", "State", STATES)):
        if typed[name] and typed[name] not in allowed:
            errors[name] = f"{words}: one of {', '.join(allowed.values())} was expected."
    wanted = Wanted(
        text=typed["q"],
        kind=typed["kind"] or None,
        state=typed["state"] or None,
        person=int(installer) if known else None,
        since=firm_days.begin_of(days["from"], zone) if days["from"] else None,
        until=firm_days.end_of(days["to"], zone) if days["to"] else None,
        first_day=str(days["since"]) if days["since"] else None,
        last_day=str(days["until"]) if days["until"] else None,
        drafts=request.values.get("drafts") == "yes",
    )
    typed["drafts"] = "yes" if wanted.drafts else ""
    if wanted.drafts and wanted.narrows:
        errors["drafts"] = WITHOUT_PAPER
    return Filter(typed, wanted, errors)


def exports_page(chosen: Filter | None = None, form: str = "csv", **more: Any) -> str:
    """Return the page, with what was typed and what came of it."""
    chosen = chosen or Filter({}, Wanted(), {})
    person, firm = current_person(), current_organisation()
    people = {str(one.id): one.name for one in store().people.all(person.organisation)}
    given: dict[str, Any] = {"count": None, "drafts": 0, "taken": (), **more}
    return render_template(
        "office/exports.html", typed=chosen.typed, errors={**chosen.errors, **given.pop("errors", {})},
        kinds=KINDS, states=STATES, people=people, form=form,
        forms={name: words for name, (words, _, _) in FORMS.items()},
        zone=firm_days.zone_of(firm.settings if firm else {}).key, workers=workers(person.organisation),
        **given,
    )  # fmt: skip
