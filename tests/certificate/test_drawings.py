"""The drawings: to scale, numbers in words, no style of their own, None when there is not enough."""

from __future__ import annotations

import itertools
import json
import re
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from heaterapp.languages import speaking, told
from heaterapp.sheet.draw import pressure_svg, pressure_words, straps_svg, straps_words

SVG = "{http://www.w3.org/2000/svg}"
SHEET = Path(__file__).parent.parent.parent / "static" / "drawing.css"
BOTH = pytest.mark.parametrize("draw", [straps_svg, pressure_svg])


def _tree(svg):
    return ET.fromstring(svg)


def _of_kind(tree, kind):
    return [one for one in tree.iter() if kind in one.get("class", "").split()]


@BOTH
def test_a_drawing_is_named_described_and_carries_classes_only(draw, sample_answers, sample_report):
    svg = draw(sample_answers, sample_report)
    tree = _tree(svg)
    assert tree.get("role") == "img"
    assert tree[0].tag == f"{SVG}title"
    assert tree[0].text
    assert tree[1].tag == f"{SVG}desc"
    assert tree[1].text
    for one in tree.iter():
        assert not {"style", "fill", "stroke", "id", "href"} & set(one.attrib), one.attrib
        assert one.tag.removeprefix(SVG) in {"svg", "title", "desc", "line", "rect", "path", "text"}


@BOTH
def test_every_class_is_in_the_drawings_sheet(draw, sample_answers, sample_report):
    known = set(re.findall(r"\.([a-z-]+)", SHEET.read_text(encoding="utf-8"))) | {
        "label",
        "straps",
        "pressure",
    }
    for one in _tree(draw(sample_answers, sample_report)).iter():
        assert set(one.get("class", "").split()) <= known


@BOTH
def test_the_same_job_gives_the_same_drawing(draw, sample_answers, sample_report):
    assert draw(sample_answers, sample_report) == draw(dict(reversed(sample_answers.items())), sample_report)


@BOTH
def test_a_drawing_stays_within_its_frame(draw, sample_answers, sample_report):
    tree = _tree(draw(sample_answers, sample_report))
    width, height = map(float, tree.get("viewBox").split()[2:])
    for one in tree.iter():
        for key, most in (
            ("x", width),
            ("x1", width),
            ("x2", width),
            ("y", height),
            ("y1", height),
            ("y2", height),
        ):
            assert 0 <= float(one.get(key, 0)) <= most, ET.tostring(one)


def test_straps_are_drawn_to_scale(sample_answers, sample_report):
    tree = _tree(straps_svg(sample_answers, sample_report))
    (tank,), straps = _of_kind(tree, "tank"), _of_kind(tree, "strap")
    scale = float(tank.get("height")) / 54
    bottom = float(tank.get("y")) + float(tank.get("height"))
    assert float(tank.get("width")) == pytest.approx(20 * scale, abs=0.2)
    middles = [18 + (bottom - float(s.get("y")) - float(s.get("height")) / 2) / scale for s in straps]
    assert middles == pytest.approx([37, 66.375], abs=0.1)


def test_the_numbers_of_the_straps_stand_beside_in_words(sample_answers, sample_report):
    text = " ".join(straps_words(sample_answers, sample_report))
    for said in (
        "54 in tall",
        "stand of 18 in",
        "54 and 72 in",
        "no height satisfies both",
        "at 37, 66 3/8 in",
        "4 in over them",
        "507.2",
    ):
        assert said in text
    drawn = " ".join(one.text for one in _tree(straps_svg(sample_answers, sample_report)).iter(f"{SVG}text"))
    for said in ("37 in strap", "66 3/8 in strap", "54 in, 507.2", "32 in controls"):
        assert said in drawn


def test_only_the_strap_that_a_finding_faults_is_marked(sample_answers, sample_report):
    faulted = _of_kind(_tree(straps_svg(sample_answers, sample_report)), "fails")
    assert [one.text for one in faulted if one.text] == ["37 in strap"]
    alone = {**sample_answers, "strap_heights_in": ["66 3/8"]}
    assert not _of_kind(_tree(straps_svg(alone, sample_report)), "fails"), (
        "the lower one is missing; this one sits right"
    )


def test_crowded_labels_do_not_touch(sample_answers, sample_report):
    crowded = {**sample_answers, "strap_heights_in": ["37", "37.5", "38", "38.5", "39"]}
    labels = _tree(straps_svg(crowded, sample_report)).iter(f"{SVG}text")
    heights = sorted(float(one.get("y")) for one in labels if float(one.get("x")) == 196)
    assert len(heights) >= 8
    assert min(b - a for a, b in itertools.pairwise(heights)) >= 16


