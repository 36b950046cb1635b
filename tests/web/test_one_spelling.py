"""One spelling of units and of thousands wherever a person reads: "sq in", "cu ft", "100,000"."""

from __future__ import annotations

import html
import json
import re
from collections.abc import Callable, Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from heaterapp import manual
from heaterapp.certificate.content import paper_of
from heaterapp.certificate.filed import Filed
from heaterapp.certificate.press import html_of
from heaterapp.filling.typed import shown
from heaterapp.forms import SectionForm, section_form
from heaterapp.rules import CATALOGUE, SECTIONS, BadAnswer, assess, canonical_bytes
from heaterapp.rules.reading import read_answer
from heaterapp.sheet import live

JOBS = sorted((Path(__file__).parent.parent / "jobs").glob("*.json"))
SHARED = {
    "vent_shared": "yes", "other_vent_kind": "draft_hood", "other_vent_input_btuh": "100000", "other_outlet_in": "4",
    "connector_vertical_rise_ft": "3", "other_connector_diameter_in": "4", "other_connector_kind": "type_b",
    "other_connector_length_ft": "2", "other_connector_vertical_rise_ft": "3", "heater_connector_enters_above": "yes",
    "common_vent_diameter_in": "5", "common_vent_elbows_90": "0", "common_vent_elbows_45": "0",
    "common_vent_offset_ft": "0", "connectors_manifolded": "no", "vent_above_draft_hood_ft": "14",
    "room_other_input_btuh": "100000", "new_gas_piping": "yes", "gas_pipe_in": "0.75", "gas_pipe_length_ft": "40",
    "gas_pipe_total_btuh": "140000", "gas_pressure_drop_inwc": "0.5", "gas_sections": [{"in": "1", "btuh": "240000"}],
    "storage_gal": "900", "elevation_ft": "12000", "snow_depth_in": "4",
}  # fmt: skip
TAGS, HIDDEN = re.compile(r"<[^>]+>"), re.compile(r"<(script|style|svg|head)\b.*?</\1>", re.S)
# Between tags words stay apart: a figure never grows together with the next.
MACHINE = re.compile(r"(?<![\w])(?:in2|ft2|ft3|in²|ft³|degF|degC)\b|\d(?:in2|ft2|ft3)\b")
LONG = re.compile(r"(?<![\w.,-])\d{5,}(?![\w-])")
IDENTIFIERS = ("address_zip", "heater_serial", "permit_number", "installer_licence", "contractor_licence", "job_ref")


def _answers(path: Path) -> dict[str, Any]:
    whole: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))["answers"]
    return whole


def _jobs() -> Iterator[tuple[str, dict[str, Any]]]:
    for path in JOBS:
        yield path.stem, _answers(path)
    gas = _answers(next(path for path in JOBS if path.stem == "gas_storage_us_ca"))
    yield "shared", {**gas, **SHARED}
    yield "by area", {**gas, **SHARED, "vent_sizing_method": "area"}
    masonry = {"vent_kind": "masonry_lined", "vent_flue_area_in2": "12", "chimney_exterior": "no"}
    yield "masonry", {**gas, **SHARED, **masonry, "vent_end": "chimney_top", "chimney_inspected_clean": "yes"}
    openings = {"air_source": "indoor_openings", "air_opening_high_in2": "110", "air_opening_low_in2": "90"}
    yield "openings", {**gas, **SHARED, **openings, "joined_volume_ft3": "12000", "room_volume_ft3": "1000"}


def _read(markup: str) -> str:
    return " ".join(html.unescape(TAGS.sub(" | ", HIDDEN.sub(" ", markup))).split())


def _faults(text: str, answers: dict[str, Any]) -> list[str]:
    for name in IDENTIFIERS:
        text = text.replace(str(answers.get(name, "")) or "\0", "")
    found = [*MACHINE.finditer(text), *LONG.finditer(text)]
    return [text[max(0, one.start() - 60) : one.end() + 20] for one in found]


