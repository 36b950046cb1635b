"""Sweep: every address with a model, serial range, expansion tank or finding; letters and a list of them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from typing import Any
from urllib.parse import parse_qsl, urlencode

from flask import Blueprint, Response, redirect, render_template, request, url_for
from werkzeug.datastructures import MultiDict

from heaterapp import firm_days, rules
from heaterapp.archive import Invalid
from heaterapp.archive.sweep_shapes import Sought, Swept
from heaterapp.archive.sweep_where import VERDICTS, refuse_unsought
from heaterapp.recheck_words import check_words, verdict_words
from heaterapp.sheet_rows import Cell, written
from heaterapp.web.letters import KNOWN, MOST_LETTERS, letter_of, unfit
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
MOST_TOLD_APART = 10_000
"""Of more papers than these it is not said at how many addresses they are: that takes too long for a page."""
MOST_AT_DESK = 200
HEADS = (
    "Number", "Kind", "Issued", "Work", "Address", "Owner", "Contact", "Phone", "Email", "Model", "Serial",
    "Expansion tank, gal", "Paper", "Owner now", "Owner now, phone", "Owner now, since",
    "Serial now",
)  # fmt: skip


@blueprint.get("")
@require("office", "owner")
def page() -> Any:
    """Show the form, and the addresses that its boxes ask for."""
    return _page(*_read())


@blueprint.post("")
@require("office", "owner")
def again() -> Any:
    """Look again while a letter is being typed: its text stays. Nothing is kept or noted."""
    typed, sought, errors = _read()
    text = _text()
    if not text.strip():
        asked = {name: said for name, said in typed.items() if said}
        after = _after()
        return redirect(url_for(".page", **asked, **({"after": after} if after else {})), 303)
    return _page(typed, sought, errors, text)


@blueprint.post("/list.csv")
@require("office", "owner")
def listed() -> Any:
    """Give every address as a file for a spreadsheet."""
    typed, sought, errors = _read()
    person, desk = current_person(), _with_desk()
    total = 0 if errors else store().sweeps.addresses(person.organisation, sought, desk)
    if not total:
        return _page(typed, sought, errors, _text()), 422
    store().sweeps.note(person.organisation, person.id, "list", sought, total)
    rows = _rows(store(), person.organisation, sought, desk)
    answer = Response(written(HEADS, rows), content_type="text/csv; charset=utf-8")
    answer.headers["Content-Disposition"] = f'attachment; filename="sweep-{store().database.now()[:10]}.csv"'
    return answer


@blueprint.post("/letters")
@require("office", "owner")
def letters() -> Any:
    """Give a letter to each address as pages to print, at most 500 of them at once."""
    typed, sought, errors = _read()
    text = _text()
    said = unfit(text)
    if said:
        errors["text"] = said
    if errors:
        return _page(typed, sought, errors, text), 422
    person, firm = current_person(), current_organisation()
    houses, following = store().sweeps.houses(
        person.organisation, sought, _with_desk(), _after(), MOST_LETTERS
    )
    if not houses:
        return _page(typed, sought, errors, text), 422
    store().sweeps.note(person.organisation, person.id, "letters", sought, len(houses))
    today = firm_days.day_of(store().database.now(), firm_days.zone_of(firm.settings))
    return render_template(
        "office/letters.html", firm=firm, letters=[letter_of(house, text) for house in houses], typed=typed,
        of=_query(typed), desk=_with_desk(), text=text, following=following, today=_long_day(today),
    )  # fmt: skip


def _page(typed: dict[str, str], sought: Sought, errors: dict[str, str], text: str = "") -> str:
    org, sweeps = current_person().organisation, store().sweeps
    found: list[Swept] = []
    waiting: list[Swept] = []
    following, total, void, by_ends, addresses = None, 0, 0, 0, None
    after = _after()
    if sought.asks and not (errors.keys() & set(BOXES)):
        total, waiting = sweeps.count(org, sought), sweeps.at_desk(org, sought)
        if sought.digits_alone and not sought.serial_ends:
            # Most serials have letters: a range of digits alone is looked for at their end by itself.
            ends = replace(sought, serial_ends=True)
            by_ends, by_ends_waiting = sweeps.count(org, ends), sweeps.at_desk(org, ends)
            if not total and not waiting and (by_ends or by_ends_waiting):
                typed, sought, total, waiting = {**typed, "ends": "yes"}, ends, by_ends, by_ends_waiting
        void = sweeps.count(org, sought, void=True)
        found, following = sweeps.find(org, sought, after, PER_PAGE)
        addresses = sweeps.addresses(org, sought) if total <= MOST_TOLD_APART else None
    checks = {name: check_words(name) for name in sweeps.checks(org)}
    if typed["check"]:
        checks.setdefault(typed["check"], check_words(typed["check"]))
    return render_template(
        "office/sweep.html", typed=typed, asked=sought.asks, errors=errors, found=found, following=following,
        total=total, after=after, text=text, kinds=KINDS, places=place_titles(),
        counted=_counted(total, addresses),
        checks=dict(sorted(checks.items(), key=lambda item: item[1])), most=MOST_LETTERS, void=void,
        by_ends=by_ends if by_ends > total else 0, serials=_serials(sought), of=_query(typed), known=KNOWN,
        waiting=waiting[:MOST_AT_DESK], at_desk=len(waiting), desk=_with_desk() or request.method == "GET",
        verdicts={one: _capital(verdict_words(one)) for one in VERDICTS},
        many=(total if addresses is None else addresses) + len(waiting) > MOST_LETTERS,
    )  # fmt: skip


def _counted(papers: int, addresses: int | None) -> str:
    """Papers and addresses, told apart where they are not as many.

    >>> _counted(7, 5), _counted(1, 1), _counted(30000, None)
    ('7 papers at 5 addresses', '1 address', '30,000 papers')
    """
    several = f"{papers:,} paper{'' if papers == 1 else 's'}"
    if addresses is None:
        return several
    at = f"{addresses:,} address{'' if addresses == 1 else 'es'}"
    return at if papers == addresses else f"{several} at {at}"


def _text() -> str:
    return request.form.get("text", "").replace("\r\n", "\n")


def _with_desk() -> bool:
    return request.values.get("desk") == "yes"


def _query(typed: dict[str, str]) -> str:
    """What was looked for, in one line: letters and lists are made of that, whatever is typed since."""
    return urlencode({name: said for name, said in typed.items() if said})


def _read() -> tuple[dict[str, str], Sought, dict[str, str]]:
    """What was typed, what it asks, and what of it is wrong: box -> sentence."""
    sent = request.values
    if "of" in request.form and (request.endpoint != "sweep.again" or "after" in request.form):
        sent = MultiDict(parse_qsl(request.form["of"]))
    typed = {name: " ".join(sent.get(name, "")[:LONGEST].split()) for name in BOXES}
    typed["ends"] = "yes" if sent.get("ends") == "yes" else ""
    typed["all"] = "yes" if sent.get("all") == "yes" else ""
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
    return int(typed) or None if typed.isascii() and typed.isdecimal() and len(typed) < 12 else None


def _rows(archived: Any, org: int, sought: Sought, desk: bool) -> Iterator[tuple[Cell, ...]]:
    after, zone = None, firm_days.zone_of(archived.organisations.get(org).settings)
    while True:
        found, after = archived.sweeps.find(org, sought, after, AT_ONCE)
        for one in found:
            yield _row(one, firm_days.day_of(one.issued_at, zone))
        if after is None:
            break
    for one in archived.sweeps.at_desk(org, sought) if desk else ():
        yield _row(one, None)


def _row(one: Swept, issued: date | None) -> tuple[Cell, ...]:
    return (
        one.number, KINDS.get(one.kind, "At the desk, no paper"), issued,
        date.fromisoformat(one.worked_on) if one.worked_on else None, one.address, one.owner,
        one.contact, one.phone, one.email, one.model, one.serial, one.expansion_tank,
        _paper(one), one.owner_now, one.owner_now_phone,
        date.fromisoformat(one.owner_now_since) if one.owner_now_since else None, one.serial_now,
    )  # fmt: skip


def _paper(one: Swept) -> str:
    if one.at_desk:
        return "none yet"
    replaced = f"replaced by {one.present}" if one.present else "current"
    return "void" if one.void else replaced


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
