"""What the desk keeps in sight: lists to fix, permits without a date, bookings too late, items still open."""

from __future__ import annotations

import html
import re
from typing import Any

import pytest

from heaterapp.archive.desk_shapes import Item
from tests.web.desk_forms import day, hidden


def section(page: str, name: str) -> str:
    """One section of the board, by its heading's id."""
    found = re.search(rf'aria-labelledby="{name}">(.*?)</section>', page, re.S)
    return html.unescape(found.group(1)) if found else ""


@pytest.fixture
def june(visit: Any) -> Any:
    return visit("office")


def test_a_signed_correction_list_stands_on_the_desk_and_in_the_month(
    june: Any, issue: Any, store: Any, people: Any
) -> None:
    listed, me = issue(precharge_psi="30"), people["a", "office"]
    assert listed.kind == "correction_list"
    page = f"/office/desk/{listed.job_id}"
    board = june.get("/office/desk").text
    assert f"{listed.number} was signed and names what is to be fixed" in section(board, "to-fix")
    assert section(board, "unsigned") == ""
    assert "Things to fix: second visit due" in june.get("/office/desk?state=to_fix").text
    own = html.unescape(june.get(page).text)
    assert f"{listed.number} names things to fix. A second visit is due" in own
    assert "waits for a signature" not in own
    assert "For things to be fixed, second visit due</a></dt><dd>1 job" in june.get("/office/month").text
    store.jobs.save_answers(me.organisation, listed.job_id, {"owner_name": "Dana W."})
    board = june.get("/office/desk").text
    assert (section(board, "to-fix"), listed.job_id in section(board, "unsigned")) == ("", True)


def test_a_void_correction_list_leaves_its_job_to_be_signed(
    june: Any, issue: Any, store: Any, people: Any
) -> None:
    listed, me = issue(precharge_psi="30"), people["a", "office"]
    store.void(me.organisation, listed.id, me.id, "wrong house")
    board = june.get("/office/desk").text
    assert (section(board, "to-fix"), listed.job_id in section(board, "unsigned")) == ("", True)


def test_a_permit_without_a_day_of_issue_is_listed_until_it_has_one(
    june: Any, issue: Any, store: Any, people: Any
) -> None:
    record, me = issue(permit_status="applied"), people["a", "office"]
    page, says = f"/office/desk/{record.job_id}", "The permit has no day of issue: it cannot be watched"
    assert section(june.get("/office/desk").text, "undated") == ""
    sent = {
        "permit_status": "issued",
        "permit_number": "B-1",
        "seen": "{}",
        "revision": "1",
        "job_revision": "1",
    }
    assert june.post(f"{page}/permit", sent).status_code == 303
    assert record.job_id in section(june.get("/office/desk").text, "undated")
    for state in ("permit", "uninspected", "undated"):
        assert record.job_id in june.get(f"/office/desk?state={state}").text, state
    assert says in june.get(page).text
    store.inspections.book(me.organisation, me.id, record.job_id, day(store, -3), {})
    assert record.job_id in section(june.get("/office/desk").text, "undated")
    store.desk.save(me.organisation, me.id, record.job_id, facts={"permit_issued_on": day(store, 9)})
    assert section(june.get("/office/desk").text, "undated") == ""
    assert says not in june.get(page).text


def test_an_installer_s_own_word_that_the_permit_is_issued_is_enough(june: Any, issue: Any) -> None:
    record = issue()
    assert record.job_id in section(june.get("/office/desk").text, "undated")


def test_an_inspection_after_the_permit_lapses_is_warned_of(
    june: Any, issue: Any, store: Any, people: Any
) -> None:
    record, me = issue(), people["a", "office"]
    store.desk.save(me.organisation, me.id, record.job_id, facts={"permit_issued_on": day(store, 100)})
    late = "before it: move it up, or ask for an extension."
    assert late not in june.get("/office/desk").text
    assert "comes too late" in june.get(f"/office/desk/{record.job_id}/inspection").text
    made = june.post(f"/office/desk/{record.job_id}/inspection", {"booked_for": day(store, -120)})
    assert late in june.get(made.location).text
    assert "after that: move it up" in section(june.get("/office/desk").text, "lapsing")
    assert late in june.get(f"/office/desk/{record.job_id}").text


@pytest.fixture
def twice(issue: Any, store: Any, people: Any) -> Any:
    """A job with an open item of a failed inspection, and the next inspection booked."""
    record, me = issue(), people["a", "office"]
    firm = me.organisation
    first = store.inspections.book(firm, me.id, record.job_id, day(store, 5), {})
    items = [Item("", text, "", "") for text in ("Strap loose", "No number")]
    store.inspections.tell(firm, me.id, first.id, 1, "failed", day(store, 5), {"inspector": "Lee"}, items)
    return record, first, store.inspections.book(firm, me.id, record.job_id, day(store, -2), {})


