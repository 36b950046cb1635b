"""The phone's door: the same words as the live call, nothing lost that it cannot read, never an exception."""

from __future__ import annotations

import json
import re
from html import escape
from pathlib import Path
from typing import Any

import pytest

from heaterapp.filling import door
from heaterapp.filling.judging import judged
from heaterapp.filling.signed import STATEMENTS, answers_digest
from heaterapp.rules import CATALOGUE, SECTIONS, assess, digest, mark_of, read_amendments
from heaterapp.sheet.findings import finding_html
from tests.grids import some

JOBS: dict[str, dict[str, Any]] = {
    path.stem: json.loads(path.read_text(encoding="utf-8"))["answers"]
    for path in sorted((Path(__file__).parent / "jobs").glob("*.json"))
}
GAS = JOBS["gas_storage_us_ca"]
OWN = read_amendments({
    "name": "port_larkin", "title": "Port Larkin water rules", "version": 2, "on": "2026-02-01", "base": "us_ca_2022",
    "clauses": {"supply.pressure_limit": {"section": "PL 6.1", "says": "Not above 75 psi.", "values": {"limit": "75"}}},
})  # fmt: skip


def ask(do: str, **wish: Any) -> dict[str, Any]:
    answer: dict[str, Any] = json.loads(door.call(json.dumps({"do": do, **wish})))
    return answer


def told(answers: dict[str, Any], changes: dict[str, Any] | None = None, **more: Any) -> dict[str, Any]:
    answer = ask("told", **{"answers": answers, "changes": changes or {}, "unread": [], "section": "water"} | more)
    assert "error" not in answer, answer
    return answer


def test_a_change_is_read_kept_and_judged() -> None:
    answer = told(GAS, {"house_pressure_psi": "85 psi", "drew_water_before_reading": "yes"})
    assert answer["answers"]["house_pressure_psi"] == "85"
    assert "House pressure 85 psi, limit 80 psi" in answer["sections"]["water"]
    assert answer["following"] in SECTIONS
    assert answer["onward"].startswith("Save, then ")
    assert answer["boxes"]["house_pressure_psi"] == {"": "85"}
    shown = [name for group in answer["groups"] for name in group["names"]] + answer["later"]
    assert sorted(shown) == sorted(answer["boxes"])


def test_what_cannot_be_read_is_named_and_no_verdict_rests_on_the_answer_before() -> None:
    answer = told(GAS, {"house_pressure_psi": "eighty"})
    assert set(answer["errors"]) == {"house_pressure_psi"}
    assert answer["answers"] == GAS
    assert "house_pressure_psi" in answer["todo"] or "House pressure" not in answer["sections"]["water"]
    again = told(GAS, {}, unread=["house_pressure_psi"])
    assert again["sections"] == answer["sections"]


def test_no_section_no_markup() -> None:
    answer = told(GAS, section=None)
    assert answer["sections"] == {}
    assert "boxes" not in answer
    assert answer["counts"]["meets"] > 20


def test_a_retired_question_is_kept_and_told() -> None:
    old = {**GAS, "flue_colour": "teal", "accepted_as_usual": ["flue_colour", "listed_mark"]}
    answer = told(old, {"house_pressure_psi": "60"})
    assert answer["answers"]["flue_colour"] == "teal"
    assert answer["answers"]["accepted_as_usual"] == ["flue_colour", "listed_mark"]
    assert answer["unreadable"].keys() == {"flue_colour"}
    assert any("flue colour: teal" in said for said in answer["notices"])
    assert any("flue colour: teal" in said for said in ask("review", answers=old)["notices"])
    assert ask("seal", answers=old) == ask("seal", answers={**GAS, "accepted_as_usual": ["listed_mark"]})


def test_what_is_sealed_is_what_is_sent_and_never_by_other_codes_than_were_chosen() -> None:
    old = {**GAS, "flue_colour": "teal"}
    assert ask("seal", answers=old)["answers"] == GAS
    sealed = ask("seal", answers={**GAS, "amendments": {**OWN, "clauses": "none"}})
    assert (sealed["code"], list(sealed["lacking"])) == ("not_yet", ["amendments"])
    assert "Choose the adopted codes again" in sealed["error"]


