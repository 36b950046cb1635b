"""A strap's height and the third it must be in are printed so that the verdict can be read off them."""

from __future__ import annotations

import json
import random
import re
from decimal import Decimal, localcontext
from pathlib import Path
from typing import Any

import pytest

from heaterapp.certificate.figures import figures_of
from heaterapp.rules import assess
from heaterapp.rules.checks.seismic import lower_strap_in_lower_third, upper_strap_in_upper_third
from heaterapp.rules.units import EXACT, parse_length, tape_range
from heaterapp.sheet.bounds import found_words
from heaterapp.sheet.draw import straps_words

JOB = json.loads((Path(__file__).parents[1] / "jobs" / "gas_storage_us_ca.json").read_text("utf-8"))["answers"]
LOWER, UPPER = "seismic.lower_strap_in_lower_third", "seismic.upper_strap_in_upper_third"
CHECKS = {LOWER: lower_strap_in_lower_third.check, UPPER: upper_strap_in_upper_third.check}
SAID = re.compile(r"strap ([\d /.]+) in from the floor; the (?:lower|upper) third is ([\d /.]+) to ([\d /.]+) in")


def _within(found: str, low: str, high: str) -> bool:
    at, least, most = (parse_length(one) for one in (found, low, high))
    return least <= at <= most


def _ends(limit: str) -> tuple[str, str]:
    low, _, high = limit.removesuffix(" in").partition(" to ")
    return low, high


def _length(dice: random.Random, low: int, high: int) -> Decimal:
    """Of a tape's sixteenths, or decimals as people type them."""
    places = dice.choice((0, 1, 2, 3, 5))
    if dice.random() < 0.5:
        return Decimal(dice.randrange(low * 16, high * 16)) / 16
    return Decimal(dice.randrange(low * 10**places, high * 10**places)).scaleb(-places)


def _near(dice: random.Random, edge: Decimal) -> Decimal:
    """A strap as near to an edge as people write one."""
    step = dice.choice((Decimal("0.0625"), Decimal("0.01"), Decimal("0.001"), Decimal("0.00001")))
    return (edge / step).to_integral_value() * step + dice.choice((-1, 0, 0, 1)) * step


def test_found_and_limit_never_contradict_the_verdict() -> None:
    dice, seen = random.Random(20261126), set()
    with localcontext(EXACT):
        for _ in range(1500):
            base, height = _length(dice, 0, 30), _length(dice, 20, 80)
            edges = (base, base + height / 3, base + 2 * height / 3, base + height)
            straps = tuple(sorted(max(Decimal(0), _near(dice, edge)) for edge in dice.sample(edges, 2)))
            for name, check in CHECKS.items():
                told = check(straps, base, height, "gas_storage")
                limit = str(told.limit)
                found, printed = found_words(
                    {"check": name, "found": told.found, "limit": limit, "unit": "in", "verdict": told.verdict}
                )
                assert _within(found.removesuffix(" in"), *_ends(printed)) == (told.verdict == "meets"), told
                said = SAID.search(told.why)
                assert said
                assert _within(*said.groups()) == (told.verdict == "meets"), told
                assert all(edges[0] <= parse_length(one) <= edges[-1] for one in _ends(limit))
                seen.add((told.verdict, "/16" in limit, "." in limit))
    assert len(seen) == 5, seen


def test_the_band_rounded_to_eighths_alone_would_contradict() -> None:
    """What the test above is there for: it fails on the limit as it was."""
    low, high = Decimal(18), Decimal(18) + Decimal(58) / 3
    assert _within("37 5/16", *_ends(tape_range(low, high, Decimal("37.3125"))))
    assert not _within("37 5/16", *_ends(tape_range(low, high)))


@pytest.mark.parametrize(
    ("heights", "lower", "upper"),
    [
        (("37 5/16", "56 11/16"), ("37 5/16 in", "18 to 37 5/16 in"), ("56 11/16 in", "56 11/16 to 76 in")),
        (("37.33", "56.67"), ("37.33 in", "18 to 37.33 in"), ("56.67 in", "56.67 to 76 in")),
        (("37.34", "56.66"), ("37.34 in", "18 to 37 1/4 in"), ("56.66 in", "56 3/4 to 76 in")),
        (("36", "68"), ("36 in", "18 to 37 1/4 in"), ("68 in", "56 3/4 to 76 in")),
    ],
)
def test_check_figure_drawing_and_fix_print_one_band(heights: Any, lower: Any, upper: Any) -> None:
    answers = {**JOB, "strap_heights_in": list(heights), "controls_top_in": "30"}
    report = assess(answers).as_json()
    ruled = {one["check"]: one for one in report["findings"] if one["kind"] == "rule"}
    assert found_words(ruled[LOWER]) == lower
    assert found_words(ruled[UPPER]) == upper
    figures = {one.label: one.value for one in figures_of(report)}
    high, low = _ends(lower[1])[1], _ends(upper[1])[0]
    band = figures["Lower strap, from the floor"]
    assert band.endswith(f" to {high}")
    assert figures["Upper strap, from the floor"] == f"{low} to 76"
    drawn = " ".join(straps_words(answers, report))
    assert f"Lower strap between {band.replace(' to ', ' and ')} in from the floor" in drawn
    assert f"Straps found at {lower[0].removesuffix(' in')}, {upper[0]}." in drawn
    if ruled[LOWER]["verdict"] == "fails":
        assert f"Put a strap {band} in from the floor" in ruled[LOWER]["fix"]
        assert f"Put a strap {low} to 76 in from the floor" in ruled[UPPER]["fix"]


def test_a_strap_whose_width_is_not_known_is_called_the_lower_one_once() -> None:
    answers = {key: value for key, value in JOB.items() if key != "strap_width_in"} | {"controls_top_in": "30"}
    drawn = " ".join(straps_words(answers, assess(answers).as_json()))
    assert "The lower strap's center sits half the strap's width over 34 in or higher" in drawn
    assert "Lower strap:" not in drawn
