"""Between a phone and the office: jobs taken along, changed on both, sent late, by another, or by a file."""

from __future__ import annotations

import json
import re
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

sys.path.insert(0, str(Path(__file__).parent))

from on_phone import KEPT, Phone, PhoneThumb, phone
from typing_in import job_answers

from heaterapp.archive.desk_shapes import Item

pytestmark = pytest.mark.browser


@pytest.fixture
def here(
    served: Any, chromium: Browser, tmp_path: Path, cookies: dict[str, list[Any]]
) -> Iterator[tuple[Phone, Page]]:
    with phone(chromium, tmp_path / "profile", served.url) as one:
        page = one.at_the_list(cookies)
        yield one, page
        assert one.faults == []


def _whole(street: str) -> dict[str, Any]:
    return {**job_answers("gas_storage_us_ca"), "address_street": street}


def _take_along(page: Page, street: str) -> None:
    page.reload()
    page.locator("[data-office] li").filter(has_text=street).get_by_role("button", name="Take along").click()
    page.wait_for_url("**/job")
    expect(page.locator("[data-saved]")).to_have_text(KEPT)


def _sign(page: Page) -> None:
    page.goto(re.sub(r"(#/[0-9a-f-]+)/.*$", r"\1/review", page.url))
    expect(page.locator("[data-lead]")).to_have_text("Nothing to fix, nothing to answer.")
    PhoneThumb(page).sign()


def _issued(served: Any, street: str) -> list[dict[str, Any]]:
    store = served.store()
    firm = store.organisations.default().id
    found = [json.loads(store.records.get(firm, hit.record).job) for hit in store.find(firm, street).hits]
    store.close()
    return found


def _at_office(served: Any, job: str, changes: dict[str, Any]) -> None:
    store = served.store()
    store.jobs.save_answers(store.organisations.default().id, job, changes)
    store.close()


@pytest.mark.parametrize("side", ["here", "there"])
def test_two_devices_show_both_values_and_the_chosen_one_is_issued(
    served: Any, here: tuple[Phone, Page], side: str
) -> None:
    _, page = here
    street = f"9 {side.title()} Wharf"
    job = served.begun(_whole(street))
    _take_along(page, street)
    page.goto(re.sub(r"/job$", "/water/precharge_psi", page.url))
    page.locator("#q-precharge_psi").fill("61")
    expect(page.locator("[data-saved]")).to_have_text(KEPT)
    _at_office(served, job, {"precharge_psi": "59", "owner_name": "Noor Haddad"})
    _sign(page)
    row = page.locator("[data-waiting] li").filter(has_text=street)
    expect(row).to_contain_text("changed elsewhere")
    assert _issued(served, street) == []
    row.get_by_role("link", name="Choose the answers").click()
    fields = page.locator("[data-clashes] fieldset")
    expect(fields.filter(has_text="61 psi")).to_contain_text("59 psi")
    expect(fields.filter(has_text="Noor Haddad")).to_contain_text("Dana Whitlock")
    for place in range(fields.count()):
        fields.nth(place).locator(f'label:has(input[value="{side}"])').click()
    page.get_by_role("button", name="Use these answers").click()
    if side == "there":
        page.wait_for_url("**/review")
        expect(page.locator("[data-lead]")).not_to_have_text("Judging")
        PhoneThumb(page).sign()
    expect(page.locator("[data-sent]")).to_contain_text("C-")
    [issued] = _issued(served, street)
    assert issued["precharge_psi"] == ("61" if side == "here" else "59")
    assert issued["owner_name"] == ("Dana Whitlock" if side == "here" else "Noor Haddad")


def test_a_sign_in_that_ended_stops_the_sending_and_nothing_else(
    served_whole: Any, chromium: Browser, tmp_path: Path, whole_cookies: dict[str, list[Any]]
) -> None:
    with phone(chromium, tmp_path / "profile", served_whole.url) as one:
        page = one.at_the_list(whole_cookies)
        _send_signed_out(served_whole, one, page)
        assert one.faults == []


def _send_signed_out(served: Any, one: Phone, page: Page) -> None:
    street = "3 Ended Row"
    served.begun(_whole(street))
    _take_along(page, street)
    one.context.clear_cookies()
    page.goto(re.sub(r"/job$", "/water/precharge_psi", page.url))
    page.locator("#q-precharge_psi").fill("60")
    expect(page.locator("[data-saved]")).to_have_text(KEPT)
    page.goto("/phone/#/")
    page.wait_for_timeout(200)
    page.locator("[data-drafts] a.job-link").click()
    one.alone(page)
    _sign(page)
    row = page.locator("[data-waiting] li").filter(has_text=street)
    expect(row).to_contain_text("Sign in again to send this")
    one.sign_in(page)
    expect(page.locator("[data-sent]")).to_contain_text("C-")
    assert len(_issued(served, street)) == 1


