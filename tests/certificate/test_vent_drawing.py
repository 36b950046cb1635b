"""The vent's drawing: of any job, on the sheet, to scale, with the report's own numbers."""

from __future__ import annotations

import itertools
import json
import random
import re
import sys
import xml.etree.ElementTree as ET
from collections.abc import Iterator, Mapping
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

sys.path.insert(0, str(Path(__file__).parent.parent))

import random_jobs

from heaterapp.rules import CATALOGUE, Job, assess
from heaterapp.rules.units import eighths, plain
from heaterapp.sheet.draw import vent_svg, vent_words

SVG = "{http://www.w3.org/2000/svg}"
STATIC = Path(__file__).parent.parent.parent / "static"
JOBS = sorted((Path(__file__).parent.parent / "jobs").glob("*.json"))
WIDE = 7.4
"""A letter of the drawing's lettering, at most, in its own units: measured in the browser."""
PLACES = re.compile(r"-?\d+(?:\.\d+)?")
Made = tuple[dict[str, Any], Mapping[str, Any]]


def _judged(answers: Mapping[str, Any]) -> Made:
    job = Job(answers)
    return job.canonical(), assess(job).as_json()


def _whole(name: str, **changes: Any) -> Made:
    given = json.loads((JOBS[0].parent / f"{name}.json").read_text(encoding="utf-8"))["answers"]
    return _judged({**given, **changes})


def _random(count: int, seed: int) -> Iterator[Made]:
    dice = random.Random(seed)
    names = [q for q in CATALOGUE.values() if q.section == "vent" and q.kind == "number" and q.hard]
    made = 0
    while made < count:
        answers = json.loads(dice.choice(JOBS).read_text(encoding="utf-8"))["answers"]
        if "gas" not in answers["heater_kind"]:
            continue
        for one in dice.sample(names, 14):
            low, high = one.soft or one.hard or (Decimal(0), Decimal(1))
            if dice.random() < 0.3:
                low, high = one.hard or (low, high)
            value = low + (high - low) * dice.randrange(0, 9) / 8
            answers[one.name] = str(value.quantize(Decimal(1)) if one.whole else value)
            if dice.random() < 0.15:
                answers.pop(one.name)
        for name in ("vent_kind", "vent_end", "connector_kind"):
            if dice.random() < 0.4:
                answers[name] = dice.choice(list(CATALOGUE[name].choices))
        try:
            yield _judged(answers)
        except ValueError:
            continue
        made += 1


def _faults(svg: str) -> list[str]:
    """What lies off the sheet, is styled by itself, or is no number."""
    tree, found = ET.fromstring(svg), []
    width, height = map(float, tree.get("viewBox", "").split()[2:])
    for one in tree.iter():
        if {"style", "fill", "stroke", "id", "href"} & set(one.attrib):
            found.append(f"styled: {one.attrib}")
        points = [tuple(map(float, PLACES.findall(pair))) for pair in re.split(r"[ML]", one.get("d", ""))[1:]]
        points += [
            (float(one.get(x, 0)), float(one.get(y, 0))) for x, y in (("x", "y"), ("x1", "y1"), ("x2", "y2"))
        ]
        points.append(
            (
                float(one.get("x", 0)) + float(one.get("width", 0)),
                float(one.get("y", 0)) + float(one.get("height", 0)),
            )
        )
        if one.tag == f"{SVG}svg":
            points = []
        if one.tag == f"{SVG}text":
            wide = WIDE * len(one.text or "")
            kinds, x = one.get("class", "").split(), float(one.get("x", 0))
            left = x - (wide if "end" in kinds else wide / 2 if "middle" in kinds else 0)
            points += [(left, 0), (left + wide, 0)]
        for x, y in points:
            if not (-0.05 <= x <= width + 0.05 and -0.05 <= y <= height + 0.05):
                found.append(f"off the sheet at {x}, {y}: {ET.tostring(one)[:120]!r}")
    return found


