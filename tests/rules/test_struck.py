"""Clauses that an organisation strikes or must leave: nothing waits for an answer that cannot be given, or is taken for another."""

from __future__ import annotations

import json
import random
from pathlib import Path
from typing import Any

import pytest

from heaterapp.rules import BadAnswer, amendable, assess, catalog, place_names, read_amendments, settable
from heaterapp.rules.amendments import WHOLE, bounds
from heaterapp.rules.units import plain
from tests import random_jobs
from tests.grids import some

JOBS = Path(__file__).parent.parent / "jobs"
BY_OPENINGS = {
    "air_source": "indoor_openings", "room_volume_ft3": "500", "joined_volume_ft3": "6000", "air_opening_high_in2": "200",
    "air_opening_low_in2": "200", "air_louver": "metal", "air_opening_least_dimension_in": "6", "air_high_from_top_in": "6",
    "air_low_from_bottom_in": "6", "room_other_input_btuh": "0",
}  # fmt: skip
WHY = "The town does not adopt it."


def _job(name: str) -> dict[str, Any]:
    whole: dict[str, Any] = json.loads((JOBS / f"{name}.json").read_text(encoding="utf-8"))["answers"]
    return whole


def _struck(answers: dict[str, Any], ident: str) -> dict[str, Any]:
    base = place_names()[answers["place"]]
    own = {
        "name": "town", "title": "Town", "version": 1, "on": "2026-01-01", "base": base, "clauses": {}, "silent": {ident: WHY},
    }  # fmt: skip
    return {**answers, "amendments": own}


@pytest.mark.parametrize(
    "answers",
    [
        _job("gas_storage_us_ca"), {**_job("gas_storage_us_ca"), **BY_OPENINGS}, {**_job("gas_storage_irc_2021"), **BY_OPENINGS},
        _job("electric_storage_irc"), _job("gas_storage_shared_vent_us_ut"),
    ],
    ids=["own vent", "air by openings", "air by openings, IRC", "electric", "shared vent"],
)  # fmt: skip
def test_whatever_is_struck_a_whole_job_stays_whole(answers: dict[str, Any]) -> None:
    before = {(one.check, one.kind): one.verdict for one in assess(answers).findings}
    for ident in some(amendable(place_names()[answers["place"]]), 2, len(answers)):
        for one in assess(_struck(answers, ident)).findings:
            opened = one.verdict in ("unanswered", "error") and before.get((one.check, one.kind)) != one.verdict
            assert not opened, (ident, one.check, one.why)


@pytest.mark.parametrize("ident", ["air.louvers", "air.indoor_openings", "air.other_storey"])
def test_a_check_whose_figure_lost_its_clause_is_silent_with_the_reason(ident: str) -> None:
    answers = {**_job("gas_storage_us_ca"), **BY_OPENINGS}
    found = next(one for one in assess(_struck(answers, ident)).findings if one.check == "air.enough_air")
    assert (found.verdict, found.why, found.missing) == ("silent", WHY, ())


def test_what_is_still_to_be_answered_is_asked_before_anything_is_called_silent() -> None:
    answers = {**_job("gas_storage_us_ca"), **BY_OPENINGS}
    del answers["air_opening_low_in2"]
    found = next(one for one in assess(_struck(answers, "air.infiltration")).findings if one.check == "air.enough_air")
    assert found.verdict == "unanswered"
    assert "air_opening_low_in2" in found.missing


def test_a_number_by_which_forms_and_papers_speak_stays() -> None:
    """A valve within 6 ft is not thereby within 3 ft: the section may be another, the number not."""
    clause = {"section": "5.1", "says": "A valve near the heater.", "values": {"within": "6"}}
    own = {"name": "town", "title": "Town", "version": 1, "on": "2026-01-01", "base": "model_upc_2021", "clauses": {"gas.shutoff": clause}}
    assert (read_amendments(own) or {})["clauses"]["gas.shutoff"]["values"] == {"within": "6"}
    clause["values"] = {"within": "3"}
    with pytest.raises(BadAnswer, match="from 6 to 6 ft, by which forms and papers speak"):
        read_amendments(own)
    force = {"parts": "1", "of_parts": "2", "stated": "yes"}
    own["clauses"] = {"seismic.force": {"section": "5.2", "says": "Half of the weight.", "values": force}}
    with pytest.raises(BadAnswer, match="of_parts: a whole number from 3 to 3, by which forms and papers speak"):
        read_amendments(own)


def test_what_nobody_adopts_is_not_offered() -> None:
    assert {"seismic.weights", "venting.wall_terminal"} & set(amendable("us_ca_2022")) == set()


