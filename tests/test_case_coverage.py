"""The case tables are complete: every check has one, shows each verdict, and stands at each limit.

A limit is touched when a case marked `at_limit` changes its verdict as soon as the book's
number is moved by a thousandth. A case written for one place is tried at every place where
it comes out the same, so that each edition's own number is held.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from decimal import Decimal, localcontext
from functools import partial
from pathlib import Path
from typing import Any
from unittest import mock

import pytest

from heaterapp.rules import Finding, Job, assess, binding, book, catalog, engine, place_names
from heaterapp.rules.units import EXACT
from tests import alone

FOLDER = Path(__file__).parent / "cases"
TABLES: dict[str, dict[str, Any]] = {
    path.name.removesuffix(".toml"): tomllib.loads(path.read_text(encoding="utf-8"), parse_float=Decimal)
    for path in sorted(FOLDER.glob("*.toml"))
}
CHECKS = {one.name: one for one in catalog.all_checks()}
PLACES = sorted(set(place_names().values()))
NUDGES = (Decimal("0.001"), Decimal("-0.001"))

# The worst a check can say, where that is not `fails`, and why.
WORST = {
    "electric.bonding": ("authority", "no adopted book names a jumper at the heater"),
    "place.above_flood_level": ("authority", "the authority sets the level"),
    "place.propane_not_below_ground": ("authority", "codes differ, and some accept it with a detector"),
    "place.outdoor_listing": ("authority", "protection in the listing's stead is for the authority to accept"),
    "place.heat_pump_air": ("authority", "louvers or ducts by the maker may make up for it"),
    "seismic.strap_material": ("authority", "no adopted text gives gauge or width; the guide is not law"),
    "seismic.within_prescriptive_size": ("engineer", "beyond the guide's details a design is needed"),
    "paperwork.permit": ("authority", "whether a permit is needed is the authority's to say"),
}
NEVER_MEETS = {
    "place.above_flood_level": "nobody here can measure the design flood level",
    "venting.exhaust_fans_ran": "where the fans ran, the spillage test itself meets and says so",
    "electric.ground_clamp": "advice; no adopted book asks it, so where it is kept they are silent",
    "supply.dielectric_fittings": "advice; no adopted book asks it, so where it is kept they are silent",
    "seismic.flexible_connections": "advice; no adopted book asks it, so where it is kept they are silent",
}
NEVER_OPEN = {
    "venting.no_spillage_seen": "a fan-assisted heater has no hood to test at; what was seen counts",
    "relief.lever_works": "trying the lever is not asked; a failed try counts",
    "place.above_flood_level": "asked only to warn",
}
# A number that no verdict can turn on, and why.
NOT_DECIDING = {
    ("gas.pipe", "near"): "close to the limit it asks for a pressure reading, and still meets",
    ("gas.shutoff", "within"): "the question is asked with the distance in it",
    ("gas.csst_bonding", "bond_awg"): "the size is told to whoever bonds it",
    ("relief.near_top", "top"): "the question is asked with the distance in it",
    ("venting.spillage", "minutes"): "the question is asked with the minutes in it",
    ("electric.disconnect", "in_sight"): "told to whoever fits the switch; in sight is what the question asks",
    ("seismic.wrap", "turns"): "told to whoever straps it; right round is what the question asks",
    ("venting.offset", "usual"): "between it and the most, one such offset is allowed",
    ("expansion.usual_size", "usual_gal"): "past it a lower house pressure is told and no size; the verdict is by the pressure",
    ("electric.overcurrent", "small_load"): "at 13.3 A both readings give a 20 A breaker (150 % is 19.95 A)",
}


def test_every_check_has_a_case_table_and_no_table_is_left_over() -> None:
    assert set(TABLES) == set(CHECKS)


def _changes() -> Iterator[tuple[str, str]]:
    """Place and clause of every change that a place file makes of its own, struck ones too."""
    for name in PLACES:
        about = book.place(name).about
        stated = (f"{topic}.{key}" for topic, keys in about.get("clause", {}).items() for key in keys)
        yield from ((name, ident) for ident in (*stated, *about.get("silent", {})))


@pytest.mark.parametrize(("place", "ident"), list(_changes()))
def test_what_a_place_changes_is_shown_by_a_case_there(place: str, ident: str) -> None:
    readers = [check for check, one in CHECKS.items() if ident in one.contract.clauses]
    assert any(case.get("place") == place for check in readers for case in TABLES[check]["case"])


def _shown(check: str) -> set[str]:
    return {case["verdict"] for case in TABLES[check]["case"]}


@pytest.mark.parametrize("check", sorted(CHECKS))
def test_a_check_is_shown_meeting_failing_and_open(check: str) -> None:
    worst, _ = WORST.get(check, ("fails", ""))
    assert worst in _shown(check), f"{check} is never shown at its worst, {worst}"
    assert check in NEVER_MEETS or "meets" in _shown(check), f"{check} is never shown meeting"
    assert check in NEVER_OPEN or "unanswered" in _shown(check), f"{check} is never shown unanswered"


def test_no_exception_stands_that_is_not_needed() -> None:
    assert not [check for check in WORST if "fails" in _shown(check)]
    assert not [check for check in NEVER_MEETS if "meets" in _shown(check)]
    assert not [check for check in NEVER_OPEN if "unanswered" in _shown(check)]


def _numeric(value: Any) -> bool:
    return isinstance(value, Decimal) or (
        isinstance(value, tuple) and bool(value) and isinstance(value[0], Decimal)
    )


def _values(needs: catalog.Contract, seen: frozenset[str] = frozenset()) -> Iterator[tuple[str, str]]:
    """Clause id and value name of all that a check reads, through its figures too."""
    for value in needs.values:
        yield from ((ident, value.name) for ident in needs.clauses)
    figures = catalog.figure_contracts()
    for name in (*(one.name for one in needs.arguments), *needs.when.names):
        if name in figures and name not in seen:
            yield from _values(figures[name][1], seen | {name})


def _limits() -> dict[tuple[str, str, str], set[str]]:
    """Book, clause and value name of every number -> the checks that read it."""
    found: dict[tuple[str, str, str], set[str]] = {}
    for check in CHECKS.values():
        for ident, name in _values(check.contract):
            for place in PLACES:
                clause = book.place(place).clauses.get(ident)
                if clause and _numeric(clause.values.get(name)):
                    found.setdefault((clause.book_id, ident, name), set()).add(check.name)
    return found


LIMITS = _limits()


def _at_limit(checks: set[str]) -> Iterator[tuple[str, dict[str, Any], dict[str, Any]]]:
    for check in sorted(checks):
        base = TABLES[check].get("base", {})
        for case in TABLES[check]["case"]:
            if case.get("at_limit"):
                answers = {**base, **case.get("answers", {})}
                yield check, case, {k: v for k, v in answers.items() if k not in case.get("drop", ())}


def _behind(needs: catalog.Contract, seen: frozenset[str] = frozenset()) -> frozenset[str]:
    """The figures that a check rests on, those included on which they rest."""
    figures = catalog.figure_contracts()
    for name in (*(one.name for one in needs.arguments), *needs.when.names):
        if name in figures and name not in seen:
            seen = _behind(figures[name][1], seen | {name})
    return seen


def _bound_anew(check: str, place_name: str) -> tuple[book.Place, dict[str, binding.Bound], dict[str, binding.Bound]]:
    """What the engine binds to a place, of this check and its figures alone: the rest takes most of the time."""
    place, figures = book.place(place_name), catalog.figure_contracts()
    contract = CHECKS[check].contract
    behind = {name: binding._bind(figures[name][1], place) for name in _behind(contract)}
    return place, {check: binding._citing(contract, place)}, behind


def _alone(check: str, job: Job, place: str) -> list[Finding]:
    """What the engine finds of this one check, as `assess` would with all of them (shown below to be the same)."""
    with mock.patch.object(engine, "bindings", partial(_bound_anew, check)), localcontext(EXACT):
        return engine._Run(job, place).findings_of(CHECKS[check])


def _verdict(check: str, kind: str, job: Job, place: str) -> str:
    return next((one.verdict for one in _alone(check, job, place) if one.kind == kind), "none")


@pytest.mark.parametrize("at", range(6))
def test_a_check_judged_alone_says_what_it_says_among_all(at: int) -> None:
    for number, check in enumerate(sorted(CHECKS)[at::6]):
        base, cases = TABLES[check].get("base", {}), TABLES[check]["case"]
        case = cases[number % len(cases)]
        answers = {**base, **case.get("answers", {})}
        place = case.get("place", "model_upc_2021")
        job = Job({**answers, "place": place})
        report = assess(job)
        found = [one for one in report.findings if one.check == check]
        assert _alone(check, job, place) == alone.findings_of({**answers, "place": place}, check) == found
        assert alone.figures_of({**answers, "place": place}) == report.as_json()["figures"]


def _nudged(value: Any) -> Iterator[Any]:
    for step in NUDGES:
        if isinstance(value, Decimal):
            yield value + step
        else:
            for at in range(len(value)):
                yield (*value[:at], value[at] + step, *value[at + 1 :])


def _decides(ident: str, name: str, check: str, case: dict[str, Any], answers: dict[str, Any], place: str) -> bool:
    kind, held = case.get("kind", "rule"), book.place(place).clauses[ident]
    job = Job({**answers, "place": place})
    if _verdict(check, kind, job, place) != case["verdict"]:
        return False
    values: Any = held.values
    was = values[name]
    try:
        for other in _nudged(was):
            values[name] = other
            if _verdict(check, kind, job, place) != case["verdict"]:
                return True
    finally:
        values[name] = was
    return False


def _touched(book_id: str, ident: str, name: str) -> bool:
    holders = [p for p in PLACES if (c := book.place(p).clauses.get(ident)) and c.book_id == book_id]
    tried = [(one, place) for one in _at_limit(LIMITS[book_id, ident, name]) for place in holders]
    # The checks that name the clause themselves come first, and where a case was written for: one that decides is enough.
    tried.sort(key=lambda one: (ident not in CHECKS[one[0][0]].contract.clauses, one[0][1].get("place", one[0][2].get("place")) != one[1]))
    return any(_decides(ident, name, *one, place) for one, place in tried)


@pytest.mark.parametrize(("book_id", "ident", "name"), sorted(LIMITS))
def test_a_case_stands_exactly_at_each_limit_of_each_book(book_id: str, ident: str, name: str) -> None:
    touched = _touched(book_id, ident, name)
    if (ident, name) in NOT_DECIDING:
        assert not touched, f"{ident}.{name} decides after all: strike it from the list"
    else:
        assert touched, f"{book_id} {ident}.{name}: no case marked at_limit changes when it moves"
