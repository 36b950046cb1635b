"""What a section says in few words: the large numbers, what folds to a count, and nothing said twice."""

from __future__ import annotations

import json
import re
from html import unescape
from pathlib import Path
from typing import Any

import pytest

from heaterapp.rules import Job, assess
from heaterapp.sheet.bounds import found_words
from heaterapp.sheet.findings import finding_html, section_of, side_by_side
from heaterapp.sheet.live import live

JOBS = Path(__file__).parent / "jobs"
GAS: dict[str, Any] = {"heater_kind": "gas_storage", "job_kind": "same_place", "place": "model_upc_2024"}


def _text(html: str) -> str:
    return " ".join(unescape(re.sub(r"<[^>]*>", "", html)).split())


def _job(name: str) -> dict[str, Any]:
    return Job(json.loads((JOBS / name).read_text(encoding="utf-8"))["answers"]).canonical()


def _live(answers: dict[str, Any]) -> dict[str, Any]:
    return live(answers, assess(answers).as_json())


def test_the_number_the_job_turns_on_is_said_large() -> None:
    answers = _job("gas_storage_to_fix.json")
    water = {
        **answers,
        "expansion_tank_gal": "2",
        "expansion_acceptance_gal": "0.9",
        "storage_gal": "50",
        "thermostat_f": "140",
    }
    told = _live(water)["sections"]["water"]
    assert '<p class="turning">Set tank air to <b>60 psi</b></p>' in told
    said = next(
        f["why"] for f in assess(water).as_json()["findings"] if f["check"] == "expansion.tank_large_enough"
    )
    needs = said.partition("at least ")[2].partition(" gal")[0]
    assert f"Tank needs at least <b>{needs} gal</b>" in told
    reach = said.partition("would reach ")[2].partition(" psi")[0]
    assert f"This one is 2 gal: with its air set so, pressure would reach <b>{reach} psi</b>" in told
    place = _live(answers)["sections"]["place"]
    for band in ("56 3/4 to 76 in", "34 3/4 to 37 1/4 in"):
        assert f"strap, from the floor {band}" in _text(place)
    assert "37.33 in, 507.2" not in place
    assert "37 1/4 in, 507.2" in place


def test_two_equal_words_are_not_printed_as_found_and_limit() -> None:
    told = _live(_job("gas_storage_us_ca.json"))
    everything = " ".join(_text(html) for html in (*told["sections"].values(), *told["said"].values()))
    assert "limit" in everything
    assert not re.search(r"found ([a-z ]+), limit \1(;| \d|$)", everything)
    assert "null" not in everything
    assert side_by_side({"found": "80", "limit": "80", "unit": "psi"}) == "found 80 psi, limit 80 psi"
    assert side_by_side({"found": "none", "limit": "none", "unit": ""}) == ""
    assert side_by_side({"found": "none", "limit": "a pan", "unit": ""}) == "found none, required a pan"


@pytest.mark.parametrize(
    ("check", "found", "limit", "unit", "words"),
    [("supply.pressure_within_limit", "85", "80", "psi", "found 85 psi, at most 80 psi"),
     ("expansion.tank_large_enough", "97.205", "150", "psi", "found 97.3 psi, at most 150 psi"),
     ("expansion.tank_large_enough", "80.04", "80", "psi", "found 80.1 psi, at most 80 psi"),
     ("pan.depth", "1", "1.5", "in", "found 1 in, at least 1 1/2 in"),
     ("relief.end_height", "12", "6 to 24", "in", "found 12 in, within 6 to 24 in"),
     ("place.work_space", "36 x 40", "30 x 30", "in", "found 36 × 40 in, at least 30 × 30 in"),
     ("venting.not_oversized", "1", "7", "ratio", "found 1 time, at most 7 times"),
     ("seismic.strap_count", "1", "2", "", "found 1 strap, at least 2 straps"),
     ("gas.connector", "2", "1", "", "found 2 connectors, at most 1 connector"),
     ("place.ignition_height", "sealed", "18", "in", "found sealed, else at least 18 in")],
)  # fmt: skip
def test_found_and_limit_have_their_units_and_the_limit_says_which_way_it_bounds(
    check: str, found: str, limit: str, unit: str, words: str
) -> None:
    verdict = "meets" if found == "sealed" else "fails"
    one = {"check": check, "found": found, "limit": limit, "unit": unit, "verdict": verdict}
    assert side_by_side(one) == words


def test_no_number_of_a_whole_job_stands_without_its_unit() -> None:
    named = {"paperwork.permit", "relief.valve_near_top"}
    for path in sorted(JOBS.glob("*.json")):
        for one in assess(_job(path.name)).as_json()["findings"]:
            for words in found_words(one):
                bare = re.fullmatch(r"[0-9][0-9/ .,]*((x|to) [0-9][0-9/ .]*)?", words)
                assert one["check"] in named or not bare, (path.name, one["check"], words)


def test_what_meets_in_a_section_and_its_figures_fold_to_counts_and_stay_whole() -> None:
    answers = _job("gas_storage_us_ca.json")
    report = assess(answers).as_json()
    html = live(answers, report, ("water",))["sections"]["water"]
    met = [f for f in report["findings"] if section_of(f) == "water" and f["verdict"] == "meets"]
    assert f"</svg> {len(met)} meet</summary>" in html
    assert all(f["title"] in _text(html) for f in met)
    assert "Figures and their working: " in html
    assert not re.findall(r"<details class=\"folded\" open", html)


def test_how_sure_a_section_is_stands_once() -> None:
    report = assess(_job("gas_storage_to_fix.json")).as_json()
    carried = [f for f in report["findings"] if "Confirm in the adopted edition" in f["why"]]
    assert carried
    assert all(finding_html(f).lower().count("confirm") == 1 for f in carried)
