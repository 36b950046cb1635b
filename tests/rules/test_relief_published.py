"""Relief pipe, pan and heater through the whole engine against the published wordings and tables.

The two families of plumbing code differ on purpose; each list item is broken once here.

ICC list: 2018 IPC 504.6, items 1 to 14, read as reprinted by a heating contractor
(chowningheatingandcooling.com); the Florida residential code 2023, P2804.6.1, on the 2021
IRC, read on a plumbers' forum, matches it item by item.
UPC list: 2015 UPC 608.5, items 1 to 7, read in the publisher's permission copy
(caphcc.org) and on a second page; the crawl space from the 2012 text, read whole in the
2013 California Plumbing Code.
Pan: 2015 IRC P2801.6 (codes.iccsafe.org); 2013 California Plumbing Code 507.4.
All paraphrased. Agreement is exact: these are words and limits, not measurements.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from heaterapp.rules import assess, place_names
from heaterapp.rules.checks.relief import end_place, temperature_setting
from tests import alone

PLACES = ("model_upc_2021", "model_upc_2024", "model_irc_2021", "us_ca_2022")

# A usual gas tank; its relief pipe runs to a floor drain's receptor 4 in above the rim.
TANK: dict[str, Any] = {
    "job_kind": "new", "heater_kind": "gas_storage", "input_btuh": 40000, "working_pressure_psi": 150, "room": "utility",
    "relief_fitted": "yes", "relief_valve_new": "yes", "relief_pressure_psi": 150, "relief_temperature_f": 210,
    "relief_capacity_btuh": 105000, "relief_in_top_6in": "yes", "valve_between_relief_and_tank": "no",
    "relief_lever_tested": "passed", "relief_outlet_in": "3/4", "relief_pipe_in": "3/4", "relief_pipe_material": "copper",
    "relief_falls_all_the_way": "yes", "relief_trap": "no", "relief_valve_in_line": "no", "relief_shared": "no",
    "relief_end_threaded": "no", "relief_end": "receptor", "relief_end_height_in": 4, "relief_end_points_down": "yes",
    "relief_end_visible": "yes", "relief_air_gap": "yes", "relief_freezes": "no",
}  # fmt: skip
OUTDOORS = {"relief_end": "outdoors", "relief_end_height_in": 12, "relief_air_gap": None}


def _finding(place: str, check: str, kind: str = "rule", **answers: Any) -> dict[str, Any]:
    found = [one for one in alone.findings_of({**TANK, **answers, "place": place}, check) if one.kind == kind]
    assert len(found) == 1, (check, found)
    return found[0].as_json()


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize("end", [{}, OUTDOORS])
def test_an_installation_to_the_list_has_no_fault(place: str, end: dict[str, Any]) -> None:
    report = assess({**TANK, **end, "place": place}).as_json()
    relief = {f["check"]: f["verdict"] for f in report["findings"] if f["topic"] == "relief"}
    allowed = {"meets", "not_applicable", "silent"}
    if place == "model_irc_2021" and end:
        assert relief.pop("relief.end_height") == "authority", "12 in over the ground is not the IRC's range"
    assert set(relief.values()) <= allowed, relief


ICC_ITEMS = [
    ("1, 2 no direct connection, an air gap", "relief.air_gap", {"relief_air_gap": "no"}, "fails"),
    ("3 not smaller than the outlet", "relief.pipe_full_size", {"relief_pipe_in": "1/2"}, "fails"),
    ("4 serves the one valve", "relief.pipe_alone", {"relief_shared": "yes"}, "fails"),
    ("5 floor", "relief.end_place", {"relief_end": "floor"}, "meets"),
    ("5 pan that is drained", "relief.end_place", {"relief_end": "pan", "pan_fitted": "yes", "pan_drain_end": "floor_drain"}, "meets"),
    ("5 receptor", "relief.end_place", {}, "meets"),
    ("5 outdoors", "relief.end_place", OUTDOORS, "meets"),
    ("5 and nowhere else", "relief.end_place", {"relief_end": "crawl_space"}, "fails"),
    ("7 seen by the people who live there", "relief.end_visible", {"relief_end_visible": "no"}, "fails"),
    ("8 no trap", "relief.pipe_no_trap", {"relief_trap": "yes"}, "fails"),
    ("9 by gravity", "relief.pipe_falls", {"relief_falls_all_the_way": "no"}, "fails"),
    ("10 6 in at most", "relief.end_height", {"relief_end_height_in": "6 1/16"}, "fails"),
    ("10 two diameters of 3/4 in at least", "relief.end_height", {"relief_end_height_in": "1 7/16"}, "fails"),
    ("10 exactly two diameters", "relief.end_height", {"relief_end_height_in": "1 1/2"}, "meets"),
    ("10 exactly 6 in", "relief.end_height", {"relief_end_height_in": 6}, "meets"),
    ("11 no thread", "relief.end_not_threaded", {"relief_end_threaded": "yes"}, "fails"),
    ("12 no valve or tee", "relief.pipe_no_valve", {"relief_valve_in_line": "yes"}, "fails"),
    ("13 hot water pipe", "relief.pipe_material", {"relief_pipe_material": "pvc"}, "fails"),
    ("14 insert fittings, the outlet's size", "relief.pipe_full_size", {"relief_pipe_material": "pex", "relief_insert_fittings": "yes"}, "fails"),
    ("14 insert fittings, one size larger", "relief.pipe_full_size", {"relief_pipe_material": "pex", "relief_insert_fittings": "yes", "relief_pipe_in": 1}, "meets"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("check", "answers", "verdict"), [row[1:] for row in ICC_ITEMS], ids=[row[0] for row in ICC_ITEMS]
)
def test_each_item_of_the_icc_list(check: str, answers: dict[str, Any], verdict: str) -> None:
    finding = _finding("model_irc_2021", check, **answers)
    assert (finding["verdict"], finding["section"]) == (verdict, "P2804.6.1")
    # The item was read twice; the table of materials it sends to, only as the IPC prints it.
    carried = check == "relief.pipe_material"
    assert finding["confidence"] == ("carried" if carried else "two_sources")
    assert ("Read in: IPC Table 605.4" in finding["why"]) is carried


UPC_ITEMS = [
    ("1 size of the outlet", "relief.pipe_full_size", {"relief_pipe_in": "1/2"}, "fails"),
    ("1 pointing down", "relief.end_points_down", {"relief_end_points_down": "no"}, "fails"),
    ("2 material", "relief.pipe_material", {"relief_pipe_material": "pvc"}, "fails"),
    ("3 independent", "relief.pipe_alone", {"relief_shared": "yes"}, "fails"),
    ("3 by gravity", "relief.pipe_falls", {"relief_falls_all_the_way": "no"}, "fails"),
    ("3 air gap to drainage", "relief.air_gap", {"relief_air_gap": "no"}, "fails"),
    ("3 outside, exactly 6 in", "relief.end_height", {**OUTDOORS, "relief_end_height_in": 6}, "meets"),
    ("3 outside, exactly 24 in", "relief.end_height", {**OUTDOORS, "relief_end_height_in": 24}, "meets"),
    ("3 outside, a hair under 6 in", "relief.end_height", {**OUTDOORS, "relief_end_height_in": "5.999"}, "fails"),
    ("3 outside, a hair over 24 in", "relief.end_height", {**OUTDOORS, "relief_end_height_in": "24.001"}, "fails"),
    ("5 no trap", "relief.pipe_no_trap", {"relief_trap": "yes"}, "fails"),
    ("5 no freezing", "relief.no_freezing", {"relief_freezes": "yes"}, "fails"),
    ("6 no thread", "relief.end_not_threaded", {"relief_end_threaded": "yes"}, "fails"),
    ("7 not into the pan", "relief.end_place", {"relief_end": "pan", "pan_fitted": "yes", "pan_drain_end": "floor_drain"}, "fails"),
    ("lead-in: no valve", "relief.pipe_no_valve", {"relief_valve_in_line": "yes"}, "fails"),
    ("2012: never in the crawl space", "relief.end_place", {"relief_end": "crawl_space"}, "fails"),
]  # fmt: skip


@pytest.mark.parametrize("place", ["model_upc_2021", "model_upc_2024", "us_ca_2022"])
@pytest.mark.parametrize(
    ("check", "answers", "verdict"), [row[1:] for row in UPC_ITEMS], ids=[row[0] for row in UPC_ITEMS]
)
def test_each_item_of_the_upc_list(place: str, check: str, answers: dict[str, Any], verdict: str) -> None:
    finding = _finding(place, check, **answers)
    assert (finding["verdict"], finding["section"]) == (verdict, "608.5")
    if verdict == "fails":
        assert "UPC 2015" in finding["why"], "a carried clause says in which edition it was read"


@pytest.mark.parametrize(
    ("check", "answers", "upc", "irc"),
    [
        ("relief.end_place", {"relief_end": "pan", "pan_fitted": "yes", "pan_drain_end": "floor_drain"}, "fails", "meets"),
        ("relief.end_place", {"relief_end": "floor", "room": "garage"}, "authority", "meets"),
        ("relief.end_height", {**OUTDOORS, "relief_end_height_in": 12}, "meets", "authority"),
        ("relief.end_height", {**OUTDOORS, "relief_end_height_in": 3}, "fails", "meets"),
        ("relief.end_height", {"relief_end": "floor", "relief_end_height_in": 12}, "silent", "fails"),
        ("relief.end_visible", {"relief_end_visible": "no"}, "silent", "fails"),
        ("relief.end_points_down", {"relief_end_points_down": "no"}, "fails", "silent"),
        ("relief.valve_fitted", {"heater_kind": "gas_instantaneous", "relief_fitted": "no"}, "not_applicable", "authority"),
        ("pan.fitted_where_needed", {"heater_kind": "electric_instantaneous", "leak_would_damage": "yes", "pan_fitted": "no"}, "fails", "not_applicable"),
        ("pan.depth", {"pan_fitted": "yes", "leak_would_damage": "yes", "pan_depth_in": 1}, "silent", "fails"),
        ("pan.drain_end", {"pan_fitted": "yes", "pan_drain_end": "none", "job_kind": "same_place", "old_pan_fitted": "no"}, "fails", "not_applicable"),
    ],
)  # fmt: skip
def test_the_families_differ_on_purpose(check: str, answers: dict[str, Any], upc: str, irc: str) -> None:
    assert _finding("model_upc_2021", check, **answers)["verdict"] == upc
    assert _finding("model_irc_2021", check, **answers)["verdict"] == irc


HAZARDS = [
    ("relief.valve_fitted", {"relief_fitted": "no"}),
    ("relief.not_plugged", {"relief_end": "capped"}),
    ("relief.no_valve_before_it", {"valve_between_relief_and_tank": "yes"}),
    ("relief.pipe_no_valve", {"relief_valve_in_line": "yes"}),
    (
        "gas.fuel_matches",
        {"gas_kind": "propane", "heater_marked_gas": "natural", "conversion_kit_fitted": "no"},
    ),
    ("gas.leak_test", {"gas_leak_test": "failed"}),
]


@pytest.mark.parametrize("place", sorted(set(place_names().values())))
@pytest.mark.parametrize("job_kind", ["new", "same_place", "existing"])
@pytest.mark.parametrize(("check", "answers"), HAZARDS, ids=[row[0] for row in HAZARDS])
def test_what_a_life_hangs_on_fails_whoever_made_it(
    place: str, job_kind: str, check: str, answers: dict[str, Any]
) -> None:
    finding = _finding(place, check, job_kind=job_kind, **answers)
    assert finding["verdict"] == "fails"
    assert finding["hazard"] is True
    assert "Stop. Do not leave this heater running." in finding["why"]
    assert finding["fix"].lower().startswith("stop")


def test_a_place_may_let_a_replacement_keep_the_old_end() -> None:
    # A city handout for replacements (publicrecordsindex.org, Everett 2019): it may end at the floor if it did before.
    upc = {"allowed": ("outdoors", "receptor"), "in_doubt": (), "pan_needs_drain": False}
    keep = {**upc, "replacement_may_keep": ("floor",)}
    assert end_place.check("floor", old_relief_end="none", **keep).verdict == "meets"
    assert end_place.check("floor", old_relief_end="floor", **keep).verdict == "meets"
    assert end_place.check("floor", old_relief_end="outdoors", **keep).verdict == "fails"
    assert end_place.check("floor", **keep).verdict == "fails"
    assert end_place.check("pan", old_relief_end="pan", **keep).verdict == "fails"
    assert end_place.check("floor", old_relief_end="floor", **upc).verdict == "fails"
    # Washington's exception (pnwig.com, i-inspect.biz): only where no drain was piped before.
    none = {**upc, "replacement_where_none": ("floor",)}
    assert end_place.check("floor", old_relief_end="none", **none).verdict == "meets"
    assert end_place.check("floor", old_relief_end="floor", **none).verdict == "fails"


def test_a_city_may_ask_a_cooler_valve() -> None:
    # Chicago 18-29-504: 200 F at most.
    assert temperature_setting.check(Decimal(200), most=Decimal(200)).verdict == "meets"
    assert temperature_setting.check(Decimal(210), most=Decimal(200)).verdict == "fails"


@pytest.mark.parametrize(("kilowatts", "btuh"), [("4.5", 15355), ("5.5", 18767)])
def test_electric_input_against_the_relief_capacity(kilowatts: str, btuh: int) -> None:
    # 1 kW is 3,412.14 Btu/h in handbooks; to the whole Btu.
    answers = {"heater_kind": "electric_storage", "input_kw": kilowatts}
    enough = _finding("model_upc_2021", "relief.capacity", **answers, relief_capacity_btuh=btuh)
    short = _finding("model_upc_2021", "relief.capacity", **answers, relief_capacity_btuh=btuh - 1)
    assert (enough["verdict"], short["verdict"]) == ("meets", "fails")
    assert abs(Decimal(enough["limit"]) - Decimal(kilowatts) * Decimal("3412.14")) < Decimal("0.02")


# UPC 2012 Table 501.1 as the 2013 California Plumbing Code prints it, whole.
FIRST_HOUR = {
    ("1", "1.5"): {1: 42, 2: 54, 3: 54},
    ("2", "2.5"): {2: 54, 3: 67, 4: 67, 5: 80},
    ("3", "3.5"): {3: 67, 4: 80, 5: 80, 6: 80},
}


@pytest.mark.parametrize("place", ["model_upc_2021", "model_upc_2024", "us_ca_2022"])
@pytest.mark.parametrize(
    ("baths", "bedrooms", "gallons"),
    [(b, n, gal) for pair, row in FIRST_HOUR.items() for b in pair for n, gal in row.items()],
)
def test_every_cell_of_the_first_hour_table(place: str, baths: str, bedrooms: int, gallons: int) -> None:
    answers = {"bathrooms": baths, "bedrooms": bedrooms, "first_hour_gal": gallons}
    report = assess({**TANK, **answers, "place": place}).as_json()
    assert report["figures"]["first_hour_needed_gal"]["value"] == str(gallons)
    assert _finding(place, "heater.first_hour_rating", **answers)["verdict"] == "meets"
    answers["first_hour_gal"] = gallons - 1
    assert _finding(place, "heater.first_hour_rating", **answers)["verdict"] == "fails"


@pytest.mark.parametrize(
    ("baths", "bedrooms"), [("1", 4), ("2", 1), ("3", 2), ("1.75", 2), ("4", 4), ("0", 1)]
)
def test_what_the_first_hour_table_does_not_print_is_not_made_up(baths: str, bedrooms: int) -> None:
    answers = {"bathrooms": baths, "bedrooms": bedrooms, "first_hour_gal": 120}
    figure = assess({**TANK, **answers, "place": "model_upc_2021"}).as_json()["figures"][
        "first_hour_needed_gal"
    ]
    assert figure["value"] is None
    assert "not printed" in figure["says"]
    assert _finding("model_upc_2021", "heater.first_hour_rating", **answers)["verdict"] == "engineer"


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize(
    ("feet", "btuh"),
    [(0, "40000"), (2000, "40000"), (2001, "36799"), (2500, "36000"), (5280, "31552"), (7000, "28800")],
)
def test_input_at_elevation(place: str, feet: int, btuh: str) -> None:
    # 4 % for each 1,000 ft from the sea above 2,000 ft: NFPA 54 11.1.2 as the 2012 UMC appendix B
    # reprints it; 0.90 at 2,500 ft, 0.7888 at 5,280 ft, 0.72 at 7,000 ft, exactly.
    report = assess({**TANK, "elevation_ft": feet, "place": place}).as_json()
    assert report["figures"]["rated_input_at_elevation_btuh"]["value"] == btuh
