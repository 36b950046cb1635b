"""One job in two tabs, a job that is sent while somebody looks at it, half an answer: what is signed is what stands there."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

sys.path.insert(0, str(Path(__file__).parent))

from on_phone import KEPT
from phone_views import READY, draft, opened, quiet, show, signed
from test_phone_walk import kept
from typing_in import job_answers

pytestmark = pytest.mark.browser
UNFOLD = "document.querySelectorAll('main details').forEach((one) => { one.open = true; })"
LOOKS = "one => [getComputedStyle(one).borderTopStyle, getComputedStyle(one).backgroundColor]"
JUDGED = "() => !document.querySelector('.means[aria-busy]')"
SENT = """async (id) => { const { build } = await (await fetch("/phone/version.json")).json();
  const store = await import(`/phone/${build}/phone/store.js`); await store.remove("drafts", id); }"""


def typed(page: Page, text: str) -> None:
    """Type a pressure into the section that is open."""
    page.evaluate(UNFOLD)
    page.locator("#q-house_pressure_psi").fill(text)


def other_tab(page: Page, way: str) -> Page:
    other = page.context.new_page()
    quiet(other)
    other.goto("/phone/")
    other.wait_for_function(READY)
    show(other, way)
    return other


@pytest.mark.parametrize(("way", "says"), [("gas/sign", "[data-why]"), ("gas/review", "[data-lead]")])
def test_a_page_that_another_tab_went_past_signs_and_writes_nothing(person: Callable[..., Page], way: str, says: str) -> None:
    page = person("riley")
    opened(page, [draft("gas", job_answers("gas_storage_us_ca"))], [])
    show(page, way)
    other = other_tab(page, "gas/water")
    typed(other, "61")
    other.wait_for_function(JUDGED)
    expect(other.locator("[data-saved]")).to_have_text(KEPT)
    expect(page.locator(f"main {says}")).to_contain_text("This job was opened in another tab")
    expect(page.get_by_role("button", name="Sign, ready to send")).to_be_hidden()
    expect(page.locator("main [data-sign]")).to_be_hidden()
    one = kept(page)["gas"]
    assert (one["answers"]["house_pressure_psi"], one["parcel"]) == ("61", None)


def test_a_job_that_was_sent_meanwhile_does_not_come_back(person: Callable[..., Page]) -> None:
    page = person("riley")
    refused = {"problem": {"code": "fields", "says": "Look."}}
    opened(page, [signed("two", "2 Signed Street", "needs_you", **refused), draft("gas", job_answers("gas_storage_us_ca"))], [])
    show(page, "two/water")
    # The judgement of a page just opened is written too; a job sent before that is found gone before anything is typed.
    expect(page.locator("[data-saved]")).to_have_text(KEPT)
    page.wait_for_function(JUDGED)
    page.evaluate(SENT, "two")
    typed(page, "61")
    expect(page.locator("[data-saved]")).to_contain_text("This job was sent or removed meanwhile")
    expect(page.locator("[data-line]")).to_be_hidden()
    expect(page.locator("#q-house_pressure_psi")).to_be_disabled()
    show(page, "gas/sign")
    page.evaluate(SENT, "gas")
    page.locator('label:has(> input[name="consent"])').click()
    expect(page.locator("main [data-why]")).to_contain_text("Nothing was signed here")
    assert kept(page) == {}


@pytest.mark.parametrize(
    ("section", "name", "expected"),
    [("water", "house_pressure_psi", "a reason why it could not be measured"), ("place", "work_space_in", "both lengths")],
)
def test_of_half_an_answer_nothing_is_signed_by_the_whole_one_before(
    person: Callable[..., Page], section: str, name: str, expected: str
) -> None:
    page = person("riley")
    opened(page, [draft("gas", job_answers("gas_storage_us_ca"))], [])
    show(page, f"gas/{section}")
    page.evaluate(UNFOLD)
    box = page.locator(f'[data-q="{name}"]')
    if section == "water":
        box.locator('label:has(input[value="could_not_measure"])').click()
    else:
        box.locator(".boxes input").nth(1).fill("")
    page.wait_for_function(JUDGED)
    expect(box.locator(".error")).to_be_hidden()
    show(page, "gas/review")
    expect(page.locator("main [data-unread]")).to_be_visible()
    expect(page.locator("main [data-sign]")).to_be_hidden()
    show(page, "gas/sign")
    expect(page.locator("main [data-why]")).to_contain_text("something typed could not be read")
    show(page, f"gas/{section}")
    expect(box.locator(".error")).to_contain_text(f"expected {expected}")


GOOD = '"id":"x1","form":1,"made_at":"2026-01-01T00:00:00Z","changed_at":"2026-01-01T00:00:00Z"'
FILES = {
    "answers that are none": f'{{{GOOD},"answers":null}}',
    "photos that are a number": f'{{{GOOD},"answers":{{}},"photos":5}}',
    "a photo that is none": f'{{{GOOD},"answers":{{}},"photos":[null]}}',
    "a day that is none": f'{{{GOOD[:-22]}"soon","answers":{{}}}}',
    "an id with a way in it": f'{{{GOOD.replace("x1", "../x")},"answers":{{}}}}',
    "a place that is an object": f'{{{GOOD},"answers":{{}},"at":{{}}}}',
}


def test_a_file_that_is_no_whole_job_is_refused_and_the_list_lives(person: Callable[..., Page]) -> None:
    page = person("riley")
    opened(page, [draft("gas", job_answers("gas_storage_us_ca"))], [])
    for job in FILES.values():
        text = f'{{"heaterapp_job_file":1,"photos":[],"draft":{job}}}'
        page.locator("[data-open-file]").set_input_files({"name": "a.json", "mimeType": "application/json", "buffer": text.encode()})
        expect(page.locator("main [data-says]")).to_have_text("This file is no whole job. Nothing was taken from it.")
        page.reload()
        page.wait_for_function(READY)
        expect(page.locator("[data-drafts] li")).to_have_count(1)
    text = f'{{"heaterapp_job_file":1,"photos":[{{"a":1}}],"draft":{{{GOOD},"answers":{{}}}}}}'
    page.locator("[data-open-file]").set_input_files({"name": "a.json", "mimeType": "application/json", "buffer": text.encode()})
    expect(page.locator("main [data-says]")).to_have_text("This file is no whole job. Nothing was taken from it.")
    assert set(kept(page)) == {"gas"}


def test_a_tab_comes_free_by_itself_and_shows_what_is_kept(person: Callable[..., Page]) -> None:
    page = person("riley")
    opened(page, [draft("gas", job_answers("gas_storage_us_ca"))], [])
    show(page, "gas/water")
    box = page.locator("#q-house_pressure_psi")
    free = box.evaluate(LOOKS)
    for leave in ("list", "close"):
        other = other_tab(page, "gas/water")
        expect(page.locator("main [data-saved]")).to_contain_text("opened in another tab")
        for theme in ("light", "dark", "glare"):
            page.evaluate("theme => { document.documentElement.dataset.theme = theme; }", theme)
            locked = box.evaluate(LOOKS)
            assert locked[0] == "dashed"
            assert locked[1] != page.evaluate("getComputedStyle(document.body).backgroundColor")
        page.evaluate("delete document.documentElement.dataset.theme")
        pressure = {"list": "61", "close": "62"}[leave]
        typed(other, pressure)
        other.wait_for_function(JUDGED)
        expect(other.locator("main [data-saved]")).to_have_text(KEPT)
        if leave == "list":
            show(other, "")
        else:
            other.close()
        expect(box).to_be_enabled()
        expect(box).to_have_value(pressure)
        assert box.evaluate(LOOKS) == free


def test_locked_pictures_look_locked(person: Callable[..., Page]) -> None:
    page = person("riley")
    opened(page, [draft("gas", job_answers("gas_storage_us_ca"))], [])
    show(page, "gas/photos")
    take = page.locator(".phone-file:has([data-take-file])").first
    assert take.evaluate(LOOKS)[0] == "solid"
    other = other_tab(page, "gas/photos")
    for theme in ("light", "dark", "glare"):
        page.evaluate("theme => { document.documentElement.dataset.theme = theme; }", theme)
        expect(take).to_have_css("border-top-style", "dashed")
    other.close()
    expect(take).to_have_css("border-top-style", "solid")
