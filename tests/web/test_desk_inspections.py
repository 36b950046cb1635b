"""Inspections at the desk by their pages: booked, told, their items, the second visit, and who may see them."""

from __future__ import annotations

from typing import Any

import pytest

from tests.web.desk_forms import day, hidden


@pytest.fixture
def june(visit: Any) -> Any:
    return visit("office")


@pytest.fixture
def booked(june: Any, issue: Any, store: Any) -> tuple[str, Any]:
    record = issue()
    made = june.post(
        f"/office/desk/{record.job_id}/inspection",
        {"booked_for": day(store, 0), "window": "8 to noon", "contact": "Dana", "adult": "yes"},
    )
    assert made.status_code == 303
    return made.location.partition("?")[0], record


def test_a_failed_inspection_names_its_items_and_the_second_visit_is_a_revision(
    june: Any, booked: Any, issue: Any, store: Any, firms: Any
) -> None:
    path, record = booked
    page = june.get(path).text
    assert "An adult on site: yes" in page
    sent = {
        "revision": hidden(page, "revision"), "rows": "3", "result": "failed", "result_on": day(store, 0), "inspector": "R. Castle",
        "check-1": "expansion.precharge_matches_house", "text-1": "Tank air low", "text-3": "Number not posted", "who-3": "owner",
    }  # fmt: skip
    assert june.post(f"{path}/result", sent).status_code == 303
    page = june.get(path).text
    assert "Thermal expansion: precharge matches house: Tank air low" in page
    assert page.count("To mend") == 2
    assert june.post(f"{path}/second-visit", {"installer": ""}).status_code == 303
    assert store.jobs.get(firms["a"].id, record.job_id).state == "draft"
    second = issue(job_id=record.job_id)
    assert second.supersedes == record.id
    page = june.get(path).text
    assert page.count("To mend") == 2
    mended = {"revision": hidden(page, "revision"), "fixed-1": day(store, 0), "who-2": "owner", "fixed-2": day(store, 0)}
    assert june.post(f"{path}/items", mended).status_code == 303
    assert "Everything is mended: book the next inspection." in june.get("/office/desk").text


NO_RESULT = (
    ({"result": ""}, "Result: choose one"), ({"result": "failed"}, "name at least one thing"),
    ({"result": "passed", "text-1": "x"}, "something is asked for below"), ({"result": "passed", "result_on": "someday"}, "Day of the result: expected a date"),
    ({"result": "passed", "result_on": "2999-01-01"}, "Day of the result: expected"), ({"result": "failed", "check-1": "no.such"}, "Item 1: expected one of the list"),
)  # fmt: skip


def test_a_result_that_cannot_be_read_changes_nothing(june: Any, booked: Any, store: Any, firms: Any) -> None:
    path, _ = booked
    for wrong, says in NO_RESULT:
        sent = {"revision": "1", "result_on": day(store, 0), "inspector": "R. Castle", **wrong}
        answer = june.post(f"{path}/result", sent)
        assert answer.status_code == 422, says
        assert says in answer.text
        assert "R. Castle" in answer.text
    assert store.inspections.get(firms["a"].id, 1).result == "booked"


def test_a_pass_names_its_inspector_or_says_that_nobody_knows(june: Any, booked: Any, store: Any) -> None:
    path, _ = booked
    assert 'id="final" name="final" type="checkbox" value="yes">' in june.get(path).text
    sent = {"revision": "1", "result": "passed", "result_on": day(store, 0)}
    refused = june.post(f"{path}/result", sent)
    assert refused.status_code == 422
    assert "Inspector: type the name, or tick that it is not known" in refused.text
    assert june.post(f"{path}/result", {**sent, "unknown": "yes"}).status_code == 303


def test_what_asks_for_an_inspection_carries_the_whole_address(june: Any, issue: Any, store: Any) -> None:
    record = issue(address_unit="3", address_city="Port Larkin", address_state="CA", address_zip="90000")
    made = june.post(f"/office/desk/{record.job_id}/inspection", {"booked_for": day(store, 0)})
    page = june.get(made.location.partition("?")[0]).text
    assert "Address: 12 N. Oak Ave Unit 3, Port Larkin, CA 90000" in page


def test_more_lines_keep_what_was_typed(june: Any, booked: Any, store: Any) -> None:
    path, _ = booked
    page = june.post(
        f"{path}/result",
        {"revision": "1", "rows": "3", "go": "more", "result": "failed", "text-2": "Flex too long"},
    ).text
    assert 'value="Flex too long"' in page
    assert "Item 7" in page
    assert "Item 8" not in page


def test_two_results_at_once_are_told(june: Any, booked: Any, visit: Any, store: Any) -> None:
    path, _ = booked
    sent = {"revision": "1", "result": "passed", "final": "yes", "unknown": "yes", "result_on": day(store, 0)}
    assert june.post(f"{path}/result", sent).status_code == 303
    late = visit("owner").post(f"{path}/result", {**sent, "result": "failed", "text-1": "Loose strap"})
    assert late.status_code == 409
    assert "Office of " in late.text
    assert "saved this inspection meanwhile" in late.text


def test_a_final_pass_stands_on_the_record_and_can_be_taken_back(
    june: Any, booked: Any, store: Any, firms: Any
) -> None:
    path, record = booked
    june.post(
        f"{path}/result",
        {"revision": "1", "result": "passed", "final": "yes", "inspector": "Lee", "result_on": day(store, 0)},
    )
    shown = june.get(f"/office/records/{record.number}").text
    assert "Final inspection passed" in shown
    assert f"/office/desk/{record.job_id}" in shown
    back = june.post(f"{path}/take-back", {"revision": "2", "why": ""})
    assert back.status_code == 422
    assert june.post(f"{path}/take-back", {"revision": "2", "why": "Wrong job"}).status_code == 303
    assert store.desk.get(firms["a"].id, record.job_id).final_on is None


def test_the_log_says_what_was_done_at_the_desk(june: Any, booked: Any) -> None:
    page = june.get("/office/log").text
    assert "booked an inspection" in page
    assert "Dana" not in page


def test_nobody_else_sees_a_desk(visit: Any, june: Any, booked: Any) -> None:
    path, record = booked
    pages = [
        "/office/desk/new",
        f"/office/desk/{record.job_id}",
        f"/office/desk/{record.job_id}/facts",
        f"/office/desk/{record.job_id}/permit-facts",
        f"/office/desk/{record.job_id}/inspection",
        path,
    ]
    for page in pages:
        assert june.get(page).status_code == 200
        assert visit("installer").get(page).status_code == 403
        assert visit(None).get(page).status_code == 302
    for page in pages[1:]:
        assert visit("owner", firm="b").get(page).status_code == 404
    for act in ("result", "items", "second-visit", "booked", "take-back"):
        assert (
            visit("owner", firm="b").post(f"{path}/{act}", {"revision": "1", "result": "passed"}).status_code
            == 404
        )
    for act in ("facts", "permit", "permit/extend", "installer", "inspection"):
        assert visit("owner", firm="b").post(f"/office/desk/{record.job_id}/{act}", {}).status_code == 404
