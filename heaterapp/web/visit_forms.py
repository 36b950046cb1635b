"""An inspection's forms read, the text that asks for it, and the checks its items may name."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from heaterapp.archive.checking import printable
from heaterapp.archive.desk_shapes import OPEN_RESULTS, RESULTS, DeskJob, Inspection, Item
from heaterapp.archive.inspection_items import MOST_ITEMS
from heaterapp.archive.inspections import LONGEST
from heaterapp.archive.shapes import Organisation
from heaterapp.filling.judging import judged
from heaterapp.rules import CATALOGUE, catalog, readable
from heaterapp.sheet.findings import short_name
from heaterapp.sheet.words import TOPICS, unit_named
from heaterapp.web.days import read_day, shown_day

FIRST_ITEMS, MORE_ITEMS, LONGEST_WORDS = 3, 4, 500
BOOKED = {
    "window": "Time window", "contact": "Who will be home", "phone": "Their phone",
    "adult": "An adult on site", "note": "Note",
}  # fmt: skip
BECAME = {"accepted": "The inspector accepted it", "mended": "It was mended", "open": "Still open"}


@dataclass
class Said:
    """What a form of an inspection said: as typed, as read, and what could not be read."""

    typed: dict[str, str]
    errors: dict[str, str] = field(default_factory=dict)
    facts: dict[str, str] = field(default_factory=dict)
    day: str = ""
    result: str = ""
    items: list[Item] = field(default_factory=list)
    became: dict[int, tuple[int, list[Item]]] = field(default_factory=dict)
    rows: int = FIRST_ITEMS

    def line(self, name: str, label: str, longest: int) -> str:
        """Read one line of text; an error names its field."""
        text = self.typed.get(name, "").strip()
        if len(text) > longest or not printable(text):
            self.errors[name] = f"{label}: expected one line of at most {longest} characters"
        return text

    def date(self, name: str, label: str, latest: str = "", needed: bool = True) -> str:
        """Read a date, at the latest a given one; an error names its field."""
        try:
            day = read_day(self.typed.get(name, ""))
        except ValueError as bad:
            self.errors[name] = f"{label}: {bad}"
            return ""
        if needed and not day:
            self.errors[name] = f"{label}: type the date"
        if latest and day > latest:
            self.errors[name] = f"{label}: expected today or a day before"
        return day


def typed_of(form: Any) -> Said:
    """Take up a form as it was typed."""
    sent = form.get("rows", "")
    rows = int(sent) if sent.isascii() and sent.isdecimal() and len(sent) < 3 else FIRST_ITEMS
    typed = {name: form.get(name, "") for name in form if name not in ("csrf_token", "revision", "rows")}
    return Said(typed, rows=max(1, min(rows, MOST_ITEMS)))


def read_booking(form: Any, today: str, stands: str = "") -> Said:
    """Read what is to be booked: the day, today or later, and the facts of `BOOKED`.

    stands  the day that is booked already, which may have passed
    """
    said = typed_of(form)
    said.day = said.date("booked_for", "Day")
    if said.day and said.day < today and said.day != stands:
        says = f"Day: expected today or a day after, not {shown_day(said.day)}"
        said.errors["booked_for"] = f"{says}. What came of an earlier visit is noted as a result."
    for name, label in BOOKED.items():
        said.facts[name] = said.line(name, label, LONGEST[name])
    if said.facts["adult"] not in ("", "yes", "no"):
        said.errors["adult"] = "An adult on site: choose one"
    return said


def read_result(form: Any, today: str, earlier: Sequence[Inspection] = ()) -> Said:
    """Read a result: the day it came, who inspected, what was asked for, what became of what was open.

    earlier  the job's inspections of which something is still to mend
    """
    said = typed_of(form)
    said.result = said.typed.get("result", "")
    if said.result not in RESULTS:
        said.errors["result"] = "Result: choose one"
    said.day = said.date("result_on", "Day of the result", today)
    said.facts = {
        "inspector": said.line("inspector", "Inspector", 200),
        "said": said.line("said", "In their words", LONGEST_WORDS),
        "final": "yes" if said.typed.get("final") == "yes" and said.result == "passed" else "",
    }
    if said.result == "passed" and not said.facts["inspector"] and said.typed.get("unknown") != "yes":
        said.errors["inspector"] = "Inspector: type the name, or tick that it is not known"
    named = [at for at in range(1, said.rows + 1) if _row(said, at)]
    if said.result in OPEN_RESULTS:
        said.items = [_item(said, at) for at in named]
        if not named:
            said.errors["check-1"] = "What the inspector asked for: name at least one thing"
    elif named and said.result in RESULTS:
        said.errors["result"] = "Result: failed or passed in part, for something is asked for below"
    if said.result != "cancelled":
        for visit in earlier:
            _became(said, visit, today)
    return said


def _became(said: Said, visit: Inspection, today: str) -> None:
    """Read what became of an earlier inspection's open items: each is asked where this one was passed."""
    items, sent = list(visit.items), said.typed.get(f"revision-{visit.id}", "")
    for at, item in enumerate(visit.items):
        if not item.open:
            continue
        name, label = f"became-{visit.id}-{at + 1}", f"Item {at + 1} of {shown_day(visit.result_on)}"
        word = said.typed.get(name, "")
        if word not in ("", *BECAME) or (not word and said.result == "passed"):
            said.errors[name] = f"{label}: say what became of it"
        elif word == "accepted" and said.day:
            items[at] = replace(item, accepted_on=said.day)
        elif word == "mended":
            on = said.date(f"mended-{visit.id}-{at + 1}", f"{label}, mended on", today)
            _not_before_found(said, f"mended-{visit.id}-{at + 1}", f"{label}, mended on", on, visit)
            items[at] = replace(item, fixed_on=on)
    if items != list(visit.items):
        known = sent.isascii() and sent.isdecimal() and len(sent) < 10
        said.became[visit.id] = (int(sent) if known else 0, items)


