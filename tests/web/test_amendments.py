"""The firm's own amendments: made at the office clause by clause, chosen for a job, kept with what they judged."""

from __future__ import annotations

import json
from typing import Any

import pytest

from heaterapp.rules import assess

from .conftest import job_answers

BEGUN = {"title": "Port Larkin water amendments", "base": "model_upc_2021", "on": "2026-01-01"}
CLAUSE = {
    **BEGUN, "act": "state", "clause": "supply.pressure_limit", "section": "PLMC 15.04", "says": "No more than 70 psi.",
    "value-limit": "70",
}  # fmt: skip
NAME = "port_larkin_water_amendments"


def made(office: Any, **different: str) -> Any:
    return office.post("/office/amendments/clause", {**CLAUSE, **different})


def test_the_office_makes_a_set_and_each_change_is_a_version(visit: Any, store: Any, firms: Any) -> None:
    office = visit("office")
    asked = office.get("/office/amendments/new", query_string={**BEGUN, "clause": "supply.pressure_limit"})
    assert "What the book says" in asked.text
    assert 'name="value-limit"' in asked.text
    assert made(office).location == f"/office/amendments/{NAME}?said=saved"
    page = office.get(f"/office/amendments/{NAME}")
    assert "PLMC 15.04" in page.text
    assert "instead of 80" in page.text
    again = {**CLAUSE, "name": NAME, "after": "1", "value-limit": "65", "on": "2026-06-01"}
    assert office.post("/office/amendments/clause", again).status_code == 303
    first, second = store.amendments.versions(firms["a"].id, NAME)[::-1]
    assert first.stored["clauses"]["supply.pressure_limit"]["values"] == {"limit": "70"}
    assert second.stored["clauses"]["supply.pressure_limit"]["values"] == {"limit": "65"}
    assert (second.stored["version"], second.stored["on"]) == (2, "2026-06-01")
    assert "An older version" in office.get(f"/office/amendments/{NAME}?version=1").text
    struck = {**CLAUSE, "name": NAME, "after": "2", "clause": "pan.depth", "act": "strike", "why": "Not adopted here."}
    assert office.post("/office/amendments/clause", struck).status_code == 303
    assert "Not adopted here." in office.get(f"/office/amendments/{NAME}").text
    back = {**CLAUSE, "name": NAME, "after": "3", "clause": "pan.depth", "act": "back"}
    assert office.post("/office/amendments/clause", back).status_code == 303
    assert store.amendments.current(firms["a"].id)[0].stored["silent"] == {}


@pytest.mark.parametrize(
    ("different", "field"),
    [
        ({"title": " "}, "title"),
        ({"title": "x" * 101}, "title"),
        ({"title": "Uniform Plumbing Code 2021"}, "title"),
        ({"title": "a\x1bb"}, "title"),
        ({"base": "nowhere"}, "base"),
        ({"on": "next year"}, "on"),
        ({"on": "0000-01-01"}, "on"),
        ({"on": "\u0662\u0660\u0662\u0666-\u0660\u0661-\u0660\u0661"}, "on"),
        ({"section": ""}, "section"),
        ({"says": ""}, "says"),
        ({"section": "\x00"}, "section"),
        ({"says": "x" * 301}, "says"),
        ({"value-limit": "many"}, "value-limit"),
        ({"value-limit": "1e9"}, "value-limit"),
        ({"act": "strike", "why": ""}, "why"),
    ],
)
def test_what_cannot_be_read_is_named_at_its_field_and_kept(
    visit: Any, store: Any, firms: Any, different: dict[str, str], field: str
) -> None:
    answer = made(visit("office"), **different)
    assert answer.status_code == 422
    assert f'href="#{field}"' in answer.text
    typed = different.get(field, "").strip()
    assert not typed or field == "base" or f'value="{typed}"' in answer.text
    assert store.amendments.current(firms["a"].id) == []


