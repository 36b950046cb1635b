"""Who, where, which heater: the head of a paper."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from heaterapp.firm_clock import day_words
from heaterapp.languages import say
from heaterapp.rules import CATALOGUE
from heaterapp.sheet.answered import told
from heaterapp.sheet.words import unit_named

from .filed import Filed
from .paper import Field

Answers = Mapping[str, Any]


def line(*parts: str, between: str = " ") -> str:
    """The parts that say something, joined."""
    return between.join(part for part in parts if part)


def named(label: str, text: str) -> str:
    """A label before its text; nothing where there is no text."""
    return f"{label} {text}" if text else ""


def _unread(answers: Answers, name: str) -> str:
    """Why nothing stands for an answer: in the words of whoever could not read or measure it."""
    why = answers[name].get("could_not_measure", "")
    return say("{what}: not known, {why}", what=say(CATALOGUE[name].label), why=why)


def parties_of(answers: Answers, filed: Filed) -> tuple[Field, ...]:
    """Where, for whom, which heater, and who did or looked over what."""
    def a(name: str) -> str:
        return "" if isinstance(answers.get(name), dict) else told(answers, name)

    def unread(*names: str) -> tuple[str, ...]:
        return tuple(_unread(answers, name) for name in names if isinstance(answers.get(name), dict))

    town = line(a("address_city"), line(a("address_state"), a("address_zip")), between=", ")
    where = (
        a("address_street"), unit_named(a("address_unit")), town, named(say("Room:"), a("room").lower()),
        *unread("address_street", "address_unit", "address_city", "address_state", "address_zip", "room"),
    )  # fmt: skip
    who = (
        a("owner_name"), a("building_kind"), named(say("Elevation"), a("elevation_ft")),
        *unread("owner_name", "building_kind", "elevation_ft"),
    )  # fmt: skip
    heater = (
        line(a("heater_maker"), a("heater_model")),
        named(say("Serial"), a("heater_serial")),
        line(a("heater_kind"), a("storage_gal"), a("input_btuh") or a("input_kw"), between=", "),
        named(say("Working pressure"), a("working_pressure_psi")),
        *unread("heater_maker", "heater_model", "heater_serial", "heater_kind", "storage_gal", "input_btuh"),
        *unread("input_kw", "working_pressure_psi"),
    )
    person = line(a("installer_name") or str(filed.issued_by.get("name", "")), a("installer_licence"))
    permit = line(a("permit_status"), a("permit_number"))
    not_known = unread("permit_status", "permit_number", "work_date", "installer_name", "installer_licence")
    no_permit = "" if isinstance(answers.get("permit_status"), dict) else say("Not stated")
    if filed.kind == "findings_report":
        label, status = say("Looked over"), line(a("permit_status").lower(), a("permit_number"))
        lines = (
            named(say("On"), day_words(a("work_date"))), named(say("By"), person),
            named(say("Installed in"), a("install_year")),
            named(say("Permit"), status) or (no_permit and say("Permit not looked up")),
            *not_known, *unread("install_year"),
        )  # fmt: skip
    else:
        label, done = say("Permit and work"), named(say("Work done"), day_words(a("work_date")))
        lines = (permit or no_permit, done, named(say("Installer"), person), a("job_kind"), *not_known)
    fields = (
        (say("Where"), where), (say("For"), who), (say("Water heater"), heater), (label, lines),
    )  # fmt: skip
    return tuple(Field(label, tuple(filter(None, lines))) for label, lines in fields)


def contractor_of(answers: Answers, filed: Filed) -> tuple[str, tuple[str, ...]]:
    """The contractor's name, and the lines under it."""
    firm = filed.organisation
    typed = {name: one for name, one in answers.items() if not isinstance(one, dict)}
    name = str(firm.get("name") or told(typed, "contractor_name") or say("Contractor not named"))
    licence = str(firm.get("licence") or told(typed, "contractor_licence"))
    lines = (
        line(named(say("License"), licence), str(firm.get("phone") or ""), between=" · "),
        str(firm.get("address") or ""),
    )
    return name, tuple(filter(None, lines))
