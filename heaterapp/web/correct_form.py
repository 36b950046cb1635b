"""The form of a correction, laid out: what is put right most often first, the rest folded by section."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from typing import Any, NamedTuple

from markupsafe import Markup

from heaterapp.forms import SectionForm
from heaterapp.rules import CATALOGUE, SECTIONS
from heaterapp.web.fields import drawer
from heaterapp.web.places import place_titles

SLIPS = (
    "address_street", "address_unit", "address_city", "address_state", "address_zip", "owner_name",
    "permit_number", "contractor_name", "contractor_licence",
)  # fmt: skip
"""Mostly misspelled, and put right without a new signature."""
ANEW = ("heater_model", "heater_serial", "installer_name", "installer_licence")
"""Asked for as often, and signed anew, but for the signer's own name spelled rightly."""
OFTEN = (*SLIPS, *ANEW)


class Group(NamedTuple):
    """Fields that stand together, open or folded; `often` where they stand before the folds."""

    title: str
    says: str
    fields: Markup
    count: int
    open: bool
    often: bool


def laid_out(
    forms: Mapping[str, SectionForm], asked: Mapping[str, Sequence[str]], changed: Collection[str]
) -> list[Group]:
    """Return the form's groups in their order, without those that have no field.

    forms    section -> its form, with what was typed
    asked    section -> its questions that are shown
    changed  the questions that were typed over: their folds stand open
    """
    now: dict[str, Any] = {"asked": dict.fromkeys(CATALOGUE, True), "said": {}, "flags": {}}
    draws = {section: drawer(form, now, place_titles()) for section, form in forms.items()}
    shown = {name for names in asked.values() for name in names}

    def often(title: str, says: str, names: Sequence[str]) -> Group:
        here = [name for name in names if name in shown]
        drawn = Markup().join(draws[CATALOGUE[name].section]([name]) for name in here)
        return Group(title, says, drawn, len(here), True, True)

    def folded(section: str) -> Group:
        here = [name for name in asked[section] if name not in OFTEN]
        wanted = any(name in changed or forms[section][name].process_errors for name in here)
        return Group(SECTIONS[section], "", draws[section](here), len(here), wanted, False)

    groups = [
        often(
            "A slip",
            "Put right here, it gives the next revision at once, if the paper's own rules come to the same.",
            SLIPS,
        ),
        often(
            "The plate, and who signed",
            "Changed here, the job is signed anew. The signer's own name, misspelled, is a slip.", ANEW,
        ),
        *map(folded, asked),
    ]  # fmt: skip
    return [group for group in groups if group.count]
