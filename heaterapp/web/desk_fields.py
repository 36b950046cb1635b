"""What the office asks of a job: which of it is a question of the job and which its own; read from a form."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from heaterapp.archive.checking import printable
from heaterapp.archive.desk_rows import LONGEST
from heaterapp.filling.typed import read_typed, shown
from heaterapp.rules import CATALOGUE, BadAnswer
from heaterapp.sheet.words import unit_shown
from heaterapp.web.chosen_codes import as_answers
from heaterapp.web.days import days_until, latest_today, read_day, shown_day

YES_NO = {"yes": "Yes", "no": "No"}


@dataclass(frozen=True)
class Field:
    """One field of the office's form."""

    name: str
    label: str
    kind: str = "text"
    """text, choice, date, tel, email or codes."""
    choices: Mapping[str, str] = field(default_factory=dict)
    hint: str = ""
    answer: bool = False
    """Whether it is a question of the job, so that the phone gets it."""
    needed: bool = False


def _asked(name: str, needed: bool = False, hint: str = "") -> Field:
    question = CATALOGUE[name]
    kind = "codes" if name == "place" else "choice" if question.choices else "text"
    unit = f", {unit_shown(question.unit)}" if unit_shown(question.unit) else ""
    return Field(name, question.label + unit, kind, question.choices, hint, True, needed)


def _own(name: str, label: str, kind: str = "text", hint: str = "") -> Field:
    choices = YES_NO if kind == "yes_no" else {}
    return Field(name, label, "choice" if choices else kind, choices, hint)


NEW_OWNER = "The house has a new owner"
GROUPS: dict[str, tuple[Field, ...]] = {
    "Where": (
        _asked("address_street", needed=True), _asked("address_unit"), _asked("address_city"),
        _asked("address_state"), _asked("address_zip"), _asked("building_kind"),
        _own("parcel_no", "Parcel number"),
    ),
    "Who": (
        _asked("owner_name"), _own("contact_name", "Who is home"), _own("contact_phone", "Phone", "tel"),
        _own("contact_email", "Email", "email"),
        _own("access_note", "Gate, pets, parking", hint="No gate codes: ask for them by phone on the day."),
    ),
    NEW_OWNER: (
        _own("present_owner", "Owner now", hint="Beside the job, for letters and lists. No paper changes."),
        _own("present_owner_phone", "Phone of the owner now", "tel"),
        _own("present_owner_since", "Owner since", "date"),
    ),
    "The work": (
        _asked("heater_kind", needed=True), _asked("job_kind", needed=True), _asked("gas_kind"),
        _asked("storage_gal"), _asked("input_btuh"), _own("size_changes", "Does the size change?", "yes_no"),
        _asked("place", needed=True), _own("planned_on", "Planned for", "date"),
    ),
    "What permit offices ask": (
        _own("nature_of_work", "Nature of the work"), _own("building_use", "Use of the building"),
        _own("owner_does_work", "Does the owner do the work?", "yes_no"),
        _own("more_than_one_heater", "More than one heater?", "yes_no"),
        _own("flood_related", "Because of a flood?", "yes_no"), _own("job_value_usd", "Value of the job, $"),
        _asked("contractor_name"), _asked("contractor_licence"), _own("contractor_class", "License class"),
        _own("workers_compensation", "Workers' compensation", hint="Insurer and policy, or why not needed."),
    ),
    "Label program": (
        _own("label_no", "Label number"), _own("label_used_on", "Label used on", "date"),
        _own("label_licence", "License of the person who used it"),
        _own("label_reported_on", "Its use was reported on", "date"),
    ),
}  # fmt: skip
PERMIT = (
    _asked("permit_status"), Field("permit_number", CATALOGUE["permit_number"].label, answer=True),
    _own("permit_issued_on", "Issued on", "date"),
    _own("permit_expires_on", "Lapses on", "date", "Empty: 180 days after issue or last inspection."),
)  # fmt: skip
NOT_AHEAD = ("permit_issued_on", "present_owner_since", "label_used_on", "label_reported_on")
PLANNED_BACK_DAYS = 366
"""How many days back a day that is typed as planned may lie; work is entered afterwards, but not years."""
PLANNED_AHEAD_DAYS = 2 * 366
"""How many days ahead it may lie; a later one is a slip of the year."""
FIELDS: dict[str, Field] = {one.name: one for group in GROUPS.values() for one in group}
EVERY = {**FIELDS, **{one.name: one for one in PERMIT}}
_GATE_CODE = re.compile(
    r"\b(?:codes?|gate|keypad|lock ?box|alarm|pin|combination)\b[^.;,]{0,24}?[#*]?\d{3,8}\b"
    r"|[#*]\d{3,8}\b|\b\d{3,8}[#*]",
    re.IGNORECASE | re.ASCII,
)


def like_a_gate_code(note: str) -> bool:
    """Whether a note reads as if it held the code of a gate or a lock.

    >>> [like_a_gate_code(note) for note in ("Gate code 4471", "#2290", "Dogs, gate sticks", "by no. 12")]
    [True, True, False, False]
    """
    return _GATE_CODE.search(note) is not None


