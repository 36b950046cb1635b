"""What permit offices ask of a water heater, in the order in which their portals ask it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

from heaterapp.archive.shapes import Organisation
from heaterapp.rules import CATALOGUE
from heaterapp.sheet.words import unit_named

WORK = {
    "same_place": "Replace water heater, same place", "moved": "Replace water heater, moved to another place",
    "new": "New water heater", "changed_kind": "Replace water heater by another kind",
}  # fmt: skip
USE = {
    "house": "Residential, one family", "duplex": "Residential, two families",
    "townhouse": "Residential, townhouse", "multifamily": "Residential, apartments",
    "manufactured": "Residential, manufactured home", "business": "Business",
}  # fmt: skip
PLACE_CHANGES = {"same_place": "No", "moved": "Yes", "new": "No: none stood here before"}
TYPE_CHANGES = {"same_place": "No", "changed_kind": "Yes", "new": "No: none stood here before"}
TANKLESS = ("gas_instantaneous", "electric_instantaneous")
YES_NO = {"yes": "Yes", "no": "No"}
USUAL = "no"
"""What stands for an answer of yes or no that nobody was asked."""


class Asked(NamedTuple):
    """One line that a portal asks for."""

    label: str
    said: str
    """Empty where it is missing."""
    preset: bool
    """Whether it follows from something else, and nobody typed it."""
    field: str
    """The field of the job's facts in which it is filled in."""
    usual: bool = False
    """Whether it is what is usual, and nobody was asked."""


def facts_asked(answers: Mapping[str, Any], facts: Mapping[str, Any], firm: Organisation) -> list[Asked]:
    """Return every line in the portals' order, those that are missing as well.

    answers  the job's
    facts    the office's own
    firm     whose name and license stand there where the job says none
    """
    kind, heater = str(answers.get("job_kind", "")), str(answers.get("heater_kind", ""))

    def own(name: str, label: str, otherwise: str = "") -> Asked:
        said = YES_NO.get(str(facts.get(name, "")), str(facts.get(name, "")))
        return Asked(label, said or otherwise, not said and bool(otherwise), name)

    def answered(name: str, label: str, otherwise: str = "") -> Asked:
        said = _in_words(name, answers.get(name))
        return Asked(label, said or otherwise, not said and bool(otherwise), name)

    def usual(name: str, label: str) -> Asked:
        found = own(name, label, YES_NO[USUAL])
        return found._replace(usual=found.preset)

    burns = heater.startswith("gas")
    money = str(facts.get("job_value_usd", ""))
    address = _address(answers)
    return [
        own("nature_of_work", "Nature of the work", WORK.get(kind, "")),
        own("building_use", "Use of the building", USE.get(str(answers.get("building_kind", "")), "")),
        usual("owner_does_work", "Does the owner do the work?"),
        usual("more_than_one_heater", "More than one heater?"),
        usual("flood_related", "Because of a flood?"),
        usual("size_changes", "Does the size change?"),
        Asked("Does the place change?", PLACE_CHANGES.get(kind, ""), True, "job_kind"),
        Asked("Does the type change?", TYPE_CHANGES.get(kind, ""), True, "job_kind"),
        Asked("Electric?", "" if not heater else "Yes" if _electric(heater) else "No", True, "heater_kind"),
        answered("heater_kind", "Type"),
        answered("storage_gal", "Gallons", "None: tankless" if heater in TANKLESS else ""),
        answered("input_btuh", "Btu/h", "" if burns or not heater else "None: burns no gas"),
        answered("owner_name", "Owner"),
        Asked("Address", address, False, "address_street"),
        *_of_address(answers),
        own("parcel_no", "Parcel number"),
        answered("contractor_name", "Contractor", firm.name),
        answered("contractor_licence", "Contractor's license", firm.licence),
        own("contractor_class", "License class", str(firm.settings.get("contractor_class", ""))),
        own(
            "workers_compensation", "Workers' compensation",
            str(firm.settings.get("workers_compensation", "")),
        ),
        Asked("Value of the job", f"${money}" if money else "", False, "job_value_usd"),
    ]


def plain_text(asked: list[Asked]) -> str:
    """Return the lines as text to paste, one a line; what is missing says so.

    >>> plain_text([Asked("Type", "Gas tank", False, ""), Asked("Gallons", "", False, "")])
    'Type: Gas tank\\nGallons: (missing)\\n'
    >>> plain_text([Asked("Because of a flood?", "No", True, "", usual=True)])
    'Because of a flood: No (as usual, not asked)\\n'
    """
    return "".join(f"{one.label.rstrip('?')}: {one.said or '(missing)'}{_not_asked(one)}\n" for one in asked)


def _not_asked(one: Asked) -> str:
    return " (as usual, not asked)" if one.usual else ""


def _of_address(answers: Mapping[str, Any]) -> list[Asked]:
    """The parts that an address lacks, each as missing; none where the whole of it is."""
    if not answers.get("address_street"):
        return []
    parts = {"address_city": "City", "address_state": "State", "address_zip": "ZIP"}
    return [Asked(label, "", False, name) for name, label in parts.items() if not answers.get(name)]


def _electric(heater: str) -> bool:
    return heater.startswith(("electric", "heat_pump"))


def _in_words(name: str, said: Any) -> str:
    if said is None or isinstance(said, (dict, list)):
        return ""
    return CATALOGUE[name].choices.get(str(said), str(said))


def _address(answers: Mapping[str, Any]) -> str:
    def said(name: str) -> str:
        return str(answers.get(name) or "")

    street = " ".join(filter(None, (said("address_street"), unit_named(said("address_unit")))))
    state = " ".join(filter(None, (said("address_state"), said("address_zip"))))
    return ", ".join(filter(None, (street, said("address_city"), state))) if street else ""
