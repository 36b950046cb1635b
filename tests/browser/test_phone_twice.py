"""A tap twice, a choice after the signature is gone, a name from elsewhere: each ends in one job that can be sent."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

sys.path.insert(0, str(Path(__file__).parent))

from phone_views import CLASHES, draft, opened, show, signed
from test_phone_walk import kept
from typing_in import job_answers

pytestmark = pytest.mark.browser
TWICE = "(button) => { button.click(); button.click(); }"


def test_two_taps_take_a_job_along_once(person: Callable[..., Page], served: Any) -> None:
    street = "3 Twice Taken Lane"
    job = served.begun({**job_answers("gas_storage_us_ca"), "address_street": street})
    page = person("riley")
    opened(page, [], [])
    page.locator("[data-office] li", has_text=street).get_by_role("button").evaluate(TWICE)
    page.wait_for_url("**/job")
    page.wait_for_timeout(500)
    assert [one["job"] for one in kept(page).values()] == [job]


def test_two_taps_make_one_second_visit(person: Callable[..., Page]) -> None:
    page = person("riley")
    problem = {"code": "issued_already", "says": "It was issued as C-000041."}
    opened(page, [signed("two", "2 Signed Street", "needs_you", problem=problem)], [])
    told = {"id": "two", "answers": {}, "revision": 2, "state": "draft"}
    page.route("**/phone/api/jobs/two/again", lambda route: route.fulfill(json=told))
    page.get_by_role("button", name="Keep as a second visit").evaluate(TWICE)
    page.wait_for_url("**/review")
    page.wait_for_timeout(500)
    assert [one["job"] for one in kept(page).values()] == ["two"]


def test_a_choice_between_two_answers_makes_no_signature_where_there_is_none(person: Callable[..., Page]) -> None:
    page = person("riley")
    answers = job_answers("gas_storage_us_ca")
    problem = {"code": "clashes", "says": "Choose.", "clashes": CLASHES, "there_answers": {**answers, "house_pressure_psi": "58"}, "revision": 3}
    pictures = {"code": "photo", "says": "One photo.", "photos": [{"sha256": "0" * 64, "kind": "plate", "says": "None."}]}
    opened(page, [draft("gas", answers, problem=problem), draft("shot", answers, problem=pictures)], [])
    expect(page.get_by_role("button", name="Send without plate")).to_have_count(0)
    show(page, "gas/clash")
    for name in CLASHES:
        page.locator(f'main label:has(> input[name="clash-{name}"][value="here"])').click()
    page.locator("main [data-done]").click()
    page.wait_for_url("**/gas/review")
    one = kept(page)["gas"]
    assert (one["state"], one["parcel"], one["base"]["revision"]) == ("draft", None, 3)
    expect(page.locator("main [data-sign]")).to_be_visible()


def test_a_name_pasted_from_elsewhere_is_signed_as_the_server_keeps_a_line(person: Callable[..., Page]) -> None:
    page = person("riley")
    opened(page, [draft("gas", job_answers("gas_storage_us_ca"))], [])
    show(page, "gas/sign")
    page.locator("#sign-name").fill("\u200eRiley\u00a0\u200bOkafor\u2028")
    page.locator('label:has(> input[name="consent"])').click()
    page.locator('label:has(> input[name="homeowner"][value="not_home"])').click()
    page.get_by_role("button", name="Sign, ready to send").click()
    page.wait_for_url("**/phone/#/")
    assert json.loads(kept(page)["gas"]["parcel"])["signatures"][0]["name"] == "Riley Okafor"


def test_an_answer_to_a_question_that_is_no_more_holds_no_signed_job_back(person: Callable[..., Page]) -> None:
    page = person("riley")
    answers = job_answers("gas_storage_us_ca")
    opened(page, [draft("gas", {**answers, "flue_colour": "teal"})], [])
    show(page, "gas/sign")
    page.locator('label:has(> input[name="consent"])').click()
    page.locator('label:has(> input[name="homeowner"][value="not_home"])').click()
    page.get_by_role("button", name="Sign, ready to send").click()
    page.wait_for_url("**/phone/#/")
    one = kept(page)["gas"]
    assert "flue_colour" not in json.loads(one["parcel"])["answers"]
    assert one["answers"]["flue_colour"] == "teal"
