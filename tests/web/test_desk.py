"""The office's desk by its pages: what is due, a job opened and changed by two people, permit, inspections."""

from __future__ import annotations

import re
from typing import Any

import pytest

from heaterapp.web.days import read_day
from tests.web.desk_forms import day, hidden

OPEN = {
    "address_street": "12 N. Oak Ave", "address_city": "Port Larkin", "heater_kind": "gas_storage",
    "job_kind": "same_place", "place": "us_ca_2022", "owner_name": "Mina Park", "storage_gal": "50",
    "contact_name": "Noor Haddad", "contact_phone": "555-0177", "planned_on": "11/30/2026",
}  # fmt: skip
JOB = "00000000-0000-4000-8000-00000000000a"


@pytest.fixture
def june(visit: Any) -> Any:
    return visit("office")


@pytest.fixture
def opened(june: Any) -> str:
    made = june.post("/office/desk/new", {**OPEN, "job_id": JOB})
    assert made.status_code == 303, made.text
    return f"/office/desk/{JOB}"


def facts_form(page: str) -> dict[str, str]:
    """The facts form as the page gave it."""
    fields = {name: hidden(page, name) for name in ("seen", "revision", "job_revision")}
    return fields | {name: hidden(page, name) for name in ("owner_name", "parcel_no", "contact_name")}


def test_the_office_opens_a_job_and_the_phone_gets_its_answers(
    june: Any, opened: str, store: Any, firms: Any, people: Any, visit: Any
) -> None:
    held = store.desk.get(firms["a"].id, JOB)
    assert held.job.answers["storage_gal"] == "50"
    assert held.job.answers["contractor_name"] == "Harborlight Plumbing"
    assert held.facts == {
        "contact_name": "Noor Haddad",
        "contact_phone": "555-0177",
        "planned_on": "2026-11-30",
    }
    assert june.post("/office/desk/new", {**OPEN, "job_id": JOB}).status_code == 303
    assert len(store.jobs.all(firms["a"].id)) == 1
    hands = people["a", "installer"]
    assert june.post(f"{opened}/installer", {"installer": str(hands.id)}).status_code == 303
    taken = visit("installer").get(f"/phone/api/jobs/{JOB}").get_json()
    assert taken["answers"]["owner_name"] == "Mina Park"
    assert taken["answers"]["installer_name"] == hands.name
    assert "contact_name" not in taken["answers"]


UNREADABLE = (
    ({"address_street": " "}, "Street address: type it"), ({"heater_kind": ""}, "Kind of heater: choose one"),
    ({"storage_gal": "many"}, "Storage capacity, gal: expected"), ({"planned_on": "31/31/2026"}, "Planned for: "),
    ({"contact_email": "noor at home"}, "Email: expected an address"), ({"contact_phone": "call me"}, "Phone: expected a phone number"),
    ({"job_value_usd": "lots"}, "Value of the job, $: expected dollars"), ({"flood_related": "hm"}, "Because of a flood?: expected one of the list"),
    ({"installer": "999"}, "Installer: expected one of the list"), ({"parcel_no": "9" * 61}, "Parcel number: expected at most 60"),
    ({"place": "atlantis"}, "Adopted codes: expected"),
)  # fmt: skip


def test_what_cannot_be_read_is_named_and_what_was_typed_is_kept(june: Any, store: Any, firms: Any) -> None:
    for wrong, says in UNREADABLE:
        answer = june.post("/office/desk/new", {**OPEN, **wrong})
        assert answer.status_code == 422, says
        assert says in answer.text
        assert "Noor Haddad" in answer.text
    assert store.jobs.all(firms["a"].id) == []