def test_an_answer_of_another_version_stands_in_its_box_until_it_is_answered_again() -> None:
    old = {**GAS, "house_pressure_psi": "eighty"}
    answer = told(old)
    assert answer["answers"] == old
    assert answer["boxes"]["house_pressure_psi"] == {"": "eighty"}
    assert answer["unreadable"].keys() == {"house_pressure_psi"}
    assert any("house_pressure_psi" in group["names"] and not group["folded"] for group in answer["groups"])
    mended = told(old, {"house_pressure_psi": "60"})
    assert mended["answers"] == {**GAS, "house_pressure_psi": "60"}
    assert mended["unreadable"] == {}


def test_own_amendments_judge_and_leave_with_their_place() -> None:
    amended = {**GAS, "amendments": OWN, "house_pressure_psi": "78"}
    answer = told(amended)
    assert "limit 75 psi" in answer["sections"]["water"]
    assert told(answer["answers"], {"place": "model_upc_2021"})["answers"].keys() == GAS.keys()
    laid = told({**GAS, "house_pressure_psi": "78"}, {"place": "us_ca_2022", "amendments": OWN})
    assert laid["answers"] == answer["answers"]
    apart = told(GAS, {"place": "model_upc_2021", "amendments": OWN})
    assert apart["errors"].keys() == {"amendments"}
    assert apart["answers"] == GAS