def test_an_older_page_does_not_write_over_a_newer_version(visit: Any, store: Any, firms: Any) -> None:
    office = visit("office")
    made(office)
    again = {**CLAUSE, "name": NAME, "after": "1", "value-limit": "65"}
    assert office.post("/office/amendments/clause", again).status_code == 303
    stale = office.post("/office/amendments/clause", {**again, "value-limit": "60"})
    assert stale.status_code == 422
    assert "Version 2 stands now" in stale.text
    assert 'value="60"' in stale.text
    assert len(store.amendments.versions(firms["a"].id, NAME)) == 2


def test_nobody_else_may_make_or_see_them(visit: Any) -> None:
    made(visit("office"))
    assert visit("installer").get(f"/office/amendments/{NAME}").status_code == 403
    assert visit("office", firm="b").get(f"/office/amendments/{NAME}").status_code == 404
    assert visit("office", firm="b").post(f"/office/amendments/{NAME}/withdraw").status_code == 404
    assert "Port Larkin water" not in visit("installer", firm="b").get("/jobs/new").text
    assert visit("office").post("/office/amendments/clause", CLAUSE, without=True).status_code == 400


def test_a_job_is_judged_by_the_version_it_chose_and_keeps_it(
    visit: Any, store: Any, firms: Any, answers_of: Any
) -> None:
    office, installer = visit("office"), visit("installer")
    made(office)
    assert "Port Larkin water amendments 1" in installer.get("/jobs/new").text
    job = installer.begin(place=f"own:{NAME}")
    held = store.jobs.get(firms["a"].id, job).answers
    assert held["place"] == "model_upc_2021"
    assert held["amendments"]["version"] == 1
    office.post("/office/amendments/clause", {**CLAUSE, "name": NAME, "after": "1", "value-limit": "65"})
    page = installer.get(f"/jobs/{job}/job").text
    assert "version 1" in page
    assert "Version 2 stands at the office" in page
    report = assess({**store.jobs.get(firms["a"].id, job).answers, "house_pressure_psi": "68", "prv_fitted": "no"})
    assert report.as_json()["amended_by"]["version"] == "1"
    finding = next(one for one in report.as_json()["findings"] if one["check"] == "supply.prv_where_needed")
    assert (finding["verdict"], finding["limit"], finding["section"]) == ("meets", "70", "PLMC 15.04")
    page = installer.get(f"/jobs/{job}/codes").text
    revision = str(store.jobs.get(firms["a"].id, job).revision)
    sent = {"codes": f"own:{NAME}", "revision": revision}
    assert installer.post(f"/jobs/{job}/codes", sent).status_code == 302
    assert store.jobs.get(firms["a"].id, job).answers["amendments"]["version"] == 2


def test_another_place_leaves_the_amendments_behind(visit: Any, store: Any, firms: Any) -> None:
    made(visit("office"))
    installer = visit("installer")
    job = installer.begin(place=f"own:{NAME}")
    installer.post_json(f"/jobs/{job}/answers", {"changes": {"place": "us_ca_2022"}, "revision": None})
    held = store.jobs.get(firms["a"].id, job).answers
    assert held["place"] == "us_ca_2022"
    assert "amendments" not in held
    job = installer.begin(place=f"own:{NAME}")
    revision = str(store.jobs.get(firms["a"].id, job).revision)
    installer.post(f"/jobs/{job}/codes", {"codes": "model_upc_2021", "revision": revision})
    assert "amendments" not in store.jobs.get(firms["a"].id, job).answers


@pytest.mark.parametrize("given", ["own:none", "own:", "nowhere", ""])
def test_codes_that_nobody_offers_are_refused(visit: Any, given: str) -> None:
    installer = visit("installer")
    job = installer.begin()
    answer = installer.post(f"/jobs/{job}/codes", {"codes": given, "revision": "1"})
    assert answer.status_code == 422
    assert 'href="#codes"' in answer.text