def test_the_pressure_lines_end_where_the_words_say(sample_answers, sample_report):
    said = " ".join(pressure_words(sample_answers, sample_report))
    assert "150 psi hot: the relief valve opens" in said
    assert "4 gal charged to 60 psi: 79.9 psi hot" in said
    assert "within the first degrees" in said
    sample_report["figures"]["expansion_tank_needed_gal"] = {"value": "3.910", "unit": "gal", "says": ""}
    assert "4 gal charged to 60 psi: 79.9 psi hot" in " ".join(pressure_words(sample_answers, sample_report))
    assert "limit is 80 psi (608.3)" in said
    drawn = " ".join(
        one.text for one in _tree(pressure_svg(sample_answers, sample_report)).iter(f"{SVG}text")
    )
    for label in (
        "150 as set",
        "79.9 at 4 gal",
        "150 no tank",
        "relief valve 150 psi",
        "limit 80 psi, 608.3",
    ):
        assert label in drawn


@pytest.mark.parametrize(
    ("draw", "change"),
    [
        (straps_svg, {"tank_height_in": None}), (straps_svg, {"tank_height_in": "tall"}),
        (straps_svg, {"tank_height_in": {"could_not_measure": "boxed in"}}), (pressure_svg, {"storage_gal": None}),
        (pressure_svg, {"relief_pressure_psi": ""}), (pressure_svg, {"thermostat_f": "51"}),
    ],
)  # fmt: skip
def test_nothing_is_drawn_from_too_little(draw, change, sample_answers, sample_report):
    words = straps_words if draw is straps_svg else pressure_words
    assert draw({**sample_answers, **change}, sample_report) is None
    assert words({**sample_answers, **change}, sample_report) == []


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("precharge_target_psi", "150"),
        ("precharge_target_psi", None),
        ("closed_system", "unknown"),
        ("closed_system", "no"),
    ],
)
def test_the_drawing_knows_no_pressure_and_no_closed_system_but_the_figures(
    name, value, sample_answers, sample_report
):
    sample_report["figures"][name]["value"] = value
    assert pressure_svg(sample_answers, sample_report) is None
    assert pressure_words(sample_answers, sample_report) == []


def test_no_tank_at_all_draws_the_line_up_alone(sample_answers, sample_report):
    bare = {**sample_answers, "expansion_device": "none"}
    sample_report["figures"].pop("expansion_tank_needed_gal")
    curves = _of_kind(_tree(pressure_svg(bare, sample_report)), "curve")
    assert [one.get("class") for one in curves] == ["curve no-tank"]


WIDE = 7.4
"""A letter of the drawing's lettering, at most, in its own units: measured in the browser."""


def _words_box(one):
    wide = WIDE * len(one.text)
    kinds = one.get("class", "").split()
    left = float(one.get("x")) - (wide if "end" in kinds else wide / 2 if "middle" in kinds else 0)
    return left, left + wide, float(one.get("y"))


@pytest.mark.parametrize(
    "change",
    [
        {}, {"precharge_psi": "60"}, {"expansion_tank_gal": "4"}, {"house_pressure_psi": "78", "precharge_psi": "78"},
        {"thermostat_f": "180", "precharge_psi": "60"}, {"relief_pressure_psi": "100", "house_pressure_psi": "75", "precharge_psi": "75"},
        {"relief_pressure_psi": "125"}, {"house_pressure_psi": "100", "precharge_psi": "100"},
    ],
    ids=str,
)  # fmt: skip
def test_no_curve_runs_through_the_limit_s_words(change, sample_answers, sample_report):
    tree = _tree(pressure_svg({**sample_answers, **change}, sample_report))
    left, right, base = _words_box(
        next(one for one in tree.iter(f"{SVG}text") if one.text.startswith("limit"))
    )
    for curve in _of_kind(tree, "curve"):
        points = [tuple(map(float, pair.split())) for pair in curve.get("d")[1:].split(" L")]
        for (ax, ay), (bx, by) in itertools.pairwise(points):
            for part in range(51):
                x, y = ax + (bx - ax) * part / 50, ay + (by - ay) * part / 50
                assert not (left < x < right and base - 9 < y < base), (curve.get("class"), x, y)


def test_what_cannot_be_true_is_not_drawn_as_set(record_of):
    for charge, drawn in ((60, True), (160, False)):  # the tank is rated for 150 psi
        record = record_of(changes={"precharge_psi": charge})
        said = " ".join(pressure_words(json.loads(record.job), json.loads(record.report)))
        assert ("Tank as set" in said) is drawn
        assert "As recommended, 4.5 gal charged to 60 psi" in said or drawn