def _told(answers: Mapping[str, Any], report: Mapping[str, Any]) -> set[str]:
    """Every number of the vent that the answers and the report have, as it is lettered."""
    numbers = [answers.get(q.name) for q in CATALOGUE.values() if q.section == "vent"]
    for one in report["findings"]:
        if one["topic"] == "venting":
            numbers += [one["found"], *re.findall(r"[\d./ ]*\d", str(one["limit"] or ""))]
    told = set()
    for one in numbers:
        if isinstance(one, str):
            told.add(one.strip())
            try:
                value = Decimal(one.strip())
            except ArithmeticError:
                continue
            told |= {eighths(value), plain(value, 2)}
    return told


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_every_whole_job_draws_within_its_sheet_and_says_no_number_of_its_own(path: Path) -> None:
    answers, report = _whole(path.stem)
    svg, said = vent_svg(answers, report), vent_words(answers, report)
    if answers.get("vent_kind") in (None, "none") or "gas" not in answers["heater_kind"]:
        assert svg is None
        assert said == []
        return
    assert svg is not None
    assert _faults(svg) == []
    told = _told(answers, report)
    for one in ET.fromstring(svg).iter(f"{SVG}text"):
        number = re.match(r"(-?\d[\d,.]*(?: \d+/\d+)?|-?\d+/\d+)(?= in| ft|$)", one.text or "")
        if number:
            assert number[1] in told, one.text
    assert svg == vent_svg(dict(reversed(answers.items())), report)


def test_any_job_draws_without_a_fault() -> None:
    drawn = 0
    for answers, report in _random(250, 7):
        svg = vent_svg(answers, report)
        assert (svg is None) == (vent_words(answers, report) == [])
        if svg is None:
            continue
        drawn += 1
        assert _faults(svg) == [], answers
    assert drawn > 150


def test_a_half_told_job_draws_what_is_known() -> None:
    dice = random.Random(3)
    for answers, _ in _random(60, 11):
        for _ in range(3):
            kept = {k: v for k, v in answers.items() if dice.random() < 0.6 or k in ("heater_kind", "place")}
            svg = vent_svg(kept, assess(Job(kept)).as_json())
            assert svg is None or _faults(svg) == []


def test_a_roof_vent_is_drawn_to_scale() -> None:
    answers, report = _whole("gas_storage_us_ca")
    tree = ET.fromstring(vent_svg(answers, report) or "")
    pipes = [one for one in tree.iter(f"{SVG}path") if one.get("class") == "pipe"]
    tall = [_span(one) for one in pipes]
    (connector_wide, connector_tall), (vent_wide, vent_tall) = tall
    # 14 ft from the hood to the end; the connector takes 6 in of it, and 2 ft to the side.
    foot = vent_tall / 13.5
    assert vent_wide == pytest.approx(foot * 4 / 12, abs=0.2)
    assert connector_wide == pytest.approx(foot * 2, abs=foot * 3 / 12)
    assert connector_tall == pytest.approx(foot * 6 / 12, abs=foot * 3.2 / 12)
    limits = [one for one in tree.iter(f"{SVG}line") if one.get("class") == "limit"]
    roof = next(one for one in tree.iter(f"{SVG}path") if one.get("class") == "roof")
    (_, low), (_, high) = _points(roof)
    asked = (low + high) / 2 - float(limits[0].get("y1", 0))
    assert asked == pytest.approx(foot, abs=0.2), "12 in asked over the roof"


def _points(one: ET.Element) -> list[tuple[float, float]]:
    return [tuple(map(float, pair.split())) for pair in one.get("d", "")[1:].split(" L")]  # type: ignore[misc]


def _span(one: ET.Element) -> tuple[float, float]:
    xs, ys = zip(*_points(one), strict=True)
    return max(xs) - min(xs), max(ys) - min(ys)