def test_what_was_issued_under_amendments_carries_them_whole(
    visit: Any, store: Any, firms: Any, answers_of: Any
) -> None:
    made(visit("office"))
    visit("office").post(f"/office/amendments/{NAME}/withdraw", {"after": "1"})
    assert "Withdrawn." in visit("office").get(f"/office/amendments/{NAME}?version=1").text
    assert "Port Larkin water" not in visit("installer").get("/jobs/new").text
    made(visit("office"), title="Second amendments", base="us_ca_2022")
    installer = visit("installer")
    job = installer.begin(place="own:second_amendments")
    whole = {k: v for k, v in job_answers("gas_storage_us_ca").items() if k != "place"}
    installer.fill(job, whole)
    signed = installer.sign(job)
    assert signed.status_code in (302, 303), signed.text
    record = store.records.by_number(firms["a"].id, "C-000001")
    stored = json.loads(record.job)
    assert stored["amendments"]["title"] == "Second amendments"
    assert json.loads(record.report)["amended_by"]["name"] == "second_amendments"
    again = assess(stored).as_json()
    assert again["findings"] == json.loads(record.report)["findings"]
    assert visit("office").get("/office/records/C-000001").status_code == 200


@pytest.mark.parametrize("title", ["New", "Clause", "new!"])
def test_a_set_named_as_a_page_can_be_opened(visit: Any, title: str) -> None:
    office = visit("office")
    page = office.get(made(office, title=title).location)
    assert page.status_code == 200
    assert f"<h1>{title}</h1>" in page.text


def test_a_version_that_was_not_seen_is_not_withdrawn(visit: Any, store: Any, firms: Any) -> None:
    office = visit("office")
    made(office)
    assert 'name="after" value="1"' in office.get(f"/office/amendments/{NAME}").text
    office.post("/office/amendments/clause", {**CLAUSE, "name": NAME, "after": "1", "value-limit": "65"})
    for after in ({"after": "1"}, {}, {"after": "9" * 5000}):
        sent = office.post(f"/office/amendments/{NAME}/withdraw", after)
        assert "another version was saved meanwhile" in office.get(sent.location).text
    assert store.amendments.current(firms["a"].id)[0].version == 2
    assert office.post(f"/office/amendments/{NAME}/withdraw", {"after": "2"}).status_code == 303
    assert store.amendments.current(firms["a"].id) == []


def test_codes_that_are_withdrawn_leave_the_choice_open(visit: Any, store: Any, firms: Any) -> None:
    """The first of the list would be sent as if it had been chosen."""
    office, installer = visit("office"), visit("installer")
    made(office)
    job = installer.begin(place=f"own:{NAME}")
    assert f'value="own:{NAME}" selected' in installer.get(f"/jobs/{job}/codes").text
    office.post(f"/office/amendments/{NAME}/withdraw", {"after": "1"})
    page = installer.get(f"/jobs/{job}/codes").text
    assert "The office has withdrawn it" in page
    assert " selected" not in page
    assert '<option value="">Choose</option>' in page


def test_amendments_of_a_place_that_the_program_has_no_more_are_shown_and_withdrawn(
    visit: Any, store: Any, firms: Any, people: Any
) -> None:
    clause = {"section": "1", "says": "No more than 70 psi.", "values": {"limit": "70"}}
    stored = {"name": "old", "title": "Old rules", "base": "atlantis", "on": "2026-01-01", "clauses": {"supply.pressure_limit": clause}, "silent": {}}
    store.amendments.save(firms["a"].id, people["a", "office"].id, stored)
    office = visit("office")
    assert office.get("/office/amendments").status_code == 200
    page = office.get("/office/amendments/old")
    assert page.status_code == 200
    assert "on atlantis" in page.text
    assert office.get("/office/amendments/old/clause").status_code == 404
    assert made(office, name="old", after="1").status_code == 404
    assert "Old rules" not in visit("installer").get("/jobs/new").text
    assert office.post("/office/amendments/old/withdraw", {"after": "1"}).status_code == 303
    assert store.amendments.current(firms["a"].id) == []
