"""Who, where, which heater: the head of a paper."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from heaterapp.firm_clock import day_words
from heaterapp.languages import say
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


def parties_of(answers: Answers, filed: Filed) -> tuple[Field, ...]:
    """Where, for whom, which heater, and who did or looked over what."""
    def a(name: str) -> str:
        return told(answers, name)

    town = line(a("address_city"), line(a("address_state"), a("address_zip")), between=", ")
    where = (a("address_street"), unit_named(a("address_unit")), town, named(say("Room:"), a("room").lower()))
    who = (a("owner_name"), a("building_kind"), named(say("Elevation"), a("elevation_ft")))
    heater = (
        line(a("heater_maker"), a("heater_model")),
        named(say("Serial"), a("heater_serial")),
        line(a("heater_kind"), a("storage_gal"), a("input_btuh") or a("input_kw"), between=", "),
        named(say("Working pressure"), a("working_pressure_psi")),
    )
    person = line(a("installer_name") or str(filed.issued_by.get("name", "")), a("installer_licence"))
    permit = line(a("permit_status"), a("permit_number"))
    if filed.kind == "findings_report":
        label, status = say("Looked over"), line(a("permit_status").lower(), a("permit_number"))
        lines = (
            named(say("On"), day_words(a("work_date"))), named(say("By"), person),
            named(say("Installed in"), a("install_year")),
            named(say("Permit"), status) or say("Permit not looked up"),
        )  # fmt: skip
    else:
        label, done = say("Permit and work"), named(say("Work done"), day_words(a("work_date")))
        lines = (permit or say("Not stated"), done, named(say("Installer"), person), a("job_kind"))
    fields = (
        (say("Where"), where), (say("For"), who), (say("Water heater"), heater), (label, lines),
    )  # fmt: skip
    return tuple(Field(label, tuple(filter(None, lines))) for label, lines in fields)


def contractor_of(answers: Answers, filed: Filed) -> tuple[str, tuple[str, ...]]:
    """The contractor's name, and the lines under it."""
    firm = filed.organisation
    name = str(firm.get("name") or told(answers, "contractor_name") or say("Contractor not named"))
    licence = str(firm.get("licence") or told(answers, "contractor_licence"))
    lines = (
        line(named(say("License"), licence), str(firm.get("phone") or ""), between=" · "),
        str(firm.get("address") or ""),
    )
    return name, tuple(filter(None, lines))