def test_two_people_change_the_facts_at_once(
    june: Any, opened: str, visit: Any, store: Any, firms: Any
) -> None:
    tomas = visit("owner")
    first, second = (
        facts_form(june.get(f"{opened}/facts").text),
        facts_form(tomas.get(f"{opened}/facts").text),
    )
    assert (
        june.post(
            f"{opened}/facts", {**first, "parcel_no": "044-1", "owner_name": "Mina Park-Lee"}
        ).status_code
        == 303
    )
    told = tomas.post(f"{opened}/facts", {**second, "parcel_no": "044-2", "contact_name": "Noor H."})
    assert told.status_code == 409
    assert "Parcel number: Office of " in told.text
    assert "saved \u201c044-1\u201d" in told.text
    again = facts_form(told.text)
    assert (again["parcel_no"], again["contact_name"], again["owner_name"]) == (
        "044-2",
        "Noor H.",
        "Mina Park-Lee",
    )
    assert tomas.post(f"{opened}/facts", again).status_code == 303
    held = store.desk.get(firms["a"].id, JOB)
    assert (held.facts["parcel_no"], held.facts["contact_name"]) == ("044-2", "Noor H.")
    assert held.job.answers["owner_name"] == "Mina Park-Lee"


def test_a_note_like_a_gate_code_is_kept_with_a_gentle_word(june: Any, opened: str) -> None:
    form = facts_form(june.get(f"{opened}/facts").text)
    assert june.post(f"{opened}/facts", {**form, "access_note": "Gate code 4471"}).status_code == 303
    assert "looks as if it holds the code" in june.get(opened).text
    form = facts_form(june.get(f"{opened}/facts").text)
    june.post(f"{opened}/facts", {**form, "access_note": "Two dogs"})
    assert "looks as if it holds the code" not in june.get(opened).text


def test_what_the_office_types_is_accepted_as_usual_no_more(
    june: Any, opened: str, store: Any, firms: Any
) -> None:
    store.jobs.save_answers(
        firms["a"].id, JOB, {"gas_kind": "natural", "accepted_as_usual": ["gas_kind", "storage_gal"]}
    )
    form = facts_form(june.get(f"{opened}/facts").text)
    assert june.post(f"{opened}/facts", {**form, "storage_gal": "40"}).status_code == 303
    answers = store.jobs.get(firms["a"].id, JOB).answers
    assert (answers["storage_gal"], answers["accepted_as_usual"]) == ("40", ["gas_kind"])


def test_what_a_phone_changed_meanwhile_is_not_written_over(
    june: Any, opened: str, store: Any, firms: Any
) -> None:
    form = facts_form(june.get(f"{opened}/facts").text)
    store.jobs.save_answers(firms["a"].id, JOB, {"owner_name": "Theo Lind"})
    told = june.post(f"{opened}/facts", {**form, "owner_name": "Mina P."})
    assert told.status_code == 409
    assert "Owner: Somebody, on another device, saved \u201cTheo Lind\u201d" in told.text
    assert store.jobs.get(firms["a"].id, JOB).answers["owner_name"] == "Theo Lind"


def permit_form(page: str) -> dict[str, str]:
    return {name: hidden(page, name) for name in ("seen", "revision", "job_revision", "permit_number")}


def test_the_permit_is_watched_and_extended_with_a_reason(
    june: Any, opened: str, store: Any, firms: Any
) -> None:
    form = permit_form(june.get(opened).text)
    sent = {**form, "permit_status": "issued", "permit_number": "B26-17", "permit_issued_on": day(store, 155)}
    assert june.post(f"{opened}/permit", sent).status_code == 303
    assert store.desk.get(firms["a"].id, JOB).job.answers["permit_number"] == "B26-17"
    assert re.search(r"25 <span class=\"unit\">days left", june.get("/office/desk").text)
    assert "preset, 180 days" in june.get(opened).text
    refused = june.post(f"{opened}/permit/extend", {"extended_to": day(store, 100), "reason": ""})
    assert refused.status_code == 422
    assert "New end: expected a day after" in refused.text
    assert "Reason: say who granted it" in refused.text
    kept = {"extended_to": day(store, -90), "reason": "Granted by the counter"}
    assert june.post(f"{opened}/permit/extend", kept).status_code == 303
    page = june.get(opened).text
    assert "Granted by the counter" in page
    assert "Permits about to lapse" not in june.get("/office/desk").text.split("All jobs")[0]