def _not_before_found(said: Said, name: str, label: str, day: str, visit: Inspection) -> None:
    if day and visit.result_on and day < visit.result_on:
        found = shown_day(visit.result_on)
        says = f"{label}: expected a day from {found} on, when it was found, not {shown_day(day)}"
        said.errors.setdefault(name, says)


def read_mended(form: Any, visit: Inspection, today: str) -> Said:
    """Read who mends each item and when it was mended."""
    said = typed_of(form)
    for at, item in enumerate(visit.items, 1):
        fixed = said.date(f"fixed-{at}", f"Item {at}, mended on", today, needed=False)
        if fixed != item.fixed_on:
            _not_before_found(said, f"fixed-{at}", f"Item {at}, mended on", fixed, visit)
        who = said.line(f"who-{at}", f"Item {at}, who mends it", 200)
        said.items.append(replace(item, who=who, fixed_on=fixed))
    return said


def checks_of(job: DeskJob) -> dict[str, list[tuple[str, str]]]:
    """The checks that this job's heater has, by topic: each with its short name."""
    found: dict[str, list[tuple[str, str]]] = {}
    kept, _ = readable(job.job.answers)
    for finding in judged(kept)["findings"]:
        if finding["verdict"] != "not_applicable":
            title = TOPICS[finding["topic"]].en
            found.setdefault(title, []).append((finding["check"], short_name(finding["check"])))
    return found


def request_text(job: DeskJob, visit: Inspection, permit: Mapping[str, str], firm: Organisation) -> str:
    """The text that asks a permit office for an inspection, to paste or to mail."""
    answers, facts = job.job.answers, visit.facts

    def said(name: str) -> str:
        return str(answers.get(name) or "")

    street = " ".join(filter(None, (said("address_street"), unit_named(said("address_unit")))))
    state = " ".join(filter(None, (said("address_state"), said("address_zip"))))
    place = ", ".join(filter(None, (street, said("address_city"), state)))
    lines = {
        "Permit": permit.get("permit_number", "") or "(no number yet)",
        "Address": place,
        "Work": CATALOGUE["heater_kind"].choices.get(said("heater_kind"), "Water heater"),
        "Inspection asked for": ", ".join(filter(None, (shown_day(visit.booked_for), facts.get("window")))),
        "Who will be home": ", ".join(filter(None, (facts.get("contact"), facts.get("phone")))),
        "An adult on site": {"yes": "yes", "no": "no"}.get(facts.get("adult", ""), "not known yet"),
        "Note": facts.get("note", ""),
        "Contractor": ", ".join(filter(None, (firm.name, firm.licence, firm.phone))),
    }
    return "".join(f"{label}: {text}\n" for label, text in lines.items() if text)


def _row(said: Said, at: int) -> bool:
    return any(said.typed.get(f"{name}-{at}", "").strip() for name in ("check", "text"))


def _item(said: Said, at: int) -> Item:
    check = said.line(f"check-{at}", f"Item {at}", 100)
    text = said.line(f"text-{at}", f"Item {at}, in words", LONGEST_WORDS)
    if check and check not in {one.name for one in catalog.all_checks()}:
        said.errors[f"check-{at}"] = f"Item {at}: expected one of the list"
    return Item(check, text, said.line(f"who-{at}", f"Item {at}, who mends it", 200), "")
