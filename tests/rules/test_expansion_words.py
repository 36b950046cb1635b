"""A tank that is small by good practice and large enough by the book: the screen and the paper say which is which."""

from __future__ import annotations

import json
import re
from html import unescape
from pathlib import Path
from typing import Any

import pytest

from heaterapp.certificate.figures import figures_of
from heaterapp.certificate.findings import check_of
from heaterapp.rules import Job, assess
from heaterapp.sheet.draw import pressure_svg, pressure_words
from heaterapp.sheet.live import live

JOB = Path(__file__).parent.parent / "jobs" / "gas_storage_us_ca.json"
LARGE, HOLDS = "expansion.tank_large_enough", "expansion.tank_can_hold_it"


def _judged(tank_gal: str, place: str = "us_ca_2022", **more: Any) -> tuple[dict[str, Any], dict[str, Any]]:
    answers = json.loads(JOB.read_text(encoding="utf-8"))["answers"]
    del answers["expansion_acceptance_gal"]
    asked = Job({**answers, "place": place, "expansion_tank_gal": tank_gal, "thermostat_f": 140, **more}).canonical()
    return asked, assess(asked).as_json()


def _findings(report: dict[str, Any], check: str) -> dict[str, dict[str, Any]]:
    return {one["kind"]: one for one in report["findings"] if one["check"] == check}


def _text(html: str) -> str:
    return " ".join(unescape(re.sub(r"<[^>]*>", "", html)).split())


def test_the_book_is_met_and_good_practice_names_the_pressure_it_sizes_to() -> None:
    _, report = _judged("2")
    both = _findings(report, LARGE)
    rule, advised = both["rule"], both["advice"]
    assert (rule["verdict"], rule["limit"], advised["verdict"], advised["limit"]) == ("meets", "150", "fails", "80")
    assert "The book names no limit but what the parts are rated for, 150 psi" in rule["why"]
    needs = report["figures"]["expansion_tank_needed_gal"]
    assert needs["says"] == "To 80 psi, the advice of good practice; the book names no limit."
    assert "; this one is 2, to stay within the 80 psi of good practice: " in advised["why"]


@pytest.mark.parametrize("tank_gal", ["2", "8"])
def test_the_drawing_calls_good_practice_no_adopted_limit(tank_gal: str) -> None:
    answers, report = _judged(tank_gal)
    said = " ".join(pressure_words(answers, report))
    assert "adopted limit" not in said
    assert "Good practice advises 80 psi at most; the book names no such limit." in said
    drawn = pressure_svg(answers, report) or ""
    assert "advised 80 psi" in drawn
    assert "limit 80 psi" not in drawn
    rule = _findings(report, LARGE)["rule"]
    assert "good practice" in rule["why"] or rule["limit"] == "150"


def test_a_limit_that_the_book_names_is_the_adopted_one() -> None:
    answers, report = _judged("8", "model_upc_2024")
    said = " ".join(pressure_words(answers, report))
    section = _findings(report, LARGE)["rule"]["section"]
    assert f"The adopted limit is 80 psi ({section})." in said
    assert "Good practice" not in said


def test_what_the_tank_holds_is_not_called_a_limit() -> None:
    answers, report = _judged("2")
    one = _findings(report, HOLDS)["rule"]
    assert one["why"].endswith(" gal of water is in it, of the 2 gal of its whole size.")
    on_paper = check_of(one, {})
    assert (on_paper.bound, on_paper.limit) == ("the tank holds", "2 gal")
    assert on_paper.found.endswith(" gal of water")
    water = _text(live(answers, report)["sections"]["water"])
    assert "gal of water, the tank holds 2 gal" in water
    assert "limit 2 gal" not in water


def test_a_pressure_is_read_to_a_tenth_and_kept_in_full() -> None:
    answers, report = _judged("2")
    one = _findings(report, LARGE)["rule"]
    assert len(one["found"].partition(".")[2]) == 3
    told = live(answers, report)
    everything = " ".join(_text(html) for html in (*told["sections"].values(), *told["said"].values()))
    assert not re.search(r"[0-9]\.[0-9]{2,} psi\b", everything.replace("psia", ""))


def test_a_tank_set_as_it_should_be_has_its_pressure_told_once() -> None:
    answers, report = _judged("8")
    twice = ("peak_pressure_psi", "peak_pressure_as_recommended_psi")
    assert len({report["figures"][name]["worked"] for name in twice}) == 1
    water = _text(live(answers, report)["sections"]["water"])
    assert water.count("Pressure when hot, ") == 1
    assert [one.label for one in figures_of(report)].count("Pressure when hot, tank as set") == 1
    assert "Pressure when hot, tank charged to the house pressure" not in {one.label for one in figures_of(report)}
    said = " ".join(pressure_words(answers, report))
    assert "Tank as set, which is as recommended: 60 psi cold, " in said
    assert said.count(" psi hot") == 1


def test_two_pressures_that_differ_are_both_told() -> None:
    answers, report = _judged("8", precharge_psi=40)
    labels = [one.label for one in figures_of(report)]
    assert "Pressure when hot, tank as set" in labels
    assert "Pressure when hot, tank charged to the house pressure" in labels
    assert "As recommended, 8 gal charged to 60 psi: " in " ".join(pressure_words(answers, report))
