"""Void, corrected, logged: what the office's pages do to a record, and what they refuse."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest
from bs4 import BeautifulSoup

import heaterapp
from heaterapp import correcting, releases, rules
from heaterapp.web.act_words import ACTS

from .conftest import hidden

APART = correcting.judge_with


@pytest.fixture(autouse=True)
def quick_judge(monkeypatch: pytest.MonkeyPatch) -> None:
    """Judged again in this process, for speed; one test puts the archived rules' own process back."""
    monkeypatch.setattr(correcting, "judge_with", lambda _, answers: rules.assess(answers).to_bytes())


def page_of(answer: Any) -> BeautifulSoup:
    return BeautifulSoup(answer.text, "html.parser")


def make_void(clerk: Any, number: str, **different: str) -> Any:
    return clerk.post(
        f"/office/records/{number}/void",
        {"reason": "issued for the wrong heater", "sure": "yes", **different},
    )


def looked(clerk: Any, number: str, **typed: str) -> Any:
    """Send the correction page's own form with these boxes typed over."""
    path = f"/office/records/{number}/correct"
    page = page_of(clerk.get(path))
    form = page.find("form", class_="correct-form")
    fields: dict[str, Any] = {}
    for box in form.find_all("input"):
        if box.get("type") == "radio" and not box.has_attr("checked"):
            continue
        if box.get("name") not in (None, "csrf_token", "whose"):
            fields[box["name"]] = box.get("value", "")
    for box in form.find_all("select"):
        chosen = box.find("option", selected=True)
        fields[box["name"]] = chosen["value"] if chosen else ""
    return clerk.post(path, {**fields, **typed})


def made(clerk: Any, number: str, preview: Any, reason: str = "misspelt", **different: str) -> Any:
    carried = {name: hidden(preview.text, name) for name in ("key", "changes")}
    return clerk.post(
        f"/office/records/{number}/correct", {"act": "make", **carried, "reason": reason, **different}
    )


def test_a_void_record_is_void_on_every_page(visit: Any, issue: Any, store: Any) -> None:
    opened, clerk = issue(), visit("office")
    token, _ = store.shares.make(opened.organisation, opened.id)
    done = make_void(clerk, opened.number)
    assert (done.status_code, done.location) == (303, f"/office/records/{opened.number}")
    page = clerk.get(done.location).text
    assert "Void since" in page
    assert "issued for the wrong heater" in page
    assert "/correct" not in page
    assert "Void" in page_of(clerk.get("/office?state=void")).find(class_="record-state").text
    assert page_of(clerk.get("/office?state=current")).find(class_="record-state") is None
    checked = visit().get(f"/check?number={opened.number}&code={opened.check_code}").text
    assert "Void" in checked
    assert "wrong heater" not in checked
    for language, words in (("en", "This paper is void"), ("es", "está anulado")):
        home = page_of(visit().get(f"/s/{token}?lang={language}"))
        assert words in home.find("h1").find_next_sibling().text
    assert "Void since" in visit("installer").get(f"/jobs/{opened.job_id}/issued").text
    second = issue(job_id=opened.job_id)
    assert f'stands <a href="/office/records/{second.number}"' in clerk.get(done.location).text
    assert second.number in visit().get(f"/s/{token}").text


def test_no_reason_or_no_tick_changes_nothing_and_keeps_what_was_typed(
    visit: Any, issue: Any, store: Any
) -> None:
    opened, clerk = issue(), visit("office")
    for wrong in (
        {"reason": ""}, {"reason": "x" * 301}, {"reason": "two\nlines"}, {"sure": ""}, {"sure": "no"},
    ):  # fmt: skip
        answer = make_void(clerk, opened.number, **wrong)
        assert answer.status_code == 422, wrong
        assert page_of(answer).find(class_="error")
        if "sure" in wrong:
            assert page_of(answer).find(id="reason")["value"] == "issued for the wrong heater"
    assert store.records.status(opened.organisation, opened.id).state == "current"


def test_twice_void_is_said_and_another_firm_finds_nothing(visit: Any, issue: Any) -> None:
    opened = issue()
    for act in ("void", "correct"):
        for path in (f"/office/records/{opened.number}/{act}", "/office/records/C-999999/" + act):
            assert visit("office", firm="b").get(path).status_code == 404
            assert visit("office", firm="b").post(path, {"reason": "x", "sure": "yes"}).status_code == 404
            assert visit("installer").get(path).status_code == 403
    make_void(visit("office"), opened.number)
    again = make_void(visit("office"), opened.number, reason="another reason")
    assert again.status_code == 409
    assert f"{opened.number} is void already" in again.text
    assert "another reason" in again.text


