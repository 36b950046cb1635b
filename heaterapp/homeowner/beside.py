"""What was found beside its limit, behind the rule that it is about: the paper's numbers, units in words."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from heaterapp.homeowner.hazard import OTHER, words_of
from heaterapp.homeowner.known import Known
from heaterapp.homeowner.said import Said
from heaterapp.homeowner.units import spelled
from heaterapp.sheet.found_in import compared_in

FOUND = Said("Found: {found}.", "Hallado: {found}.")
NAMED = {
    "expansion.tank_large_enough": Said("Pressure when hot: {found}.", "Presión en caliente: {found}."),
    "expansion.peak_as_set": Said("Pressure when hot: {found}.", "Presión en caliente: {found}."),
    "gas.pipe_capacity": Said("It must carry: {found}.", "Debe llevar: {found}."),
}
"""What was found, where the rule alone does not say what its number is of."""
ASKED = {
    "at least": Said("At least: {limit}.", "Mínimo: {limit}."),
    "at most": Said("At most: {limit}.", "Máximo: {limit}."),
    "within": Said("Allowed: {limit}.", "Se permite: {limit}."),
    "limit": Said("Limit: {limit}.", "Límite: {limit}."),
    "required": Said("Needed: {limit}.", "Se pide: {limit}."),
    "the tank holds": Said("It holds: {limit}.", "Le cabe: {limit}."),
}
ADVISED = {
    "at least": Said("Advised: at least {limit}.", "Consejo: mínimo {limit}."),
    "at most": Said("Advised: at most {limit}.", "Consejo: máximo {limit}."),
    "the tank holds": ASKED["the tank holds"],
}
ADVISED_ELSE = Said("Advised: {limit}.", "Consejo: {limit}.")
HAZARD = "heater.no_hazard_left"


def beside(known: Known, rule: str, finding: Mapping[str, Any], language: str) -> str:
    """Return a rule with what was found against its limit behind it; the rule alone where nobody knows.

    known    the record
    rule     in plain words
    finding  one of the record's report
    """
    told = compared_in(finding, language)
    check = finding["check"]
    if check == HAZARD and known.says("hazard_found", OTHER):
        told = told._replace(found=words_of(known) or told.found)
    parts = [rule]
    if told.found:
        parts.append(NAMED.get(check, FOUND).of(language, found=spelled(told.found, language)))
    words = (
        ADVISED.get(told.bound, ADVISED_ELSE) if finding["kind"] == "advice"
        else ASKED.get(told.bound.removeprefix("else "), ASKED["required"])
    )  # fmt: skip
    if told.limit:
        parts.append(words.of(language, limit=spelled(told.limit, language)))
    return " ".join(parts)
