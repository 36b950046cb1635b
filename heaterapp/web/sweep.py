"""Sweep: every address with a model, serial range, expansion tank or finding; letters and a list of them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from typing import Any

from flask import Blueprint, Response, render_template, request

from heaterapp import firm_days, rules
from heaterapp.archive import Invalid
from heaterapp.archive.sweeps import VERDICTS, Sought, Swept, refuse_unsought
from heaterapp.recheck_words import check_words, verdict_words
from heaterapp.sheet_rows import Cell, written
from heaterapp.web.letters import MOST_LETTERS, letter_of, unfit
from heaterapp.web.office import KINDS
from heaterapp.web.places import place_titles
from heaterapp.web.security import current_organisation, current_person, require, store

blueprint = Blueprint("sweep", __name__, url_prefix="/office/sweep")
BOXES = (
    "model",
    "serial_from",
    "serial_to",
    "expansion_tank",
    "check",
    "verdict",
    "place",
    "day_from",
    "day_to",
)
LABELS = {
    "model": "Model", "serial_from": "Serial, first", "serial_to": "Serial, last",
    "expansion_tank": "Expansion tank", "check": "Finding", "verdict": "Verdict", "place": "Codes",
    "day_from": "Work from", "day_to": "Work to",
}  # fmt: skip
LONGEST = 300
PER_PAGE = 50
AT_ONCE = 500
HEADS = (
    "Number", "Kind", "Issued", "Work", "Address", "Owner", "Contact", "Phone", "Email", "Model", "Serial",
    "Expansion tank, gal", "Paper", "Owner now", "Owner now, phone", "Owner now, since",
)  # fmt: skip


@blueprint.get("")
@require("office", "owner")
def page() -> Any:
    """Show the form, and the addresses that its boxes ask for."""
    return _page(*_read())


@blueprint.post("/list.csv")
@require("office", "owner")
def listed() -> Any:
    """Give every address as a file for a spreadsheet."""
    typed, sought, errors = _read()
    person, total = (
        current_person(),
        0 if errors else store().sweeps.count(current_person().organisation, sought),
    )
    if not total:
        return _page(typed, sought, errors), 422
    store().sweeps.note(person.organisation, person.id, "list", sought, total)
    rows = _rows(store(), person.organisation, sought)
    answer = Response(written(HEADS, rows), content_type="text/csv; charset=utf-8")
    answer.headers["Content-Disposition"] = f'attachment; filename="sweep-{store().database.now()[:10]}.csv"'
    return answer


@blueprint.post("/letters")
@require("office", "owner")
def letters() -> Any:
    """Give a letter to each address as pages to print, at most 500 of them at once."""
    typed, sought, errors = _read()
    text = request.form.get("text", "").replace("\r\n", "\n")
    said = unfit(text)
    if said:
        errors["text"] = said
    if errors:
        return _page(typed, sought, errors, text), 422
    person, firm = current_person(), current_organisation()
    after = _after()
    found, following = store().sweeps.find(person.organisation, sought, after, MOST_LETTERS)
    if not found:
        return _page(typed, sought, errors, text), 422
    store().sweeps.note(person.organisation, person.id, "letters", sought, len(found))
    today = firm_days.day_of(store().database.now(), firm_days.zone_of(firm.settings))
    return render_template(
        "office/letters.html", firm=firm, letters=[letter_of(one, text) for one in found], typed=typed,
        text=text, following=following, today=_long_day(today),
    )  # fmt: skip


def _page(typed: dict[str, str], sought: Sought, errors: dict[str, str], text: str = "") -> str:
    org = current_person().organisation
    found: list[Swept] = []
    following, total, void, by_ends = None, 0, 0, 0
    after = _after()
    if sought.asks and not (errors.keys() & set(BOXES)):
        total = store().sweeps.count(org, sought)
        if sought.digits_alone and not sought.serial_ends:
            # Most serials have letters: a range of digits alone is looked for at their end by itself.
            by_ends = store().sweeps.count(org, replace(sought, serial_ends=True))
            if by_ends and not total:
                typed, sought, total = {**typed, "ends": "yes"}, replace(sought, serial_ends=True), by_ends
        void = store().sweeps.count(org, sought, void=True)
        found, following = store().sweeps.find(org, sought, after, PER_PAGE)
    checks = {name: check_words(name) for name in store().sweeps.checks(org)}
    if typed["check"]:
        checks.setdefault(typed["check"], check_words(typed["check"]))
    return render_template(
        "office/sweep.html", typed=typed, asked=sought.asks, errors=errors, found=found, following=following,
        total=total, after=after, text=text, kinds=KINDS, places=place_titles(),
        checks=dict(sorted(checks.items(), key=lambda item: item[1])), most=MOST_LETTERS, void=void,
        by_ends=by_ends if by_ends > total else 0, serials=_serials(sought),
        verdicts={one: _capital(verdict_words(one)) for one in VERDICTS},
    )  # fmt: skip


def _read() -> tuple[dict[str, str], Sought, dict[str, str]]:
    """What was typed, what it asks, and what of it is wrong: box -> sentence."""
    typed = {name: " ".join(request.values.get(name, "")[:LONGEST].split()) for name in BOXES}
    typed["ends"] = "yes" if request.values.get("ends") == "yes" else ""
    typed["all"] = "yes" if request.values.get("all") == "yes" else ""
    errors: dict[str, str] = {}
    asked = {name: typed[name] for name in BOXES}
    sought = Sought(**asked, current=not typed["all"], serial_ends=bool(typed["ends"]))
    if typed["expansion_tank"]:
        try:
            read = rules.Job({"expansion_tank_gal": typed["expansion_tank"]}).canonical()
            sought = replace(sought, expansion_tank=read["expansion_tank_gal"])
        except (rules.BadAnswer, KeyError) as bad:
            wanted = bad.said if isinstance(bad, rules.BadAnswer) else "a size in gallons"
            errors["expansion_tank"] = f"Expansion tank: expected {wanted}."
    for name, known in (("place", place_titles()), ("verdict", VERDICTS)):
        if typed[name] and typed[name] not in known:
            errors[name] = f"{LABELS[name]}: expected one of the list."
    # A group of boxes at a time, so that one that is wrong hides no other.
    for names in (("model",), ("serial_from", "serial_to"), ("day_from",), ("day_to",)):
        try:
            refuse_unsought(Sought(**{name: typed[name] for name in names}))
        except Invalid as refused:
            errors[refused.field] = f"{LABELS[refused.field]}: expected {refused.expected}."
    if request.method == "POST" and not sought.asks and not errors:
        errors["model"] = "Fill in at least one box: what do the addresses have in common?"
    days = [] if errors else [date.fromisoformat(day) for day in (sought.day_from, sought.day_to) if day]
    if days != sorted(days):
        errors["day_to"] = "Work to: expected a date not before the first one."
    return typed, sought, errors


def _after() -> int | None:
    typed = request.values.get("after", "")
    return int(typed) if typed.isascii() and typed.isdecimal() and len(typed) < 12 else None


def _rows(archived: Any, org: int, sought: Sought) -> Iterator[tuple[Cell, ...]]:
    after, zone = None, firm_days.zone_of(archived.organisations.get(org).settings)
    while True:
        found, after = archived.sweeps.find(org, sought, after, AT_ONCE)
        for one in found:
            yield (
                one.number, KINDS[one.kind], firm_days.day_of(one.issued_at, zone),
                date.fromisoformat(one.worked_on) if one.worked_on else None, one.address, one.owner,
                one.contact, one.phone, one.email, one.model, one.serial, one.expansion_tank,
                "void" if one.void else "not void", one.owner_now, one.owner_now_phone,
                date.fromisoformat(one.owner_now_since) if one.owner_now_since else None,
            )  # fmt: skip
        if after is None:
            return


def _serials(sought: Sought) -> str:
    """How the serials of this result were compared, nothing where none were asked."""
    low, high = sought.serial_from or sought.serial_to, sought.serial_to or sought.serial_from
    if not low:
        return ""
    if sought.serial_ends and sought.digits_alone:
        between = f"end in {low}" if low == high else f"end in digits from {low} to {high}"
        return f"Serials that {between}, whatever stands before."
    if low == high:
        return f"Exactly the serial {low}: one serial alone means that one. For a range fill in both."
    return f"Serials from {low} to {high}, of the same length, compared character by character."


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def _long_day(day: date) -> str:
    return f"{day:%B} {day.day}, {day.year}"