def as_text(one: Field, answers: Mapping[str, Any], facts: Mapping[str, Any]) -> str:
    """What stands in the field: an answer as its box shows it, a fact as it is kept."""
    if one.kind == "codes":
        amended = answers.get("amendments")
        return f"own:{amended['name']}" if isinstance(amended, dict) else str(answers.get("place", ""))
    if one.answer:
        return shown(CATALOGUE[one.name], answers.get(one.name)).get("", "")
    return str(facts.get(one.name, ""))


def in_words(name: str, said: Any) -> str:
    """A fact or an answer as it is read, by the field it belongs to.

    >>> in_words("size_changes", "yes"), in_words("planned_on", "2026-11-26"), in_words("storage_gal", "50")
    ('Yes', '26 Nov 2026', '50')
    """
    one = EVERY.get(name)
    text = "" if said is None else str(said)
    if one is None:
        return text
    return shown_day(text) if one.kind == "date" else one.choices.get(text, text)


@dataclass
class Read:
    """What a form said: the typed texts, what changed of answers and facts, and what could not be read."""

    typed: dict[str, str]
    answers: dict[str, Any] = field(default_factory=dict)
    facts: dict[str, str] = field(default_factory=dict)
    errors: dict[str, str] = field(default_factory=dict)


def read_form(form: Any, fields: Mapping[str, Field], seen: Mapping[str, str], needed: bool = False) -> Read:
    """Read the fields of a form that say something else than the page had shown.

    form    the posted form; a field sent twice is an error
    seen    field -> what stood there when the page was made
    needed  whether the needed fields may not be empty
    """
    read = Read({})
    for name, one in fields.items():
        sent = form.getlist(name)
        text = sent[0] if len(sent) == 1 else ""
        read.typed[name] = text
        if len(sent) > 1:
            read.errors[name] = f"{one.label}: expected one answer, sent once"
        elif not sent and not needed:
            read.typed[name] = seen.get(name, "")
        elif not text.strip() and one.needed:
            from_list = one.choices or one.kind == "codes"
            read.errors[name] = f"{one.label}: {'choose one' if from_list else 'type it'}"
        elif text.strip() != seen.get(name, ""):
            _take(read, one, text.strip())
    return read


def _take(read: Read, one: Field, text: str) -> None:
    try:
        if one.kind == "codes":
            read.answers |= as_answers(text)
        elif one.answer:
            read.answers[one.name] = read_typed(one.name, text)
        else:
            read.facts[one.name] = _fact(one, text)
    except BadAnswer as bad:
        read.errors[one.name] = f"{one.label}: expected {bad.said}"
    except ValueError as bad:
        read.errors[one.name] = f"{one.label}: {bad}"


def _fact(one: Field, text: str) -> str:
    check: Callable[[str], str] | None = {
        "date": read_day, "email": _email, "tel": _phone, "choice": lambda t: _chosen(one, t),
    }.get(one.kind)  # fmt: skip
    kept = check(text) if check else _money(text) if one.name == "job_value_usd" else text
    if one.kind == "date" and kept:
        _may_be(one.name, kept)
    if len(kept) > LONGEST[one.name]:
        raise ValueError(f"expected at most {LONGEST[one.name]} characters")
    if not printable(kept):
        raise ValueError("expected one line of plain characters")
    return kept


def _may_be(name: str, day: str) -> None:
    on = latest_today()
    if name in NOT_AHEAD and day > on:
        raise ValueError(f"expected today or a day before, not {shown_day(day)}")
    if name == "planned_on" and days_until(day, on) < -PLANNED_BACK_DAYS:
        raise ValueError(f"expected a day at most a year back, not {shown_day(day)}")
    if name == "planned_on" and days_until(day, on) > PLANNED_AHEAD_DAYS:
        raise ValueError(f"expected a day at most two years ahead, not {shown_day(day)}")


def _email(text: str) -> str:
    if text and not re.fullmatch(r"[^@\s]+@[^@\s]+\.[^@\s]+", text):
        raise ValueError("expected an address such as name@example.com")
    return text


def _phone(text: str) -> str:
    if text and not (re.fullmatch(r"[\d\s().+/x-]+", text, re.ASCII) and re.search(r"\d{3}", text)):
        raise ValueError("expected a phone number such as 555-0142")
    return text


def _chosen(one: Field, text: str) -> str:
    if text and text not in one.choices:
        raise ValueError("expected one of the list")
    return text


def _money(text: str) -> str:
    bare = text.lstrip("$").replace(",", "").strip()
    if bare and not re.fullmatch(r"\d{1,9}(\.\d{2})?", bare, re.ASCII):
        raise ValueError("expected dollars such as 1850 or 1850.50")
    return bare


def seen_text(typed: Mapping[str, str]) -> str:
    """What the page shows, carried in it, so that only what is changed counts as changed."""
    return json.dumps(typed, sort_keys=True, separators=(",", ":"))


def seen_from(text: str | None) -> dict[str, str]:
    """Read back `seen_text`; nothing where it cannot be read, so that every field counts as changed."""
    try:
        seen = json.loads(text or "")
    except (ValueError, RecursionError):
        return {}
    return {str(name): str(said) for name, said in seen.items()} if isinstance(seen, dict) else {}