def test_what_falls_short_is_marked_and_what_holds_is_not() -> None:
    def marked(made: Made) -> list[str]:
        tree = ET.fromstring(vent_svg(*made) or "")
        return [one.text or "" for one in tree.iter(f"{SVG}text") if "fails" in one.get("class", "")]

    assert marked(_whole("gas_storage_us_ca")) == []
    assert marked(_whole("gas_storage_us_ca", vent_above_roof_in="6")) == ["6 in above roof"]
    assert marked(_whole("gas_storage_us_ca", connector_rise_in="1/4")) == ["rises 1/4 in"]
    assert marked(_whole("gas_storage_us_ca", vent_clearance_in="1/2")) == ["1/2 in to burnable"]
    assert marked(_whole("gas_storage_power_vent_irc_2021")) == ["36 in beside opening"]
    low = _whole(
        "gas_storage_power_vent_irc_2021",
        wall_terminal_above_grade_in="17",
        wall_terminal_above_opening_in="not_here",
    )
    assert marked(low) == ["36 in beside opening", "17 in above ground"]


def test_the_words_say_what_is_asked_and_where_it_stands() -> None:
    said = " ".join(vent_words(*_whole("gas_storage_us_ca", vent_lateral_ft="8")))
    for words in ("Draft hood up to the end 14 ft, 8 ft to the side", "6 ft to the side was not asked: drawn halfway",
                  "Ends 18 in above the roof (12 asked, 509.6.2)", "connector 8 in (6 asked, Table 509.7.3)"):  # fmt: skip
        assert words in said, words
    wall = " ".join(vent_words(*_whole("gas_storage_power_vent_irc_2021")))
    assert "36 in beside an opening, 48 in asked (G2427.8)" in wall
    assert "24 in above the ground, 18 in asked (G2427.8), snow 6 in" in wall


def test_far_openings_are_told_and_not_drawn() -> None:
    far = {f"wall_terminal_{where}_opening_in": "2000" for where in ("below", "beside", "above")}
    answers, report = _whole("gas_storage_power_vent_irc_2021", **far)
    texts = [one.text or "" for one in ET.fromstring(vent_svg(answers, report) or "").iter(f"{SVG}text")]
    assert not any("2,000" in one or "2000" in one for one in texts)
    assert "24 in above ground" in texts
    assert "in below an opening" in " ".join(vent_words(answers, report))
    alone = _whole("gas_storage_power_vent_irc_2021", **far, wall_terminal_above_grade_in="300")
    assert vent_svg(*alone) is None


def test_labels_do_not_touch_and_every_class_is_in_the_sheet() -> None:
    known = set(re.findall(r"\.([a-z-]+)", (STATIC / "drawing.css").read_text(encoding="utf-8"))) | {
        "label",
        "vent",
    }
    for name in ("gas_storage_us_ca", "gas_storage_chimney_upc_2018", "gas_storage_power_vent_irc_2021"):
        tree = ET.fromstring(vent_svg(*_whole(name)) or "")
        heights = sorted(float(one.get("y", 0)) for one in tree.iter(f"{SVG}text") if one.get("x") == "180")
        assert len(heights) >= 6
        assert min(b - a for a, b in itertools.pairwise(heights)) >= 16
        for one in tree.iter():
            assert set(one.get("class", "").split()) <= known
        assert tree.get("role") == "img"
        assert all(tree[at].text for at in (0, 1))


@pytest.mark.parametrize(("change", "drawn"), [
    ({"vent_kind": "none"}, False), ({"vent_kind": None}, False), ({"vent_height_ft": None, "vent_above_roof_in": None}, False),
    ({"vent_height_ft": None}, True), ({"vent_above_roof_in": {"could_not_measure": "not climbed"}}, True),
    ({"connector_rise_in": None}, True), ({"roof_pitch_in_12": None}, True), ({"vent_height_ft": "0"}, False),
])  # fmt: skip
def test_nothing_is_drawn_from_too_little(change: dict[str, Any], drawn: bool) -> None:
    given, _ = _whole("gas_storage_us_ca")
    answers = {k: v for k, v in {**given, **change}.items() if v is not None}
    if answers.get("vent_height_ft") == "0":
        answers.pop("vent_above_roof_in")
    svg = vent_svg(answers, assess(Job(answers)).as_json())
    assert (svg is not None) is drawn
    if svg:
        assert _faults(svg) == []


def test_the_random_whole_jobs_draw_too() -> None:
    dice = random.Random(21)
    for _ in range(80):
        answers, report = _judged(random_jobs._near_a_whole_job(dice))
        svg = vent_svg(answers, report)
        assert svg is None or _faults(svg) == []
