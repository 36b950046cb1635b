"""Which pictures a job wants, by its heater and its answers."""

import doctest
import json
from pathlib import Path

import pytest

from heaterapp.filling import photos
from heaterapp.filling.photos import LABELS, LIST, label_of, told, wanted

JOBS = Path(__file__).parent.parent / "jobs"
ALWAYS = {"house", "plate", "whole", "gauge", "relief"}
GAS = {"gas", "drip_leg", "vent", "vent_end", "co_alarm"}


def asked(**answers):
    return {one.kind for one in wanted(answers) if one.asked}


@pytest.mark.parametrize(
    ("answers", "kinds"),
    [
        ({}, ALWAYS),
        ({"heater_kind": "gas_storage"}, ALWAYS | GAS | {"straps"}),
        ({"heater_kind": "gas_instantaneous"}, ALWAYS | GAS),
        ({"heater_kind": "gas_instantaneous", "condensing": "yes"}, ALWAYS | GAS | {"condensate"}),
        ({"heater_kind": "electric_storage"}, ALWAYS | {"disconnect", "straps"}),
        ({"heater_kind": "electric_storage", "condensing": "yes"}, ALWAYS | {"disconnect", "straps"}),
        ({"heater_kind": "heat_pump_storage"}, ALWAYS | {"disconnect", "straps", "condensate"}),
        ({"heater_kind": "electric_instantaneous"}, ALWAYS | {"disconnect"}),
        ({"heater_kind": "indirect"}, ALWAYS | {"straps"}),
        ({"heater_kind": "indirect", "strap_kind": "none"}, ALWAYS),
        ({"heater_kind": "gas_storage", "strap_kind": "listed_kit"}, ALWAYS | GAS | {"straps"}),
        (
            {"heater_kind": "gas_storage", "vent_kind": "none"},
            (ALWAYS | GAS | {"straps"}) - {"vent", "vent_end"},
        ),
        ({"heater_kind": "gas_storage", "sediment_trap": "no"}, (ALWAYS | GAS | {"straps"}) - {"drip_leg"}),
        (
            {"heater_kind": "gas_storage", "building_kind": "business"},
            (ALWAYS | GAS | {"straps"}) - {"co_alarm"},
        ),
        (
            {"heater_kind": "gas_storage", "co_alarm_outside_sleeping": "no"},
            (ALWAYS | GAS | {"straps"}) - {"co_alarm"},
        ),
        ({"job_kind": "same_place"}, ALWAYS | {"old_plate"}),
        ({"job_kind": "moved"}, ALWAYS | {"old_plate"}),
        ({"job_kind": "changed_kind"}, ALWAYS | {"old_plate"}),
        ({"job_kind": "new"}, ALWAYS),
        ({"job_kind": "existing"}, ALWAYS),
        ({"expansion_device": "tank"}, ALWAYS | {"expansion"}),
        ({"expansion_device": "other_listed"}, ALWAYS),
        ({"pan_fitted": "yes"}, ALWAYS | {"pan"}),
        ({"pan_fitted": "no"}, ALWAYS),
        ({"pan_fitted": "unknown"}, ALWAYS),
        ({"pan_fitted": {"could_not_measure": "dark"}}, ALWAYS),
        ({"relief_fitted": "no"}, ALWAYS - {"relief"}),
    ],
)
def test_the_pictures_are_those_of_this_heater_and_job(answers, kinds):
    assert asked(**answers) == kinds


def test_the_list_has_its_kinds_once_in_both_languages_and_says_what_must_be_seen():
    assert len(LABELS) == len(LIST) == 17
    assert LIST[-1].kind == "other"
    for one in LIST:
        assert one.label.en != one.label.es, one.kind
        assert one.hint.en.endswith(".")
        assert one.hint.es.endswith(".")
    assert len({one.label.en for one in LIST}) == len({one.label.es for one in LIST}) == len(LIST)


def test_nobody_is_sent_up_a_roof_or_under_a_cover_for_a_picture():
    hints = {one.kind: one.hint for one in LIST}
    assert "climb no roof" in hints["vent_end"].en
    assert "no suba al techo" in hints["vent_end"].es
    assert "Covers stay on" in hints["disconnect"].en


@pytest.mark.parametrize("job", sorted(JOBS.glob("*.json")), ids=lambda path: path.stem)
def test_every_whole_job_has_a_list_that_is_the_same_each_time(job):
    answers = json.loads(job.read_text(encoding="utf-8"))["answers"]
    before = json.dumps(answers)
    listed = told(answers)
    assert listed == told(answers) == json.loads(json.dumps(listed))
    assert json.dumps(answers) == before
    assert {one["kind"] for one in listed if one["asked"]} >= {"house", "plate", "whole"}
    assert told(answers, "es")[0]["label"] == "Casa con su número y el permiso"


def test_a_kind_of_another_version_is_still_named():
    assert label_of("plate") == "Data plate"
    assert label_of("plate", "es") == "Placa de datos"
    assert label_of("crawl_space") == "Crawl space"


def test_the_example_in_the_docstring():
    assert doctest.testmod(photos).failed == 0
    assert doctest.testmod(photos).attempted > 0