def test_sizes_are_whole_and_said_as_they_are_set() -> None:
    values = {"most_ratio": "7", "sizes_above": "1"}
    own = {
        "name": "town", "title": "Town", "version": 1, "on": "2026-01-01", "base": "us_ca_2022",
        "clauses": {"venting.oversize": {"section": "1", "says": "One size.", "values": values}},
    }  # fmt: skip
    larger = {"draft_hood_outlet_in": "3", "connector_diameter_in": "5", "vent_diameter_in": "5"}
    report = assess({**_job("gas_storage_us_ca"), **larger, "amendments": own})
    found = next(one for one in report.findings if one.check == "venting.not_oversized")
    assert (found.verdict, found.limit) == ("fails", "4")
    assert "1 size larger, 4 in, is the most" in found.why
    values["sizes_above"] = "1.5"
    with pytest.raises(BadAnswer, match="sizes_above: a whole number from 1 to 20"):
        read_amendments(own)


def test_a_result_by_a_struck_clause_is_silent() -> None:
    """The room is too small and the openings' clause is struck: nothing is left that could fail it."""
    answers = {**_job("gas_storage_us_ca"), **BY_OPENINGS, "joined_volume_ft3": "100"}
    found = next(one for one in assess(_struck(answers, "air.indoor_openings")).findings if one.check == "air.enough_air")
    assert (found.verdict, found.why) == ("silent", WHY)


def test_what_amendments_ask_of_electric_heaters_is_cited_as_theirs() -> None:
    """No book of this family has the clause of all ignition sources, which the check cites elsewhere."""
    clause = {"section": "9.1", "says": "Every heater.", "values": {"height": "18", "resistant_exempt": "yes", "electric_too": "yes"}}
    own = {
        "name": "town", "title": "Town", "version": 1, "on": "2026-01-01", "base": "model_upc_2021",
        "clauses": {"place.ignition_height": clause},
    }  # fmt: skip
    answers = {"place": "model_upc_2021", "heater_kind": "electric_storage", "room": "garage", "ignition_height_in": "18"}
    found = next(one for one in assess({**answers, "amendments": own}).findings if one.check == "place.ignition_height")
    assert (found.verdict, found.book, found.section) == ("meets", "Town", "9.1")


def test_the_most_that_height_may_take_leaves_an_input_on_the_highest_ground() -> None:
    values = {"unchanged_to": "2000", "reduction": "0.06"}
    own = {
        "name": "town", "title": "Town", "version": 1, "on": "2026-01-01", "base": "us_ca_2022",
        "clauses": {"heater.altitude": {"section": "1", "says": "More.", "values": values}},
    }  # fmt: skip
    report = assess({**_job("gas_storage_us_ca"), "elevation_ft": "14500", "amendments": own})
    assert [one for one in report.findings if one.verdict == "error"] == []
    values["reduction"] = "0.0601"
    with pytest.raises(BadAnswer, match=r"from 0\.004 to 0\.06"):
        read_amendments(own)


def _anything(dice: random.Random, base: str) -> dict[str, Any]:
    """Amendments of a few clauses, each struck or set to anything that may be said."""
    known, clauses, silent = amendable(base), {}, {}
    for ident in dice.sample(list(known), dice.choice((1, 3, 10, 20))):
        if dice.random() < 0.3:
            silent[ident] = WHY
            continue
        values: dict[str, str] = {}
        for name in settable(known[ident]):
            held, unit = known[ident].values[name], known[ident].units[name]
            if isinstance(held, bool):
                values[name] = dice.choice(("yes", "no"))
                continue
            low, high = bounds(ident, name, held, unit)
            said = low + (high - low) * dice.randrange(1001) / 1000
            values[name] = plain(said.to_integral_value() if unit in WHOLE else said, 28)
        clauses[ident] = {"section": "1", "says": "Otherwise.", "values": values}
    return {"name": "town", "title": "Town", "version": 1, "on": "2026-01-01", "base": base, "clauses": clauses, "silent": silent}


def test_any_job_under_any_amendments_is_judged_soundly() -> None:
    # Among these is one that was once decided by a clause that its amendments had struck.
    for number in range(1100, 1350):
        dice = random.Random(number)
        answers = random_jobs._near_a_whole_job(dice)
        own = _anything(dice, place_names()[answers["place"]])
        faults = list(random_jobs.sound(assess({**answers, "amendments": own})))
        assert faults == [], (number, faults, own)


@pytest.mark.parametrize("place", sorted(set(place_names().values())))
def test_no_hazard_rests_on_what_can_be_struck(place: str) -> None:
    figures = catalog.figure_contracts()
    for check in (one for one in catalog.all_checks() if one.hazard):
        behind = (figures[one.name][1] for one in check.contract.arguments if one.figure)
        rests_on = {ident for needs in (check.contract, *behind) for ident in needs.clauses}
        assert rests_on.isdisjoint(amendable(place)), check.name