def test_a_slip_gives_the_next_revision_with_the_old_signature(visit: Any, issue: Any, store: Any) -> None:
    first, clerk = issue(), visit("office")
    preview = looked(clerk, first.number, owner_name="Dana Whitlocke", permit_number="B26-77")
    assert preview.status_code == 200
    rows = [
        [cell.text for cell in row.find_all(["th", "td"])] for row in page_of(preview).select(".changes tr")
    ]
    assert ["Owner", "Dana Whitlock", "Dana Whitlocke"] in rows
    assert "No new signature is needed" in preview.text
    done = made(clerk, first.number, preview)
    assert done.status_code == 303
    second = store.records.by_number(first.organisation, done.location.rpartition("/")[2])
    assert (second.revision, second.supersedes_number, second.reason) == (2, first.number, "misspelt")
    assert second.signature == first.signature
    assert second.ruleset_digest == first.ruleset_digest
    told = second.context["correction"]
    assert (told["corrects"], told["signed_for"]) == (first.number, first.number)
    assert {one["label"]: one["new"] for one in told["changes"]} == {
        "Owner": "Dana Whitlocke", "Permit number": "B26-77",
    }  # fmt: skip
    assert second.facts.owner == "Dana Whitlocke"
    assert second.issued_by["role"] == "office"
    again = made(clerk, first.number, preview)
    assert again.location == done.location
    assert len(store.records.of_job(first.organisation, first.job_id)) == 2
    page = clerk.get(done.location).text
    assert "corrected" in page
    assert store.jobs.get(first.organisation, first.job_id).state == "issued"
    third = made(clerk, second.number, looked(clerk, second.number, owner_name="Dana Whitlockes"))
    told = store.records.by_number(first.organisation, third.location.rpartition("/")[2]).context[
        "correction"
    ]
    assert (told["corrects"], told["signed_for"]) == (second.number, first.number)
    assert store.verify().ok


def test_a_measured_value_opens_the_job_for_who_signed(
    visit: Any, issue: Any, store: Any, people: Any
) -> None:
    first, clerk = issue(), visit("office")
    preview = looked(clerk, first.number, heater_serial="LW26K0041878", owner_name="Dana W.")
    assert "It has to be signed anew" in preview.text
    assert people["a", "installer"].name in preview.text
    done = made(clerk, first.number, preview, reason="the plate was read wrong")
    assert (done.status_code, done.location) == (303, f"/office/records/{first.number}")
    job = store.jobs.get(first.organisation, first.job_id)
    assert (job.state, job.installer) == ("draft", people["a", "installer"].id)
    assert (job.answers["heater_serial"], job.answers["owner_name"]) == ("LW26K0041878", "Dana W.")
    assert "Opened again on" in clerk.get(done.location).text
    assert "the plate was read wrong" in visit("installer").get(f"/jobs/{job.id}/review").text
    assert made(clerk, first.number, preview, reason="the plate was read wrong").status_code == 303
    assert store.jobs.get(first.organisation, job.id).revision == job.revision


def test_a_superseded_one_names_the_current_one_and_keeps_what_was_typed(visit: Any, issue: Any) -> None:
    first, clerk = issue(), visit("office")
    preview = looked(clerk, first.number, owner_name="Dana Whitlocke")
    second = issue(job_id=first.job_id)
    answer = made(clerk, first.number, preview, reason="a reason of mine")
    assert answer.status_code == 409
    assert f"the current one is {second.number}" in answer.text
    assert "Dana Whitlocke" in page_of(answer).find(id="q-owner_name")["value"]
    assert "a reason of mine" in page_of(answer).find(id="reason-kept").text
    stale = looked(clerk, first.number, owner_name="Dana Whitlockes")
    assert stale.status_code == 409
    for page in (answer, stale):
        assert f"the current one is {second.number}" in page.text
        assert "Issue the next revision" not in page.text
        assert "No new signature is needed" not in page.text
        assert f'href="/office/records/{second.number}/correct"' in page.text
    assert "Dana Whitlockes" in page_of(stale).find(id="q-owner_name")["value"]
    assert clerk.get(f"/office/records/{first.number}/correct").status_code == 409


def test_nothing_changed_or_unreadable_is_said(visit: Any, issue: Any) -> None:
    first, clerk = issue(), visit("office")
    for typed, says in (
        ({}, "Nothing is changed yet"), ({"house_pressure_psi": "high"}, "House pressure"),
        ({"work_date": "yesterday"}, "Date of the work"), ({"work_date": "2099-01-01"}, "a day not after today"),
    ):  # fmt: skip
        answer = looked(clerk, first.number, **typed)
        assert answer.status_code == 422, typed
        assert says in answer.text