@pytest.mark.parametrize(("name", "answers"), list(_jobs()), ids=[name for name, _ in _jobs()])
def test_no_page_and_no_paper_of_a_job_mixes_spellings(name: str, answers: dict[str, Any]) -> None:
    report = assess(answers).as_json()
    told = live.live(answers, report)
    pages = "\n".join([*told["sections"].values(), *told["said"].values(), told["hazard"]])
    flags = " | ".join(told["flags"].values())
    filed = Filed(
        "findings_report", "F-1", 1, "", "2026-11-25T10:00:00Z", {}, {}, canonical_bytes(answers),
        canonical_bytes(report), None, {}, "", "", "", "", "", "",
    )  # fmt: skip
    paper = html_of(paper_of(filed))
    assert "sq in" in pages or "in2" not in json.dumps(report["figures"]), name
    text = _read(pages) + " | " + flags + " | " + _read(paper)
    # A section's number is a name too: 19211(a) of a state's code.
    for section in {one["section"] for one in report["findings"] if one["section"]}:
        text = text.replace(section, "")
    assert _faults(text, answers) == []


def test_the_whole_jobs_do_hold_long_numbers_and_areas() -> None:
    found = [_read(live.live(answers, assess(answers).as_json())["sections"]["vent"]) for _, answers in _jobs()]
    assert sum(bool(re.search(r"\d{2,3},\d{3} Btu/h", text)) for text in found) > 5
    assert any("sq in" in text for text in found)
    assert any(re.search(r"\d,\d{3} cu ft", text) for text in found)


def test_a_fault_is_seen() -> None:
    assert _faults("Area 12.6 in2; 5 ft3", {}) != []
    assert _faults("carries 80000 Btu/h", {}) != []
    assert _faults("serial 123456 of 80,000 Btu/h, 2026-11-25", {"heater_serial": "123456"}) == []


def test_the_manual_says_them_so_too() -> None:
    for entry in manual.entries().values():
        said = [entry.title, entry.reason, entry.remedy, *entry.asked]
        said += [text for one in entry.figures for text in (one.label, one.formula)]
        # Where a clause was read may name a forum's thread by its number.
        said += [text for side in entry.clauses for book in side.stated for text in (book.says, *(v for _, v in book.values))]
        said += [text for name, verdict in entry.cases for text in (name, verdict)]
        assert _faults(" | ".join(said), {}) == [], entry.name


def _form(section: str, answers: dict[str, Any]) -> SectionForm:
    return section_form(section)(data=answers)


def test_a_box_shows_its_number_as_the_page_says_it_and_takes_it_so() -> None:
    stored = {"input_btuh": "140000", "year_built": "1968", "storage_gal": "40", "room_volume_ft3": "3200"}
    assert [shown(CATALOGUE[name], held)[""] for name, held in stored.items()] == ["140,000", "1968", "40", "3,200"]
    assert read_answer(CATALOGUE["input_btuh"], "140,000") == Decimal(140000)
    rows = shown(CATALOGUE["gas_sections"], [{"in": "1", "btuh": "240000"}])
    assert rows == {"-1-in": "1", "-1-btuh": "240,000"}
    assert all(_form(section, stored).changes(stored) == {} for section in SECTIONS)


def test_what_was_expected_is_said_so_too() -> None:
    for name, typed in (("room_volume_ft3", "wide"), ("input_btuh", "7"), ("vent_flue_area_in2", "?"), ("thermostat_f", "hot")):
        with pytest.raises(BadAnswer) as refused:
            read_answer(CATALOGUE[name], typed)
        assert _faults(refused.value.said, {}) == [], name


@pytest.mark.parametrize("section", ["vent", "gas", "plate", "water"])
def test_a_sections_page_holds_no_other_spelling(visit: Callable[..., Any], section: str) -> None:
    visitor = visit("installer")
    job = visitor.begin()
    answers = {**_answers(next(path for path in JOBS if path.stem == "gas_storage_us_ca")), **SHARED}
    visitor.post_json(f"/jobs/{job}/answers", {"changes": answers})
    page = visitor.get(f"/jobs/{job}/{section}").text
    boxes = " | ".join(re.findall(r'<input type="text"[^>]* value="([^"]*)"', page))
    assert _faults(_read(page) + " | " + boxes, answers) == []