def test_two_people_extend_or_assign_at_once(
    june: Any, opened: str, visit: Any, store: Any, people: Any
) -> None:
    june.post(f"{opened}/permit", {**permit_form(june.get(opened).text), "permit_issued_on": day(store, 10)})
    revision = hidden(june.get(opened).text, "revision")
    kept = {"extended_to": day(store, -300), "reason": "By phone", "revision": revision}
    assert june.post(f"{opened}/permit/extend", kept).status_code == 303
    late = visit("owner").post(
        f"{opened}/permit/extend", {**kept, "extended_to": day(store, -310), "reason": "By mail"}
    )
    assert late.status_code == 409
    assert "Lapses on: Office of " in late.text
    assert 'value="By mail"' in late.text
    hands = str(people["a", "installer"].id)
    assert june.post(f"{opened}/installer", {"installer": hands, "was": ""}).status_code == 303
    late = visit("owner").post(f"{opened}/installer", {"installer": str(people["a", "owner"].id), "was": ""})
    assert late.status_code == 422
    assert "meanwhile the job was given to Installer of " in late.text


def test_a_paper_issued_while_the_facts_were_typed_is_told(
    june: Any, issue: Any, store: Any, firms: Any
) -> None:
    job = issue().job_id
    store.jobs.reopen(firms["a"].id, job)
    form = facts_form(june.get(f"/office/desk/{job}/facts").text)
    issue(job_id=job)
    told = june.post(f"/office/desk/{job}/facts", {**form, "owner_name": "Mina P.", "parcel_no": "044-9"})
    assert told.status_code == 422
    assert "Owner: the paper was issued meanwhile" in told.text
    assert "parcel_no" not in store.desk.get(firms["a"].id, job).facts


def test_a_permit_granted_after_the_paper_is_the_office_s_own_fact(
    june: Any, issue: Any, store: Any, firms: Any
) -> None:
    record = issue(permit_status="applied", permit_number="pending")
    path = f"/office/desk/{record.job_id}"
    sent = {**permit_form(june.get(path).text), "permit_number": "B26-99", "permit_issued_on": "2026-11-02"}
    assert june.post(f"{path}/permit", sent).status_code == 303
    assert 'value="B26-99"' in june.get(path).text
    assert store.jobs.get(firms["a"].id, record.job_id).answers["permit_number"] == "pending"


def test_permit_facts_stand_in_the_portals_order_and_name_what_is_missing(june: Any, opened: str) -> None:
    page = june.get(f"{opened}/permit-facts").text
    labels = re.findall(r"<dt>([^<]+)</dt>", page)
    assert labels[:5] == [
        "Nature of the work",
        "Use of the building",
        "Does the owner do the work?",
        "More than one heater?",
        "Because of a flood?",
    ]
    assert (
        labels.index("Type")
        < labels.index("Gallons")
        < labels.index("Btu/h")
        < labels.index("Owner")
        < labels.index("Parcel number")
        < labels.index("Value of the job")
    )
    assert f'href="{opened}/facts#parcel_no"' in page
    text = june.get(f"{opened}/permit-facts?as=text")
    assert text.content_type.startswith("text/plain")
    assert "Gallons: 50\n" in text.text
    assert "Parcel number: (missing)\n" in text.text


def test_the_board_finds_loosely_filters_and_pages(june: Any, store: Any, firms: Any, people: Any) -> None:
    for number in range(1, 53):
        store.jobs.create(
            firms["a"].id, people["a", "installer"].id, {"address_street": f"{number} N. Oak Ave"}
        )
    first = june.get("/office/desk?q=oak").text
    assert first.count('<li class="record">') == 50
    older = re.search(r'href="(/office/desk\?after=[^"]+)">Older', first)
    assert older
    rest = june.get(older.group(1).replace("&amp;", "&")).text
    assert rest.count('<li class="record">') == 2
    assert june.get("/office/desk?q=17+oak").text.count('<li class="record">') == 1
    assert "Nothing found" in june.get("/office/desk?state=final").text
    for odd in ("state=x", "installer=x", "installer=" + "9" * 30, "after=x", "q=%00%25_"):
        assert june.get(f"/office/desk?{odd}").status_code == 200


def test_a_day_that_is_none_is_refused() -> None:
    for text in ("2026-02-30", "13/40/2026", "Foo 3, 2026", "1/2", "1949-12-31", "2101-01-01"):
        with pytest.raises(ValueError, match=r"."):
            read_day(text)
