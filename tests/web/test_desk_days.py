"""Days and numbers that cannot be are refused at the desk by name, and what is odd is told."""

from __future__ import annotations

from datetime import datetime
from typing import Any

import pytest

from tests.web.desk_forms import hidden

JOB = "00000000-0000-4000-8000-00000000000b"
PATH = f"/office/desk/{JOB}"
OPEN = {
    "job_id": JOB, "address_street": "7 Gull St", "heater_kind": "gas_storage", "job_kind": "same_place",
    "place": "us_ca_2022", "contact_name": "Noor Haddad",
}  # fmt: skip


@pytest.fixture
def june(visit: Any, store: Any, firms: Any, monkeypatch: pytest.MonkeyPatch) -> Any:
    """The office, in the evening of 26 Nov 2026 there, when it is the 27th in UTC."""
    store.organisations.save_settings(firms["a"].id, {"time_zone": "America/Los_Angeles"})
    monkeypatch.setattr(store.database, "clock", lambda: datetime.fromisoformat("2026-11-27T04:00:00Z"))
    return visit("office")


@pytest.fixture
def opened(june: Any) -> Any:
    assert june.post("/office/desk/new", OPEN).status_code == 303
    return june


def permit(june: Any, issued_on: str) -> Any:
    page = june.get(PATH).text
    form = {name: hidden(page, name) for name in ("seen", "revision", "job_revision")}
    return june.post(f"{PATH}/permit", {**form, "permit_number": "B26-17", "permit_issued_on": issued_on})


def test_a_permit_is_not_issued_after_today(opened: Any, store: Any, firms: Any) -> None:
    for ahead in ("12/24/2027", "2026-11-27"):
        refused = permit(opened, ahead)
        assert refused.status_code == 422
        assert "Issued on: expected today or a day before, not" in refused.text
        assert 'value="B26-17"' in refused.text
    assert store.desk.get(firms["a"].id, JOB).permit_issued_on is None
    assert permit(opened, "2026-11-26").status_code == 303


def test_facts_that_cannot_be_are_refused_by_name(june: Any, store: Any, firms: Any) -> None:
    for wrong, says in (
        ({"planned_on": "1/1/2020"}, "Planned for: expected a day at most a year back, not 1 Jan 2020"),
        ({"present_owner_since": "3/1/2027"}, "Owner since: expected today or a day before, not 1 Mar 2027"),
        ({"label_used_on": "3/1/2027"}, "Label used on: expected today or a day before"),
        ({"address_zip": "9599"}, "ZIP code: expected 5 digits, or 5 and 4"),
        ({"address_zip": "95991-01"}, "ZIP code: expected 5 digits, or 5 and 4"),
    ):
        refused = june.post("/office/desk/new", {**OPEN, **wrong})
        assert refused.status_code == 422, says
        assert says in refused.text
        assert "Noor Haddad" in refused.text
    assert store.jobs.all(firms["a"].id) == []
    for zip_code in ("95991", "95991-0142", ""):
        assert june.post("/office/desk/new", {**OPEN, "address_zip": zip_code}).status_code == 303


def test_days_that_are_odd_are_told(opened: Any, store: Any, firms: Any, people: Any) -> None:
    office = people["a", "office"].id
    assert "is it right?" not in opened.get(PATH).text
    odd = {"planned_on": "2026-03-01", "permit_issued_on": "2027-12-24"}
    store.desk.save(firms["a"].id, office, JOB, facts=odd)
    page = opened.get(PATH).text
    assert "Planned for 1 Mar 2026, which lies before the job was opened: is it right?" in page
    assert "The permit&#39;s day of issue, 24 Dec 2027, lies ahead: is the year right?" in page
    store.desk.save(firms["a"].id, office, JOB, facts={"planned_on": "2028-03-01"})
    assert "Planned for 1 Mar 2028, more than a year ahead" in opened.get(PATH).text


def test_a_wait_of_years_is_asked_about(opened: Any, store: Any, firms: Any, people: Any) -> None:
    for planned, says in (
        ("2026-03-01", "Day of the work 1 Mar 2026."), ("2020-01-01", "Day of the work 1 Jan 2020: is the year right?"),
    ):  # fmt: skip
        store.desk.save(firms["a"].id, people["a", "office"].id, JOB, facts={"planned_on": planned})
        assert says in opened.get("/office/desk").text


def test_an_inspection_is_not_booked_for_a_past_day(opened: Any, store: Any, firms: Any) -> None:
    for past in ("1 Nov 2025", "2026-11-25"):
        refused = opened.post(f"{PATH}/inspection", {"booked_for": past, "window": "8 to noon"})
        assert refused.status_code == 422
        assert "Day: expected today or a day after, not" in refused.text
        assert 'value="8 to noon"' in refused.text
    assert store.inspections.of_job(firms["a"].id, JOB) == []
    made = opened.post(f"{PATH}/inspection", {"booked_for": "2026-11-26", "window": "8 to noon"})
    assert made.status_code == 303


def test_a_booking_whose_day_has_passed_can_still_be_put_right(
    opened: Any, store: Any, firms: Any, people: Any
) -> None:
    visit = store.inspections.book(firms["a"].id, people["a", "office"].id, JOB, "2025-11-20", {})
    path = f"/office/desk/inspections/{visit.id}"
    board = opened.get("/office/desk").text
    assert "20 Nov 2025 <span" in board
    sent = {"revision": str(visit.revision), "booked_for": "2025-11-20", "note": "Two dogs"}
    assert opened.post(f"{path}/booked", sent).status_code == 303
    moved = opened.post(f"{path}/booked", {**sent, "revision": "2", "booked_for": "2025-11-21"})
    assert moved.status_code == 422
    told = {"revision": "2", "result": "passed", "unknown": "yes", "result_on": "2025-11-20"}
    assert opened.post(f"{path}/result", told).status_code == 303


def test_the_year_stands_where_it_is_not_this_one(opened: Any, store: Any, firms: Any, people: Any) -> None:
    store.inspections.book(firms["a"].id, people["a", "office"].id, JOB, "2026-12-01", {})
    assert ">1 Dec <span" in opened.get("/office/desk").text


def test_a_button_pressed_twice_books_once_and_another_day_is_told(
    opened: Any, store: Any, firms: Any
) -> None:
    sent = {"booked_for": "2026-12-03", "window": "8 to noon", "contact": "Dana"}
    first, second = (opened.post(f"{PATH}/inspection", sent) for _ in range(2))
    assert (first.status_code, second.status_code) == (303, 303)
    assert second.location == first.location
    other = opened.post(f"{PATH}/inspection", {**sent, "booked_for": "2026-12-04"})
    assert other.status_code == 422
    assert "Day: an inspection is booked already, for 3 Dec 2026. Note its result" in other.text
    assert len(store.inspections.of_job(firms["a"].id, JOB)) == 1


def test_a_booking_of_next_year_by_a_slip_is_asked_about(opened: Any) -> None:
    made = opened.post(f"{PATH}/inspection", {"booked_for": "2027-12-03"})
    assert "more than half a year ahead. Is 3 Dec 2027 right?" in opened.get(made.location).text