def test_a_form_that_no_page_gave_changes_nothing(visit: Any, issue: Any, store: Any) -> None:
    first, clerk = issue(), visit("office")
    preview = looked(clerk, first.number, owner_name="Dana Whitlocke")
    head = store.log.head(first.organisation)
    for wrong in (
        {"changes": "{"}, {"changes": "[]"}, {"changes": '{"no_such": "x"}'}, {"changes": '{"owner_name": 5}'},
        {"changes": '{"house_pressure_psi": "-3"}'}, {"key": "mine"}, {"changes": "{}"},
    ):  # fmt: skip
        assert made(clerk, first.number, preview, **wrong).status_code == 400, wrong
    for changes, said in (
        ({"place": None}, "Adopted codes: expected one of"), ({"work_date": "2099-01-01"}, "not after today"),
    ):  # fmt: skip
        answer = made(clerk, first.number, preview, changes=json.dumps(changes))
        assert answer.status_code == 400, changes
        assert said in answer.text
    assert made(clerk, first.number, preview, reason=" ").status_code == 422
    assert store.log.head(first.organisation) == head


def test_a_name_that_changes_a_finding_is_signed_anew(visit: Any, issue: Any) -> None:
    first, clerk = issue(), visit("office")
    preview = looked(clerk, first.number, permit_number="")
    assert "come to another result" in preview.text
    second = issue(permit_status="applied")
    preview = looked(clerk, second.number, permit_number="")
    assert "It changes what was found" in preview.text


def test_rules_that_were_never_released_do_not_judge_a_slip(
    visit: Any, issue: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    first, clerk = issue(), visit("office")
    monkeypatch.setattr(releases, "was_released", lambda *_: False)
    monkeypatch.setattr(correcting, "judge_with", lambda *_: pytest.fail("rules nobody released were run"))
    preview = looked(clerk, first.number, owner_name="Dana Whitlocke")
    assert "were never released" in preview.text
    assert "It has to be signed anew" in preview.text


def test_the_log_is_read_newest_first_by_act_person_and_number(
    visit: Any, issue: Any, people: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    from heaterapp.web import acts

    first, second = issue(), issue(address_street="7 Ferry Lane")
    clerk = visit("office")
    make_void(clerk, first.number)
    said = [one.text for one in page_of(clerk.get("/office/log")).select(".acts p")]
    assert (
        said[0] == f"{people['a', 'office'].name} declared {first.number} void: issued for the wrong heater."
    )
    assert len([one for one in said if "issued" in one and "declared" not in one]) == 2
    for query, count in (
        ("act=void", 1), (f"who={people['a', 'office'].id}", 1), (f"number={second.number}", 2),
        ("act=void&number=" + second.number, 0), ("act=nonsense", len(said)), ("who=999", len(said)),
    ):  # fmt: skip
        assert len(page_of(clerk.get("/office/log?" + query)).select(".acts li")) == count, query
    assert "no paper of this firm has it" in clerk.get("/office/log?number=C-000777").text
    other = visit("owner", firm="b").get("/office/log")
    assert not page_of(other).select(".acts li")
    assert visit("installer").get("/office/log").status_code == 403
    monkeypatch.setattr(acts, "PER_PAGE", 2)
    seen, path = [], "/office/log"
    while path:
        page = page_of(clerk.get(path))
        seen += [one.text for one in page.select(".acts p")]
        older = page.find("a", string="Older")
        path = older["href"] if older else None
    assert seen == said


def test_every_act_that_the_archive_logs_has_words_of_its_own() -> None:
    sources = [path.read_text() for path in (Path(heaterapp.__file__).parent / "archive").rglob("*.py")]
    written = {
        act
        for text in sources
        for form in (r'log\.append\(\s*\w+, [\w.]+, "(\w+)"', r'^(?:ACT|OPENED) = "(\w+)"')
        for act in re.findall(form, text, re.MULTILINE)
    }
    assert {"void", "correct", "issue", "desk", "recheck", "copy"} <= written
    assert written <= set(ACTS)


def test_no_stored_word_reaches_the_page(visit: Any, issue: Any) -> None:
    listed, clerk = issue(precharge_psi=40), visit("office")
    assert listed.kind == "correction_list"
    for path in ("/office/log", f"/office/records/{listed.number}"):
        text = page_of(clerk.get(path)).find("main").text
        assert not re.search(r"[a-z]+_[a-z]+", text.replace("job_kind", "")), path


def test_the_archived_rules_judge_a_slip_in_a_process_of_their_own(
    visit: Any, issue: Any, store: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(correcting, "judge_with", APART)
    first, clerk = issue(), visit("office")
    done = made(clerk, first.number, looked(clerk, first.number, address_unit="B"))
    second = store.records.by_number(first.organisation, done.location.rpartition("/")[2])
    assert json.loads(second.job) == {**json.loads(first.job), "address_unit": "B"}
    assert "12 N. Oak Ave Unit B" in second.facts.address