def test_a_tank_set_as_advised_is_drawn_as_one_line(sample_answers, sample_report):
    sample_report["figures"]["expansion_tank_needed_gal"]["value"] = "2.000"
    same = {**sample_answers, "precharge_psi": "60"}
    curves = _of_kind(_tree(pressure_svg(same, sample_report)), "curve")
    assert [one.get("class") for one in curves] == ["curve no-tank", "curve as-set"]


@pytest.mark.parametrize(
    "change",
    [
        {"tank_height_in": "58 7/16", "tank_base_in": "18 1/8", "strap_heights_in": ["36 3/16", "67 13/16"]},
        {"tank_height_in": "18", "strap_heights_in": ["20", "24", "30", "34.5"], "tank_diameter_in": "24"},
        {"tank_height_in": "120", "tank_base_in": "48", "controls_top_in": "66", "controls_bottom_in": "58", "strap_heights_in": ["80", "150"]},
    ],
    ids=["sixteenths", "short, four straps", "very tall"],
)  # fmt: skip
def test_every_word_stands_on_the_sheet(change, sample_answers, sample_report):
    sample_report["figures"] = {}
    for draw in (straps_svg, pressure_svg):
        svg = draw({**sample_answers, **change}, sample_report)
        if svg is None:
            continue
        tree = _tree(svg)
        tall = float(tree.get("viewBox").split()[3])
        for one in tree.iter(f"{SVG}text"):
            left, right, base = _words_box(one)
            assert left >= 0, one.text
            assert right <= 328, one.text
            assert base <= tall, one.text


def test_a_band_is_lettered_as_a_tape_shows_it_and_ends_once(sample_answers, sample_report):
    sample_report["figures"]["upper_strap_band_in"]["value"] = ["54.40", "76.56"]
    tall = {**sample_answers, "tank_height_in": "58 7/16", "tank_base_in": "18 1/8"}
    drawn = [one.text for one in _tree(straps_svg(tall, sample_report)).iter(f"{SVG}text")]
    assert "54 1/2 in, 507.2" in drawn
    assert not any(text.startswith("76") for text in drawn)


def test_a_size_in_thousands_is_drawn_and_listed(sample_answers, sample_report):
    sample_report["figures"]["expansion_tank_needed_gal"]["value"] = "1234.51"
    assert "1,234.6 gal" in pressure_svg(sample_answers, sample_report)


def test_a_size_that_no_tank_has_draws_no_curve_of_its_own(sample_answers, sample_report):
    needed = sample_report["figures"]["expansion_tank_needed_gal"]
    needed["value"] = "100000"
    assert "at 100,000 gal" in pressure_svg(sample_answers, sample_report)
    needed["value"] = "100000.01"
    assert "at 100,000" not in pressure_svg(sample_answers, sample_report)


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize(("needed", "lines"), [("3.910", ["79.9 at 4 gal"]), ("12.345", ["at 12.4 gal"]), ("123.41", ["at 123.5 gal"])])
def test_every_label_of_the_pressure_stands_whole_on_the_sheet(language, needed, lines, sample_answers, sample_report):
    sample_report["figures"]["expansion_tank_needed_gal"]["value"] = needed
    with speaking(language):
        texts = list(_tree(pressure_svg(sample_answers, sample_report)).iter(f"{SVG}text"))
    wide = [one.text for one in texts if float(one.get("x")) == 226 and 226 + 7.2 * len(one.text) > 328]
    assert wide == [], "a letter is 7 wide on average"
    assert language != "en" or set(lines) <= {one.text for one in texts}


@pytest.mark.parametrize(
    ("needed", "limit", "said"),
    [("4", "79.9", "just under 79.9"), ("4", "79.88", "just under 79.9"), ("4", "79.8", "79.9"), ("4.6", "76.7", "just under 76.7"), ("4.1", "80", "79.3")],
)
def test_a_pressure_a_hair_beside_its_limit_is_said_to_be(needed, limit, said, sample_answers, sample_report):
    sample_report["figures"]["expansion_tank_needed_gal"]["value"] = needed
    sample_report["findings"][-1]["limit"] = limit
    drawn = [one.text for one in _tree(pressure_svg(sample_answers, sample_report)).iter(f"{SVG}text")]
    assert any(one == said or one.startswith(f"{said} at ") for one in drawn), drawn
    sentence = f"charged to 60 psi: {said} psi hot."
    assert sentence in " ".join(pressure_words(sample_answers, sample_report))
    with speaking("es"):
        spanish = " ".join(told("draw", one) for one in pressure_words(sample_answers, sample_report))
    assert "just" not in spanish