@pytest.mark.parametrize("name", JOBS)
@pytest.mark.parametrize("changes", [{}, {"house_pressure_psi": "92"}, {"heater_kind": None}, {"tank_base_in": "900"}, {"relief_valve_new": "no"}], ids=str)
def test_read_at_once_or_step_by_step_the_same_is_told(
    name: str, changes: dict[str, Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    stored = {**JOBS[name], "accepted_as_usual": ["listed_mark", "relief_valve_new"]}
    read = (stored, {**stored, "flue_colour": "teal"}, {**stored, "house_pressure_psi": "eighty"})
    # every change with each of them, at one job or another; at every job under WHOLE_GRIDS
    for answers in some(read, 3, list(JOBS).index(name) + len(str(changes))):
        at_once = told(answers, changes, unread=["thermostat_f"])
        with monkeypatch.context() as slowly:
            slowly.setattr(door, "whole", lambda *_: None)
            assert told(answers, changes, unread=["thermostat_f"]) == at_once


def test_as_usual_fills_in_and_marks_as_accepted() -> None:
    bare = {"heater_kind": "gas_storage", "job_kind": "same_place", "place": "us_ca_2022", "relief_fitted": "yes"}
    offered = told(bare, section="relief")["usual"]
    answer = ask("usual", answers=bare, section="relief")
    filled = set(answer["answers"]) - set(bare) - {"accepted_as_usual"}
    assert len(offered) > 5
    assert filled >= {"relief_valve_new"}
    assert set(answer["answers"]["accepted_as_usual"]) == filled
    assert answer["usual"] == []
    by_hand = told(answer["answers"], {"relief_valve_new": "no"})["answers"]
    assert set(by_hand["accepted_as_usual"]) == filled - {"relief_valve_new"}


def test_a_job_with_no_place_is_told_so_and_cannot_be_sealed() -> None:
    bare = {name: held for name, held in GAS.items() if name != "place"}
    answer = told(bare)
    assert answer["outcome"] == "unfinished"
    assert any("No place" in said for said in answer["notices"])
    assert ask("usual", answers={"heater_kind": "gas_storage"}, section="plate")["answers"]["listed_mark"]
    reviewed = ask("review", answers=bare)
    assert reviewed["kind"] is None
    assert (reviewed["signable"], 'data-question="place"' in reviewed["html"]) == (False, True)
    sealed = ask("seal", answers=bare)
    assert sealed["code"] == "not_yet"
    assert "place" in sealed["lacking"]


def test_a_job_starts_with_what_the_account_and_the_last_job_know() -> None:
    given_now = {"job_kind": "same_place", "heater_kind": "gas_storage", "place": "us_ca_2022", "address_city": "Port Larkin"}  # fmt: skip
    account = {"person": {"name": "Riley Okafor", "licence": "J-20417"}, "firm": {"name": "Harborlight Plumbing", "licence": None}}
    last = {"address_city": "Port Larkin", "address_state": "CA", "elevation_ft": "40", "owner_name": "Dana Whitlock"}
    answer = ask("start", given=given_now, account=account, last=last)
    assert answer["errors"] == {}
    assert answer["answers"] == given_now | {
        "address_state": "CA", "elevation_ft": "40", "accepted_as_usual": ["elevation_ft"], "installer_name": "Riley Okafor",
        "installer_licence": "J-20417", "contractor_name": "Harborlight Plumbing",
    }  # fmt: skip
    looked_over = ask("start", given={**given_now, "job_kind": "existing", "amendments": OWN}, account=account, last={})
    assert looked_over["answers"].keys() == given_now.keys() | {"amendments"}
    assert ask("start", given={}, account={}, last={})["errors"].keys() == {"job_kind", "heater_kind", "place"}
    wrong = ask("start", given={**given_now, "place": "model_upc_2021", "amendments": OWN}, account={}, last={})
    assert wrong["errors"].keys() == {"place"}


@pytest.mark.parametrize("name", JOBS)
def test_the_review_has_every_finding_and_every_link_leads_to_a_question(name: str) -> None:
    answer = ask("review", answers=JOBS[name])
    report = judged(JOBS[name])
    spoken = [f for f in report["findings"] if f["verdict"] in ("error", "fails", "engineer", "authority")]
    for finding in spoken:
        assert finding_html(finding) in answer["html"]
    assert answer["outcome"] == report["outcome"]
    links = re.findall(r'href="#(\w+)(?:/q-(\w+))?" data-go="(\w+)"(?: data-question="(\w+)")?', answer["html"])
    assert len(links) == answer["html"].count("data-go=") >= len([f for f in spoken if f["kind"] == "rule"])
    for section, question, go, named in links:
        assert section == go
        assert question == named
        assert go in SECTIONS
        assert not named or CATALOGUE[named].section == section


@pytest.mark.parametrize("name", JOBS)
def test_what_is_sealed_is_the_report_to_the_byte(name: str) -> None:
    whole = {**JOBS[name], "work_date": "2026-03-14", "address_street": "12 N. Oak Ave", "heater_serial": "LW1"}
    report, answer = assess(whole), ask("seal", answers=whole)
    assert ask("report", answers=whole)["report"].encode() == report.to_bytes()
    if report.outcome == "unfinished" and whole.get("job_kind") != "existing":
        assert answer["code"] == "not_yet"
        return
    assert answer["report"].encode() == report.to_bytes()
    assert answer["answers_sha256"] == answers_digest(whole)
    assert answer["statement"] == STATEMENTS[answer["kind"]]
    assert answer["ruleset"]["digest"] == digest() == report.digest


def test_what_is_lacking_is_said_before_anything_is_sealed() -> None:
    nameless = {name: held for name, held in GAS.items() if name not in ("heater_serial", "work_date")}
    assert ask("seal", answers=nameless)["lacking"].keys() == {"heater_serial", "date"}
    assert ask("seal", answers={**GAS, "work_date": "2099-01-01"})["lacking"].keys() == {"date"}


def test_the_pictures_that_are_wanted_follow_from_the_answers() -> None:
    wanted = {one["kind"]: one for one in ask("photos", answers={**GAS, "flue_colour": "teal"})["wanted"]}
    assert wanted["plate"]["asked"]
    assert wanted["plate"]["label"] == "Data plate"
    electric = {one["kind"]: one for one in ask("photos", answers=JOBS["electric_storage_irc"])["wanted"]}
    assert not electric["vent"]["asked"]


@pytest.mark.parametrize("name", ["gas_storage_us_ca", "heat_pump_irc_2021"])
def test_what_is_printed_as_open_is_told_before_the_signature(name: str) -> None:
    sealed = ask("seal", answers=JOBS[name])
    findings = json.loads(sealed["report"])["findings"]
    opened = [f for f in findings if f["kind"] == "rule" and f["verdict"] in ("authority", "engineer")]
    assert sealed["open"].count("<li>") == len(opened)
    assert all(escape(f["why"]) in sealed["open"] for f in opened)


def test_a_known_model_fills_its_plate_and_writes_over_nothing() -> None:
    plate = {
        "heater_kind": "gas_storage", "heater_maker": "Larkin Works", "heater_model": "LW-40N", "storage_gal": "40",
        "input_btuh": "40000", "heater_serial": "LW26K0041877", "heater_marked_gas": "natural", "no_question": "1",
    }  # fmt: skip
    started = {"heater_kind": "gas_storage", "storage_gal": "50"}
    answer = ask("model", answers=started, section="plate", plate=plate)
    named = {"heater_maker": "Larkin Works", "heater_model": "LW-40N", "input_btuh": "40000"}
    assert answer["answers"] == {**started, **named, "accepted_as_usual": ["input_btuh"]}
    assert answer["boxes"]["input_btuh"] == {"": "40,000"}
    other = ask("model", answers={"heater_kind": "electric_storage"}, section="plate", plate=plate)
    assert other["answers"] == {"heater_kind": "electric_storage"}
    assert ask("model", answers=started, section="plate", plate=["LW-40N"])["code"] == "bad_wish"


def test_what_was_accepted_and_not_measured_is_counted_and_listed_before_the_signature() -> None:
    answers = JOBS["gas_storage_us_ca"] | {"accepted_as_usual": ["relief_trap", "room"]}
    for html in (ask("seal", answers=answers)["usual"], ask("review", answers=answers)["html"]):
        assert "2 answers were accepted as usual, not measured" in html
        assert escape(CATALOGUE["relief_trap"].label) in html
    one = ask("seal", answers=JOBS["gas_storage_us_ca"] | {"accepted_as_usual": ["relief_trap"]})["usual"]
    assert "1 answer was accepted" in one
    bare = {name: held for name, held in JOBS["gas_storage_us_ca"].items() if name != "accepted_as_usual"}
    assert ask("seal", answers=bare)["usual"] == ""
    assert "accepted as usual" not in ask("review", answers=bare)["html"]


def test_what_the_authority_accepted_is_recorded_held_to_its_finding_and_taken_back() -> None:
    answers = {name: held for name, held in JOBS["gas_storage_to_fix"].items() if name != "acceptances"}
    report = json.loads(ask("report", answers=answers)["report"])
    failed = [f for f in report["findings"] if f["verdict"] == "fails" and f["kind"] == "rule" and not f.get("hazard")]
    check, of = failed[0]["check"], mark_of(failed[0])
    said = {"check": check, "of": of, "by": "Port Larkin inspector", "on": "2026-11-25", "why": "Agreed on site"}
    assert f'data-accept="{check}" data-of="{of}"' in ask("review", answers=answers)["html"]
    now = ask("accept", answers=answers, **said)["answers"]
    assert now["acceptances"][check]["by"] == "Port Larkin inspector"
    assert {name: held for name, held in now.items() if name != "acceptances"} == answers
    assert ask("review", answers=now)["counts"]["fix"] == len(failed) - 1
    assert ask("accept", answers=now, check=check, act="take-back")["answers"] == answers
    for wrong in ({"of": "0" * 16}, {"on": "yesterday"}, {"by": ""}, {"check": "no.such"}, {"check": 7}, {"act": "take-back"}):
        told = ask("accept", answers=answers, **{**said, **wrong})
        assert told["code"] == "not_recorded", wrong
        assert told["error"]


def test_a_danger_is_accepted_by_nobody_through_the_door_either() -> None:
    answers = JOBS["gas_storage_us_ca"] | {"gas_leak_test": "failed"}
    findings = json.loads(ask("report", answers=answers)["report"])["findings"]
    danger = next(f for f in findings if f.get("hazard") and f["verdict"] == "fails")
    told = ask("accept", answers=answers, check=danger["check"], of=mark_of(danger), by="A", on="2026-11-25", why="B")
    assert (told["code"], told["check"]) == ("not_recorded", danger["check"])
    assert f'data-accept="{danger["check"]}"' not in ask("review", answers=answers)["html"]