def test_a_job_goes_to_another_phone_and_to_the_office_by_a_file(
    served: Any, here: tuple[Phone, Page], chromium: Browser, tmp_path: Path, cookies: dict[str, list[Any]]
) -> None:
    _, page = here
    street = "5 Paper Lane"
    served.begun(_whole(street))
    _take_along(page, street)
    page.goto("/phone/#/")
    with page.expect_download() as held:
        page.locator("[data-drafts] li").filter(has_text=street).get_by_role("button", name="Save to a file").click()
    saved = tmp_path / held.value.suggested_filename
    held.value.save_as(saved)
    assert "5-Paper-Lane" in saved.name
    with phone(chromium, tmp_path / "other", served.url) as other:
        second = other.at_the_list(cookies)
        second.set_input_files("[data-open-file]", saved)
        second.wait_for_url("**/review")
        expect(second.locator("[data-address]").first).to_contain_text(street)
        second.goto("/phone/#/")
        second.set_input_files("[data-open-file]", saved)
        expect(second.locator("[data-says]")).to_contain_text("on this phone already")
        saved.write_text(saved.read_text(encoding="utf-8")[:-40], encoding="utf-8")
        second.set_input_files("[data-open-file]", saved)
        expect(second.locator("[data-says]")).to_contain_text("cut off")


def test_a_second_visit_replaces_the_first_paper(served: Any, here: tuple[Phone, Page]) -> None:
    _, page = here
    street = "7 Twice Street"
    served.begun(_whole(street))
    _take_along(page, street)
    page.goto("/phone/#/")
    with page.expect_download() as held:
        page.locator("[data-drafts] li").filter(has_text=street).get_by_role("button", name="Save to a file").click()
    page.locator("[data-drafts] a.job-link").click()
    page.wait_for_url("**/job")
    _sign(page)
    expect(page.locator("[data-sent]")).to_contain_text("C-")
    again = json.loads(Path(held.value.path()).read_text(encoding="utf-8"))
    again["draft"]["id"] = "0f" + again["draft"]["id"][2:]
    again["draft"]["answers"]["owner_name"] = "Second Visit"
    page.set_input_files("[data-open-file]", {"name": "a.json", "mimeType": "application/json", "buffer": json.dumps(again).encode()})
    page.wait_for_url("**/review")
    _sign(page)
    row = page.locator("[data-waiting] li").filter(has_text=street)
    expect(row).to_contain_text("issued already")
    row.get_by_role("button", name="Keep as a second visit").click()
    page.wait_for_url("**/review")
    _sign(page)
    expect(page.locator("[data-sent] li")).to_have_count(2)
    found = _issued(served, street)
    assert sorted(one["owner_name"] for one in found) == ["Dana Whitlock", "Second Visit"]


def test_what_the_inspector_asked_for_stands_at_its_question_and_its_finding(
    served: Any, here: tuple[Phone, Page]
) -> None:
    _, page = here
    street = "5 Asked Street"
    job = served.begun({**_whole(street), "relief_trap": "yes"})
    store = served.store()
    firm, office = store.organisations.default().id, store.people.by_login(store.organisations.default().id, "june").id
    visit = store.inspections.book(firm, office, job, "2026-03-20", {})
    items = [Item("relief.pipe_no_trap", "Trap under the pan", "", ""), Item("", "Upper strap loose", "", "")]
    store.inspections.tell(firm, office, visit.id, 1, "failed", "2026-03-20", {}, items)
    store.close()
    _take_along(page, street)
    asked = page.get_by_role("region", name="What the inspector asked for")
    expect(asked.locator("li")).to_have_text(["Relief valve: pipe no trap: Trap under the pan", "Upper strap loose"])
    asked.get_by_role("link").click()
    page.wait_for_url("**/relief/relief_trap")
    expect(page.locator('[data-q="relief_trap"]')).to_contain_text("The inspector asked: Relief valve: pipe no trap")
    expect(page.locator("#q-relief_trap")).to_be_in_viewport()
    page.goto(re.sub(r"/relief/.*$", "/review", page.url))
    finding = page.locator('[id="check-relief.pipe_no_trap"]')
    expect(finding).to_contain_text("The inspector asked: Relief valve: pipe no trap")
    expect(asked.locator("li")).to_have_count(2)
