"""What the desk keeps of a job leaves with its record: typed, dated, never a formula, and gone once erased."""

from __future__ import annotations

import json
from datetime import date
from typing import Any

import pytest
from jsonschema import Draft202012Validator, FormatChecker

from heaterapp import exported, sheet_rows
from heaterapp.archive.desk_shapes import Item
from heaterapp.archive.export_shapes import Draft

FACTS = {
    "label_no": "0044", "label_used_on": "2026-11-20", "label_licence": "P-9", "parcel_no": "044-170-08",
    "present_owner": "=Noor Haddad", "present_owner_phone": "0555", "contact_email": "noor@example.com",
    "access_note": "@ the side gate", "job_value_usd": "2150", "workers_compensation": "Larkin Mutual 0000",
    "planned_on": "2026-11-19", "permit_issued_on": "2026-11-01",
}  # fmt: skip


@pytest.fixture
def kept(issue: Any, store: Any, people: Any) -> Any:
    opened, june = issue(), people["a", "office"]
    org = opened.organisation
    store.desk.save(org, june.id, opened.job_id, facts=FACTS)
    for day, result in (("2026-11-21", "failed"), ("2026-11-24", "passed")):
        items = [Item("", "+Strap loose", "office", ""), Item("", "Number", "", "2026-11-22")]
        told = {"inspector": "R. Castle"}
        made = store.inspections.book(org, june.id, opened.job_id, day, {"contact": "Noor"})
        asked = items if result == "failed" else []
        store.inspections.tell(org, june.id, made.id, made.revision, result, day, told, asked)
    return opened


def taken(clerk: Any, form: str) -> Any:
    return clerk.post("/office/exports/records", {"form": form})


def test_every_fact_of_the_desk_is_in_csv_and_json(visit: Any, kept: Any) -> None:
    clerk = visit("office")
    body = taken(clerk, "csv").data
    assert b'"\'=Noor Haddad"' in body
    assert b'"\'@ the side gate"' in body
    heads, row = sheet_rows.read(body)
    found = dict(zip(heads, row, strict=True))
    dates = {name: date.fromisoformat(said) for name, said in FACTS.items() if name.endswith("_on")}
    for name, said in {**FACTS, **dates, "job_value_usd": 2150, "inspections": 2}.items():
        assert found[f"desk_{name}"] == said, name
    last = found["desk_last_inspection_on"], found["desk_last_inspection_result"]
    assert last == (date(2026, 11, 24), "passed")
    (record,) = (document := json.loads(taken(clerk, "json").data))["records"]
    check = Draft202012Validator(exported.schema(), format_checker=FormatChecker())
    check.validate(document)
    assert record["desk"].items() >= FACTS.items()
    first, second = record["inspections"]
    assert (first["result"], first["inspector"], second["items"]) == ("failed", "R. Castle", [])
    assert [item["fixed_on"] for item in first["items"]] == [None, "2026-11-22"]
    record["inspections"][0]["result"] = "lost"
    assert not check.is_valid(document)


def test_inspections_have_a_csv_of_their_own_once_a_job(visit: Any, kept: Any, issue: Any) -> None:
    newer, clerk = issue(job_id=kept.job_id), visit("office")
    body = taken(clerk, "inspections").data
    assert b'"\'+Strap loose"' in body
    heads, *rows = sheet_rows.read(body)
    found = [dict(zip(heads, row, strict=True)) for row in rows]
    assert [(one["number"], one["result"], one["item"]) for one in found] == [
        (newer.number, "failed", 1), (newer.number, "failed", 2), (newer.number, "passed", None),
    ]  # fmt: skip
    assert found[0]["open_items"] == 1
    assert found[1]["item_fixed_on"] == date(2026, 11, 22)


def test_an_erased_job_leaves_nothing_of_the_desk(visit: Any, kept: Any, store: Any, people: Any) -> None:
    store.erase_job(kept.organisation, kept.job_id, people["a", "owner"].id, "asked for")
    clerk = visit("office")
    for form in ("csv", "json", "inspections"):
        body = taken(clerk, form).data
        assert kept.number.encode() in body or form == "inspections"
        for gone in (b"Haddad", b"0555", b"R. Castle", b"Strap", b"044-170", b"noor@"):
            assert gone not in body, (form, gone)


def test_a_draft_tells_the_desk_as_a_record_does() -> None:
    desk = {"label_no": "7", "permit_expires_on": "2027-01-02"}
    one = Draft(
        "5b0c4a4e-0000-4000-8000-000000000000", "2026-01-01T00:00:00Z", "2026-01-01T00:00:00Z", {}, desk
    )
    told = exported.told(one)
    assert (told["desk"]["label_no"], told["inspections"]) == ("7", [])