def test_open_items_stay_on_the_desk_and_a_pass_asks_what_became_of_them(
    june: Any, twice: Any, store: Any, firms: Any
) -> None:
    record, first, second = twice
    path = f"/office/desk/inspections/{second.id}"
    assert "2 items to mend before the inspection of" in section(june.get("/office/desk").text, "failed")
    assert "2 items to mend before it." in june.get(f"/office/desk/{record.job_id}").text
    page = june.get(path).text
    passed = {
        "revision": hidden(page, "revision"), f"revision-{first.id}": hidden(page, f"revision-{first.id}"),
        "result": "passed", "final": "yes", "unknown": "yes", "result_on": day(store, 0),
    }  # fmt: skip
    one, two = (f"became-{first.id}-{at}" for at in (1, 2))
    for wrong, says in (
        ({one: "accepted"}, "say what became of it"), ({one: "accepted", two: "mended"}, "type the date"),
        ({one: "open", two: "mended", f"mended-{first.id}-2": day(store, 6)}, "when it was found"),
    ):  # fmt: skip
        answer = june.post(f"{path}/result", {**passed, **wrong})
        assert (answer.status_code, says in answer.text) == (422, True), says
    assert store.inspections.get(firms["a"].id, second.id).result == "booked"
    assert june.post(f"{path}/result", {**passed, one: "accepted", two: "open"}).status_code == 303
    assert "Passed, and still to mend" in june.get(path).text
    assert "1 item to mend, though a later" in section(june.get("/office/desk").text, "failed")
    assert "The inspector accepted it on" in june.get(f"/office/desk/inspections/{first.id}").text
    back = {"revision": hidden(june.get(path).text, "revision"), "why": "wrong job"}
    assert june.post(f"{path}/take-back", back).status_code == 303
    assert len(store.inspections.get(firms["a"].id, first.id).open_items) == 2
    assert store.verify().ok


def test_nothing_is_mended_before_it_was_found(june: Any, twice: Any, store: Any, people: Any) -> None:
    _, first, _ = twice
    page = june.get(f"/office/desk/inspections/{first.id}").text
    sent = {"revision": hidden(page, "revision"), "fixed-1": day(store, 6)}
    answer = june.post(f"/office/desk/inspections/{first.id}/items", sent)
    assert answer.status_code == 422
    assert "Item 1, mended on: expected a day from" in answer.text
    assert (
        june.post(
            f"/office/desk/inspections/{first.id}/items", {**sent, "fixed-1": day(store, 5)}
        ).status_code
        == 303
    )


NEW = {
    "address_street": "12 N Oak Avenue",
    "heater_kind": "gas_storage",
    "job_kind": "same_place",
    "place": "us_ca_2022",
}
WRONG = (
    ({"planned_on": "2126-01-01"}, "Planned for: expected a date from 1950 to 2100"),
    ({"planned_on": "1899-12-31"}, "Planned for: expected a date from 1950 to 2100"),
    ({"planned_on": "11/26/2036"}, "Planned for: expected a day at most two years ahead"),
    ({"address_state": "Cal"}, "State: expected a US state"),
)  # fmt: skip


def test_a_new_job_s_days_and_state_are_looked_at(june: Any) -> None:
    for wrong, says in WRONG:
        answer = june.post("/office/desk/new", {**NEW, **wrong})
        assert (answer.status_code, says in html.unescape(answer.text)) == (422, True), says


def test_jobs_at_the_house_are_told_before_another_is_opened_there(
    june: Any, issue: Any, store: Any, people: Any
) -> None:
    first = issue()
    asked = june.post("/office/desk/new", NEW)
    assert asked.status_code == 200
    assert "Jobs at this house already" in asked.text
    assert first.job_id in asked.text
    again = {**NEW, "known": hidden(asked.text, "known"), "job_id": hidden(asked.text, "job_id")}
    made = june.post("/office/desk/new", again)
    assert made.status_code == 303
    assert "no phone lists it: assign an installer" in june.get(made.location).text
    assert june.post("/office/desk/new", {**NEW, "address_street": "112 N Oak Avenue"}).status_code == 303


def test_who_may_erase_is_said_to_who_may_not(june: Any, issue: Any, people: Any) -> None:
    page = june.get(f"/office/records/{issue().number}/keep").text
    assert f"Only an owner may erase a job. Ask {people['a', 'owner'].name}" in page
