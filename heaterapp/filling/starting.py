"""A new job's answers: the few things it starts with, and what the account and the last job already know."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from ..languages import say, told
from ..rules import CATALOGUE, LONGEST_TEXT, BadAnswer
from .typed import read_one

STARTERS = ("job_kind", "heater_kind", "place", "address_street", "address_city")
TOWN = ("design_winter_temperature_f", "elevation_ft")


def started(
    given: Mapping[str, Any], codes: Callable[[Any], Mapping[str, Any]]
) -> tuple[dict[str, Any], dict[str, str]]:
    """Read what a job starts with.

    given    starter -> as typed
    codes    what a choice of codes means: the place, and the amendments or None; raises BadAnswer
    returns  the answers, and starter -> a sentence for each that cannot be read or is to be chosen
    """
    answers: dict[str, Any] = {}
    errors: dict[str, str] = {}
    for name in STARTERS:
        try:
            if name != "place":
                value = read_one(name, given.get(name))
                answers |= {} if value is None else {name: value}
            elif given.get(name):
                answers |= {key: held for key, held in codes(given[name]).items() if held}
        except BadAnswer as bad:
            wanted = told("common", bad.said)
            errors[name] = say("{label}: expected {wanted}", label=say(CATALOGUE[name].label), wanted=wanted)
    for name in ("job_kind", "heater_kind", "place"):
        if name not in answers and name not in errors:
            errors[name] = say("{label}: choose one", label=say(CATALOGUE[name].label))
    return answers, errors


def known_already(
    answers: Mapping[str, Any], account: Mapping[str, Any], last: Mapping[str, Any]
) -> dict[str, Any]:
    """What a new job need not ask: the town's from the last job there, the names from the account.

    account  question -> what the account says of who works here; nothing of it on others' work
    last     the answers of the person's last job
    returns  the answers to add
    """
    more: dict[str, Any] = {}
    if last.get("address_state") and last.get("address_city") == answers.get("address_city"):
        more["address_state"] = last["address_state"]
        # What is the town's, not the address's: taken over, and told on the paper as accepted, not measured.
        town = {name: last[name] for name in TOWN if isinstance(last.get(name), str)}
        more |= {**town, "accepted_as_usual": sorted(town)} if town else {}
    if answers.get("job_kind") != "existing":
        more |= {name: said[:LONGEST_TEXT] for name, said in account.items() if said}
    return more


def account_answers(person: Mapping[str, Any], firm: Mapping[str, Any]) -> dict[str, Any]:
    """Question -> what an account says of who works here: names and licences."""
    return {
        "installer_name": person.get("name"), "installer_licence": person.get("licence"),
        "contractor_name": firm.get("name"), "contractor_licence": firm.get("licence"),
    }  # fmt: skip
