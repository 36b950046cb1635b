"""The firm's own amendments to a place: the office adds versions, clause by clause; nothing is edited."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Mapping
from decimal import Decimal
from typing import Any

from flask import Blueprint, abort, redirect, render_template, request, url_for

from heaterapp import archive, rules
from heaterapp.archive.amendments import Version
from heaterapp.rules import BadAnswer
from heaterapp.rules.amendments import read_title
from heaterapp.rules.reading import read_day
from heaterapp.rules.units import plain
from heaterapp.sheet.words import TOPICS
from heaterapp.web.places import place_title, place_titles
from heaterapp.web.security import current_person, require, store

blueprint = Blueprint("own_codes", __name__, url_prefix="/office/amendments")
SAID = {
    "saved": "Saved as a new version. Jobs begun under an older one keep it until somebody changes it there.",
    "withdrawn": "Withdrawn. No new job can choose it; what it judged keeps it.",
    "changed": "Not withdrawn: another version was saved meanwhile. Look at it, then withdraw it.",
}
LONGEST_TITLE = 100
PAGES = {"new", "clause"}
"""What stands for a page in these addresses, and so for no set."""
TITLE_TAKEN = "Title: one that no other amendments of this firm have had"


@blueprint.get("")
@require("office", "owner")
def listed() -> Any:
    """Show the amendments in use, and the form that begins new ones."""
    return _list({"on": archive_today()}, {})


def archive_today() -> str:
    """Today's date as the archive's clock has it."""
    return store().database.now()[:10]


def _list(given: Mapping[str, str], errors: dict[str, str]) -> Any:
    shown = render_template(
        "office/amendments.html", sets=store().amendments.current(current_person().organisation), given=given,
        errors=errors, places=place_titles(), said=SAID.get(request.args.get("said", "")),
    )  # fmt: skip
    return shown, 422 if errors else 200


def name_of(title: str) -> str:
    """The name that a set of this title is stored under; empty where the title gives none."""
    slug = re.sub(r"[^a-z0-9]+", "_", title.lower()).strip("_")
    if slug and (slug in PAGES or not slug[0].isalpha()):
        slug = f"own_{slug}"
    return slug[:40].rstrip("_") if len(slug) > 1 else ""


def _versions(name: str) -> list[Version]:
    """The versions of a set, newest first; none where there is no such set."""
    try:
        return store().amendments.versions(current_person().organisation, name)
    except archive.NotFound:
        return []


def _in_use(name: str) -> Version:
    """The newest version of a set that is not withdrawn."""
    found = _versions(name)
    if not found or found[0].withdrawn:
        abort(404)
    return found[0]


@blueprint.get("/new")
@require("office", "owner")
def new() -> Any:
    """Take the title, the place and the date of new amendments, and ask for their first clause."""
    given = {name: request.args.get(name, "").strip() for name in ("title", "base", "on")}
    errors = _faults_of_start(given)
    return _list(given, errors) if errors else _clause_page(given, "", 0)


def _faults_of_start(given: Mapping[str, str]) -> dict[str, str]:
    errors = {}
    name = name_of(given["title"])
    if not name or len(given["title"]) > LONGEST_TITLE or not _reads(read_title, given["title"]):
        wanted = f"words of their own, at most {LONGEST_TITLE} characters, no published code's title"
        errors["title"] = f"Title: {wanted}, such as Port Larkin water amendments"
    elif _versions(name):
        errors["title"] = TITLE_TAKEN
    if given["base"] not in place_titles():
        errors["base"] = "Laid over: choose one of the list"
    if not _reads(read_day, "on", given["on"], ""):
        errors["on"] = "In force from: a date as YYYY-MM-DD"
    return errors


def _reads(reader: Callable[..., str], *given: Any) -> bool:
    try:
        reader(*given)
    except BadAnswer:
        return False
    return True


def _after(sent: Mapping[str, str]) -> int:
    """The version that a form was made of; 0 where it says none."""
    after = sent.get("after", "")
    return int(after) if after.isdecimal() and len(after) < 6 else 0


@blueprint.get("/<name>")
@require("office", "owner")
def one(name: str) -> Any:
    """Show one version of a set beside what its base place says; the newest without `?version=`."""
    versions = _versions(name)
    asked = request.args.get("version", "")
    chosen = [v for v in versions if str(v.version) == asked] if asked else versions[:1]
    if not chosen or (chosen[0].withdrawn and asked) or (chosen[0].withdrawn and len(versions) < 2):
        abort(404)
    shown = chosen[0] if not chosen[0].withdrawn else versions[1]
    people = {one.id: one.name for one in store().people.all(current_person().organisation)}
    return render_template(
        "office/amendment.html", shown=shown, stored=shown.stored, versions=versions, people=people,
        rows=_rows(shown.stored), base=place_title(shown.stored["base"]),
        newest=not versions[0].withdrawn and shown.version == versions[0].version, topics=TOPICS,
        said=SAID.get(request.args.get("said", "")),
    )  # fmt: skip


@blueprint.get("/<name>/clause")
@require("office", "owner")
def clause(name: str) -> Any:
    """Show the form of one clause, `?clause=`, or the list to choose from."""
    newest = _in_use(name)
    if newest.stored["base"] not in place_titles():
        abort(404)
    return _clause_page(_start_of(newest), name, newest.version)


@blueprint.post("/clause")
@require("office", "owner")
def save() -> Any:
    """Add a version: one clause stated anew, struck, or left to the book again."""
    sent = {key: request.form.get(key, "").strip() for key in request.form}
    after, name = _after(sent), sent.get("name", "")
    newest = _in_use(name) if name else None
    start = _start_of(newest) if newest else {key: sent.get(key, "") for key in ("title", "base", "on")}
    if newest and start["base"] not in place_titles():
        abort(404)
    errors = {} if newest else _faults_of_start(start)
    if errors:
        return _list(start, errors)
    known = rules.amendable(start["base"])
    ident = sent.get("clause", "")
    if ident not in known or sent.get("act") not in ("state", "strike", "back"):
        abort(400)
    wanted = _changed(newest, start, ident, sent)
    try:
        stored = rules.read_amendments({**wanted, "version": after + 1}) or {}
        person = current_person()
        store().amendments.save(person.organisation, person.id, stored, after)
    except BadAnswer as bad:
        field = _field_of(bad.expected, ident, rules.settable(known[ident]))
        return _clause_page(start, name, after, {field: bad.expected.removeprefix(f"{ident}, ")}, sent), 422
    except archive.Invalid as refused:
        return _clause_page(
            start, name, after, {"on": f"{refused.expected[:1].upper()}{refused.expected[1:]}"}, sent
        ), 422
    return redirect(url_for(".one", name=wanted["name"], said="saved"), 303)


@blueprint.post("/<name>/withdraw")
@require("office", "owner")
def withdraw(name: str) -> Any:
    """Take a set out of use; every version of it stays readable."""
    person = current_person()
    _in_use(name)
    try:
        store().amendments.withdraw(person.organisation, person.id, name, _after(request.form))
    except archive.Invalid:
        return redirect(url_for(".one", name=name, said="changed"), 303)
    return redirect(url_for(".listed", said="withdrawn"), 303)


def _start_of(newest: Version) -> dict[str, str]:
    stored = newest.stored
    return {key: str(stored[key]) for key in ("title", "base", "on")}


def _changed(
    newest: Version | None, start: Mapping[str, str], ident: str, sent: Mapping[str, str]
) -> dict[str, Any]:
    """The set as it would be with one clause changed, still to be read strictly."""
    stored = newest.stored if newest else {}
    clauses, silent = dict(stored.get("clauses", {})), dict(stored.get("silent", {}))
    for part in (clauses, silent):
        part.pop(ident, None)
    if sent["act"] == "state":
        values = {key.removeprefix("value-"): text for key, text in sent.items() if key.startswith("value-")}
        clauses[ident] = {"section": sent.get("section", ""), "says": sent.get("says", ""), "values": values}
    elif sent["act"] == "strike":
        silent[ident] = sent.get("why", "")
    return {
        "name": newest.name if newest else name_of(start["title"]), "title": start["title"],
        "base": start["base"], "on": sent.get("on", ""), "clauses": clauses, "silent": silent,
    }  # fmt: skip


def _field_of(expected: str, ident: str, values: Collection[str]) -> str:
    """The field that a refusal speaks of."""
    where = expected.removeprefix(f"{ident}, ").partition(":")[0]
    if where in values:
        return f"value-{where}"
    return where if where in ("section", "says", "on") else "why" if where == ident else "on"


def _clause_page(
    start: Mapping[str, str], name: str, after: int, errors: dict[str, str] | None = None,
    sent: Mapping[str, str] | None = None,
) -> str:  # fmt: skip
    known = rules.amendable(start["base"])
    ident = (sent or request.args).get("clause", "")
    held, newest = known.get(ident), (_versions(name)[0] if name else None)
    stored = newest.stored if newest else {}
    mine = stored.get("clauses", {}).get(ident)
    stated = rules.place(start["base"]).clauses.get(ident)
    choices: dict[str, list[tuple[str, str]]] = {}
    for one_name, one_clause in known.items():
        topic = one_name.partition(".")[0]
        heading = TOPICS[topic].en if topic in TOPICS else topic.replace("_", " ").capitalize()
        choices.setdefault(heading, []).append((one_name, one_clause.says[:90]))
    given = dict(sent or {})
    if held is not None and not sent:
        given = {
            "on": start["on"],
            "section": mine["section"] if mine else "",
            "says": mine["says"] if mine else "",
        }
        given |= {f"value-{key}": text for key, text in (mine["values"] if mine else _values(held)).items()}
        given["why"] = stored.get("silent", {}).get(ident, "")
    return render_template(
        "office/clause.html", start=start, name=name, after=after, ident=ident if held else "", held=held,
        stated=stated, values=_values(held) if held else {}, mine=mine, choices=choices, given=given,
        struck=ident in stored.get("silent", {}), errors=errors or {}, base=place_titles()[start["base"]],
    )  # fmt: skip


def _values(clause: Any) -> dict[str, str]:
    """A clause's settable values as they are typed: numbers plainly, yes and no."""
    return {
        name: plain(value) if isinstance(value, Decimal) else ("yes" if value else "no")
        for name in rules.settable(clause)
        for value in (clause.values[name],)
    }


def _rows(stored: Mapping[str, Any]) -> list[dict[str, Any]]:
    """Each clause a set changes, beside the book's; one it strikes has a reason in place of words."""
    base = stored["base"]
    there = base in place_titles()
    clauses, known = (rules.place(base).clauses, rules.amendable(base)) if there else ({}, {})
    changed = [(ident, one, "") for ident, one in stored["clauses"].items()]
    struck = [(ident, None, why) for ident, why in stored.get("silent", {}).items()]
    rows = []
    for ident, mine, why in (*changed, *struck):
        held, units = clauses.get(ident), known[ident].units if ident in known else {}
        values = _values(held) if held else {}
        row = {"ident": ident, "mine": mine, "held": held, "values": values, "units": units, "why": why}
        rows.append(row)
    return rows
