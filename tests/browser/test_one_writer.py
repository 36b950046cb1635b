"""A job on the phone is written from several places: none of them writes an older word over a newer one."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, Route, expect

from tests.browser.in_one_page import row, run
from tests.browser.outbox_page import BEGIN, CLEAR, good, keep
from tests.browser.phone_views import draft, opened, quiet, signed
from tests.browser.photographing import at_photos, camera, item_of, picture
from tests.browser.typing_in import job_answers

pytestmark = pytest.mark.browser
SLOW = """() => {
  const at_once = createImageBitmap;
  window.createImageBitmap = async (...given) => {
    await new Promise((done) => setTimeout(done, 1500));
    return at_once(...given);
  };
}"""
TRIED = """const one = await store.get("drafts", "gas");
  await store.put("drafts", { ...one, state: given });
  new BroadcastChannel("heaterapp-outbox").postMessage("changed");"""
SIGN = """() => {
  const { elements } = document.querySelector("#main form");
  elements.consent.checked = true;
  elements.homeowner.value = "not_home";
  document.querySelector("#main form").requestSubmit();
}"""
PRESSURE = "house_pressure_psi"
TYPE = """([name, value]) => {
  const all = [...document.getElementsByName(name)];
  const one = all.find((other) => other.type === "radio" && other.value === value) ?? all[0];
  if (one.type === "radio") one.checked = true;
  else one.value = value;
  one.dispatchEvent(new Event("input", { bubbles: true }));
}"""


def held_back(page: Page, what: str) -> Callable[[], None]:
    """Verdicts of this kind do not come until what is returned is called."""
    waiting: list[Route] = []
    open_now: list[bool] = []

    def hold(route: Route) -> None:
        if not open_now and f'"do":"{what}"' in (route.request.post_data or ""):
            waiting.append(route)
        else:
            route.continue_()

    def release() -> None:
        open_now.append(True)
        with page.expect_response("**/phone/api/judge"):
            for route in waiting:
                route.continue_()
        page.wait_for_timeout(300)

    page.route("**/phone/api/judge", hold)
    return release


def typed(page: Page, name: str, value: str) -> None:
    """What a person types, wherever the question stands folded."""
    page.evaluate(TYPE, [name, value])


def at_section(page: Page, section: str, job: str = "gas") -> None:
    page.goto(f"/phone/#/{job}/{section}")
    page.wait_for_selector(f"form[data-section={section}][data-job={job}]")


@pytest.fixture
def page(person: Any) -> Page:
    made: Page = person()
    # One that waits for a person: what is sent by itself is written while a test looks at it.
    waits = signed("ready", "1 Ready Road", "needs_you", problem={"code": "clashes", "says": "Look."})
    opened(made, [draft("gas", job_answers("gas_storage_us_ca")), waits], [])
    return made


def test_a_job_that_was_sent_is_not_written_again(page: Page) -> None:
    said = run(
        page,
        """const held = await store.get("drafts", given);
        const words = [];
        const keeper = drafts.saver(held, (text) => words.push(text), () => words.push("gone"));
        await store.remove("drafts", given);
        await keeper.touch();
        return [await store.get("drafts", given) ?? null, words];""",
        "ready",
    )
    assert said == [None, ["gone"]]


def test_a_view_writes_nothing_over_the_sending_nor_over_new_photos(page: Page) -> None:
    left = run(
        page,
        """const held = await store.get("drafts", given);
        const keeper = drafts.saver(held, () => {});
        const newer = { ...structuredClone(held), state: "sending", tries: 4, photos: [{ id: "p" }], problem: { code: "retry" } };
        await store.put("drafts", newer);
        held.at = "water";
        await keeper.touch();
        return store.get("drafts", given);""",
        "ready",
    )
    assert (left["state"], left["tries"], left["photos"], left["problem"], left["at"]) == (
        "sending", 4, [{"id": "p"}], {"code": "retry"}, "water",
    )  # fmt: skip


def test_an_answer_changed_while_the_number_comes_is_kept_and_said(page: Page) -> None:
    page.goto("/phone/version.json")
    page.evaluate(BEGIN)
    page.evaluate(CLEAR)
    one = keep(page)
    answers = {"account": [{"status": 200, "told": {"now": "2026-11-26T12:00:00Z"}}], "parcels": [good(one)]}
    (left,) = page.evaluate(
        """async (answers) => {
          let gets = 0;
          const late = { ...store, get: async (shelf, key) => {
            const found = await store.get(shelf, key);
            if (shelf === "drafts" && ++gets === 2) {
              await store.put("drafts", { ...found, parcel: null, parcel_sha256: null, state: "draft", answers: { room: "garage" } });
            }
            return found;
          } };
          const { box } = opened(answers, { store: late });
          await box.sendAll();
          box.stop();
          return store.all("drafts");
        }""",
        answers,
    )
    assert left["answers"] == {"room": "garage"}
    assert left["parcel"] is None
    assert left["problem"]["code"] == "issued_already"


def test_a_verdict_that_comes_late_writes_nothing_over_another_tab(page: Page) -> None:
    release = held_back(page, "told")
    at_section(page, "water")
    typed(page, PRESSURE, "61")
    other = page.context.new_page()
    quiet(other)
    at_section(other, "water")
    expect(page.locator("[data-saved]")).to_contain_text("opened in another tab")
    typed(other, PRESSURE, "72")
    expect(other.locator("[data-saved]")).to_contain_text("saved on this phone")
    other.wait_for_function("() => !document.querySelector('[aria-busy]')")
    other.close()
    release()
    assert row(page)["answers"]["house_pressure_psi"] == "72"


def test_what_is_filled_in_late_is_no_part_of_the_next_section(page: Page) -> None:
    release = held_back(page, "usual")
    run(
        page,
        "const one = await store.get('drafts', 'gas'); delete one.answers.city_psi; await store.put('drafts', one);",
    )
    at_section(page, "water")
    page.evaluate("document.querySelector('[data-usual-button]').click()")
    page.wait_for_timeout(200)
    at_section(page, "job")
    typed(page, "address_street", "14 N. Oak Ave")
    page.wait_for_function("() => !document.querySelector('[aria-busy]')")
    release()
    assert row(page)["answers"]["address_street"] == "14 N. Oak Ave"


def test_what_is_typed_while_the_usual_is_filled_in_stands_beside_it(page: Page) -> None:
    bare = {
        name: job_answers("gas_storage_us_ca")[name]
        for name in ("heater_kind", "job_kind", "place", "storage_gal")
    }
    run(page, "await store.put('drafts', given);", draft("gas", bare))
    at_section(page, "water")
    page.wait_for_function("() => !document.querySelector('[aria-busy]')")
    release = held_back(page, "usual")
    page.evaluate("document.querySelector('[data-usual-button]').click()")
    typed(page, PRESSURE, "66")
    page.wait_for_timeout(600)
    release()
    page.wait_for_function("() => !document.querySelector('[aria-busy]')")
    kept = row(page)
    assert kept["answers"]["house_pressure_psi"] == "66"
    assert kept["answers"]["accepted_as_usual"]


def test_what_cannot_be_judged_bears_no_earlier_verdict(page: Page) -> None:
    at_section(page, "water")
    said = page.locator('[data-q="house_pressure_psi"] [data-said]')
    expect(said).not_to_be_empty()
    page.route("**/phone/api/judge", lambda route: route.abort())
    typed(page, PRESSURE, "140")
    expect(page.locator("[data-section-html]")).to_contain_text("Not judged yet")
    expect(said).to_be_empty()
    expect(page.locator('[data-count="fix"]').first).to_have_text("?")


def test_a_job_begun_before_anybody_signed_in_is_the_signers_to_send(page: Page) -> None:
    page.goto("/phone/#/gas/sign")
    page.get_by_role("button", name="Sign", exact=False).first.wait_for()
    page.evaluate(SIGN)
    page.wait_for_function("() => location.hash.length < 3")
    kept = json.loads(row(page)["parcel"])
    who = run(page, "return (await (await fetch('/phone/api/account')).json()).person;")
    assert kept["person"] == who["id"]


def test_a_picture_is_written_into_the_job_as_it_stands_now_and_once_a_try_to_send_it_is_over(page: Page) -> None:
    run(page, TRIED, "sending")
    at_photos(page, "gas")
    take = item_of(page, "Data plate").locator("[data-take-file]")
    expect(take).to_be_disabled()
    expect(page.get_by_text("This job is on its way, and its pictures cannot be changed now.")).to_be_visible()
    page.evaluate("scrollTo(0, 240)")
    run(page, TRIED, "retry")
    expect(take).to_be_enabled()
    expect(page.get_by_text("This job is on its way")).to_have_count(0)
    assert page.evaluate("scrollY") > 180, "where one was"
    run(
        page,
        "const one = await store.get('drafts', 'gas'); one.answers.house_pressure_psi = '71'; await store.put('drafts', one);",
    )
    camera(page, "Data plate").set_files(picture(1))
    expect(page.locator(".phone-shot")).to_have_count(1)
    kept = row(page)
    assert (kept["answers"]["house_pressure_psi"], len(kept["photos"])) == ("71", 1)


def test_a_picture_that_is_being_made_small_is_kept_before_one_leaves(page: Page) -> None:
    at_photos(page, "gas")
    page.evaluate(SLOW)
    camera(page, "Data plate").set_files(picture(1))
    expect(page.get_by_text("Keeping the picture")).to_be_visible()
    page.get_by_role("link", name="Back to the review").click()
    expect(page.get_by_role("heading", name="Review")).to_be_visible()
    assert len(row(page)["photos"]) == 1


@pytest.mark.parametrize(
    ("problem", "seen"),
    [
        ({"code": "issued_already"}, {}),
        ({"code": "issued_already", "own": True}, {"room": "attic"}),
        ({"code": "other_content"}, {"room": "attic"}),
    ],
)
def test_a_second_visit_takes_as_seen_only_what_this_phone_sent(
    page: Page, problem: dict[str, Any], seen: dict[str, Any]
) -> None:
    run(
        page,
        "await store.put('drafts', given);",
        signed("two", "2 Signed Street", "needs_you", problem={"says": "Issued.", **problem}),
    )
    told = {"id": "two", "answers": {"room": "attic"}, "revision": 2, "state": "draft"}
    page.route("**/phone/api/jobs/two/again", lambda route: route.fulfill(json=told))
    page.goto("/phone/#/")
    page.reload()
    page.get_by_role("button", name="Keep as a second visit").click()
    page.wait_for_url("**/review")
    (base,) = run(
        page, "return (await store.all('drafts')).filter((one) => one.job === 'two').map((one) => one.base);"
    )
    assert base == {"revision": 2, "answers": seen}


def test_what_a_verdict_came_to_is_kept_by_one_who_leaves_before_it_is_painted(page: Page) -> None:
    at_section(page, "water")
    expect(page.locator(".means[aria-busy]")).to_have_count(0)
    page.wait_for_timeout(300)
    page.evaluate("() => { window.requestAnimationFrame = () => 0; }")
    with page.expect_response("**/phone/api/judge"):
        typed(page, PRESSURE, "61")
    expect(page.locator(".means[aria-busy]")).to_have_count(0)
    page.evaluate("() => { location.hash = '/'; }")
    page.locator("[data-drafts]").wait_for()
    kept = row(page)
    assert (kept["answers"][PRESSURE], kept["typed"]) == ("61", {})
