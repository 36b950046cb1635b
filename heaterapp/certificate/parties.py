"""Who, where, which heater: the head of a paper."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

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
    where = (a("address_street"), unit_named(a("address_unit")), town, named("Room:", a("room").lower()))
    who = (a("owner_name"), a("building_kind"), named("Elevation", a("elevation_ft")))
    heater = (
        line(a("heater_maker"), a("heater_model")),
        named("Serial", a("heater_serial")),
        line(a("heater_kind"), a("storage_gal"), a("input_btuh") or a("input_kw"), between=", "),
        named("Working pressure", a("working_pressure_psi")),
    )
    person = line(a("installer_name") or str(filed.issued_by.get("name", "")), a("installer_licence"))
    permit = line(a("permit_status"), a("permit_number"))
    if filed.kind == "findings_report":
        label = "Looked over"
        lines = (
            named("On", a("work_date")), named("By", person), named("Installed in", a("install_year")),
            named("Permit", line(a("permit_status").lower(), a("permit_number"))) or "Permit not looked up",
        )  # fmt: skip
    else:
        label = "Permit and work"
        done = named("Work done", a("work_date"))
        lines = (permit or "Not stated", done, named("Installer", person), a("job_kind"))
    fields = (("Where", where), ("For", who), ("Water heater", heater), (label, lines))
    return tuple(Field(label, tuple(filter(None, lines))) for label, lines in fields)


def contractor_of(answers: Answers, filed: Filed) -> tuple[str, tuple[str, ...]]:
    """The contractor's name, and the lines under it."""
    firm = filed.organisation
    name = str(firm.get("name") or told(answers, "contractor_name") or "Contractor not named")
    licence = str(firm.get("licence") or told(answers, "contractor_licence"))
    lines = (
        line(named("License", licence), str(firm.get("phone") or ""), between=" · "),
        str(firm.get("address") or ""),
    )
    return name, tuple(filter(None, lines))
