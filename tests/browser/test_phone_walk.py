"""Walking about on the phone's pages: nothing is lost or done twice, and what is wrong is said where one can mend it."""

from __future__ import annotations

import re
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

sys.path.insert(0, str(Path(__file__).parent))

from on_phone import KEPT
from pad_turns import INKED, signing, turned
from phone_views import READY, draft, opened, show, signed
from photographing import until
from typing_in import job_answers

pytestmark = pytest.mark.browser
FOCUS = "document.activeElement.id"
DRAFTS = """async () => { const base = await new Promise((done) => { const asked = indexedDB.open("heaterapp"); asked.onsuccess = () => done(asked.result); });
  const rows = await new Promise((done) => { const asked = base.transaction("drafts").objectStore("drafts").getAll(); asked.onsuccess = () => done(asked.result); });
  base.close(); return rows; }"""


def kept(page: Page) -> dict[str, dict[str, Any]]:
    """The jobs on the phone by their ids."""
    return {one["id"]: one for one in page.evaluate(DRAFTS)}


def test_what_a_new_job_lacks_is_said_above_with_a_way_to_it(person: Callable[..., Page]) -> None:
    page = person("riley")
    opened(page, [])
    show(page, "new")
    page.locator("#place").select_option("")
    page.get_by_role("button", name="Start").click()
    summary = page.locator(".error-summary")
    expect(summary).to_be_focused()
    assert page.title() == "Error: New job"
    assert summary.locator("a").all_inner_texts() == ["Kind of heater: choose one", "Adopted codes: choose one"]
    for words, place in (("Adopted codes", "place"), ("Kind of heater", "heater_kind")):
        summary.get_by_role("link", name=words).click()
        assert page.evaluate(FOCUS) == place
        assert page.url.endswith("#/new")
    page.locator("#address_street").fill("5 Kept Lane")
    page.locator('label:has(> input[value="gas_storage"])').click()
    page.get_by_role("button", name="Start").click()
    assert summary.locator("a").all_inner_texts() == ["Adopted codes: choose one"]
    assert page.locator("#address_street").input_value() == "5 Kept Lane"
    page.locator("#place").select_option("us_ca_2022")
    page.evaluate("const start = document.querySelector('main button[type=submit]'); start.click(); start.click(); start.click();")
    expect(page).to_have_title("Job, 5 Kept Lane")
    assert page.url.endswith("/job")
    page.wait_for_timeout(300)
    assert len(kept(page)) == 1


def test_what_a_signature_lacks_is_said_above_and_two_taps_sign_once(person: Callable[..., Page]) -> None:
    page = person("riley")
    opened(page, [draft("gas", job_answers("gas_storage_us_ca"))], [])
    show(page, "gas/sign")
    expect(page.locator("h1")).to_have_text("Sign the certificate")
    page.locator("#sign-name").fill(" ")
    page.get_by_role("button", name="Sign, ready to send").click()
    summary = page.locator(".error-summary")
    expect(summary).to_be_focused()
    assert page.title().startswith("Error: Sign, ")
    wanted = {"Type your name.": "sign-name", "Tick that you sign electronically.": "consent", "Say whether the homeowner signs.": "homeowner"}
    assert summary.locator("a").all_inner_texts() == list(wanted)
    for words, place in wanted.items():
        summary.get_by_role("link", name=words).click()
        assert page.evaluate(FOCUS) == place
        assert page.locator(f"#{place}-fault").inner_text() == words
    page.locator("#sign-name").fill("Riley Okafor")
    expect(page.locator("#sign-name-fault")).to_be_hidden()
    assert page.locator("#sign-name").get_attribute("aria-invalid") == "false"
    assert summary.locator("a").all_inner_texts() == list(wanted)[1:]
    page.locator('label:has(> input[name="consent"])').click()
    page.locator('label:has(> input[value="not_home"])').click()
    expect(summary).to_have_count(0)
    assert page.title().startswith("Sign, ")
    page.evaluate("const sign = document.querySelector('main button[type=submit]'); sign.click(); sign.click();")
    expect(page.locator("[data-waiting]")).to_contain_text("12 N. Oak Ave")
    assert [len(one["signatures"]) for one in kept(page).values()] == [2]


def test_a_job_that_cannot_be_signed_says_so(person: Callable[..., Page]) -> None:
    page = person("riley")
    opened(page, [draft("bare", {"address_street": "1 Unready Row"})], [])
    show(page, "bare/sign")
    expect(page.locator("[data-why]")).to_contain_text("It cannot be signed now")
    expect(page.locator("main form")).to_be_hidden()
    page.get_by_role("link", name="Back to the review").click()
    expect(page.locator("[data-follows]")).to_have_text("It can be signed once all of this is answered.")
    page.locator("#answer ~ ul").get_by_role("link", name="Serial number").click()
    page.wait_for_url("**/plate/heater_serial")
    expect(page.locator("#q-heater_serial")).to_be_focused()


def test_a_job_is_removed_only_by_two_different_taps(person: Callable[..., Page]) -> None:
    page = person("riley")
    opened(page, [draft("one", {"address_street": "1 Kept Row"}), signed("two", "2 Signed Street", "needs_you", problem={"code": "fields", "says": "Look."})], [])
    for row, sure in (("1 Kept Row", "Remove it for good"), ("2 Signed Street", "It was not sent. Remove it for good")):
        line = page.locator(".phone-job", has_text=row)
        place = line.get_by_role("button", name="Remove", exact=True).bounding_box()
        x, y = place["x"] + 10, place["y"] + place["height"] / 2
        page.mouse.dblclick(x, y)
        page.mouse.dblclick(x, y)
        expect(line).to_be_visible()
        line.get_by_role("button", name="Remove", exact=True).click()
        expect(line.get_by_role("button", name="Keep it")).to_be_focused()
        line.get_by_role("button", name=sure).click()
        expect(line).to_have_count(0)
    assert kept(page) == {}


def test_looking_at_a_signed_job_writes_nothing_over_its_sending_and_tells_why_it_was_refused(person: Callable[..., Page]) -> None:
    page = person("riley")
    day = job_answers("gas_storage_us_ca")["work_date"]
    refused = {"code": "fields", "says": "Still to come. Mend it.", "fields": {"work_date": "Still to come."}, "refused": {"work_date": day}}
    opened(page, [signed("two", "2 Signed Street", "needs_you", problem=refused)], [])
    before = kept(page)["two"]
    show(page, "two/review")
    expect(page.locator("[data-signed]")).to_be_visible()
    expect(page.locator("[data-lead]")).to_have_text("Nothing to fix, nothing to answer.")
    expect(page.locator("main > * [data-refused]")).to_have_text("Still to come. Mend it.")
    assert kept(page)["two"] == before
    show(page, "two/job/work_date")
    said = page.locator('[data-q="work_date"] [data-refused]')
    expect(said).to_have_text("Still to come.")
    page.locator("#q-work_date").fill("2020-02-03")
    expect(said).to_have_count(0)
    show(page, "two/review")
    expect(page.locator("[data-refused]")).to_be_hidden()


def test_going_back_and_opening_again_keep_what_was_typed_and_where_one_was(person: Callable[..., Page]) -> None:
    page = person("riley")
    opened(page, [draft("gas", {**job_answers("gas_storage_us_ca"), "house_pressure_psi": None})], [])
    show(page, "gas/job")
    show(page, "gas/water")
    page.evaluate("document.querySelectorAll('main details').forEach((one) => { one.open = true; })")
    page.locator("#q-house_pressure_psi").fill("nearly 60")
    page.go_back()
    page.wait_for_url("**/job")
    page.go_forward()
    page.wait_for_url("**/water")
    expect(page.locator("#q-house_pressure_psi")).to_have_value("nearly 60")
    expect(page.locator("[data-saved]")).to_have_text(KEPT)
    for way in ("gas/water", "gas/review", "gas/sign", "new"):
        show(page, way)
        title = page.title()
        page.reload()
        page.wait_for_function(READY)
        assert page.url.endswith(f"#/{way}")
        assert page.title() == title
    show(page, "gas/water")
    expect(page.locator("#q-house_pressure_psi")).to_have_value("nearly 60")


def test_the_review_is_printed_as_not_issued(person: Callable[..., Page]) -> None:
    page = person("riley", 1280)
    opened(page, [draft("fix", job_answers("gas_storage_to_fix"))], [])
    show(page, "fix/review")
    page.evaluate("window.print = () => { window.printed = true; }")
    page.get_by_role("button", name="Print as it stands, not issued").click()
    assert page.evaluate("window.printed")
    page.evaluate("dispatchEvent(new Event('beforeprint'))")
    page.emulate_media(media="print")
    expect(page.locator("main .only-print")).to_have_text(re.compile(r"^Not issued yet\..* Printed .*20\d\d.*\.$"))
    expect(page.locator("main .only-print")).to_be_visible()
    for away in ('[data-to="photos"]', "[data-strip]", "[data-print]", ".ways-fold", "nav.ways", ".act"):
        for one in page.locator(f"body {away}").all():
            expect(one).to_be_hidden()
    expect(page.locator("#fix")).to_be_visible()
    page.emulate_media(media="screen")
    expect(page.locator("main .only-print")).to_be_hidden()


def test_what_cannot_be_read_is_named_in_the_review_with_a_way_to_it(person: Callable[..., Page]) -> None:
    page = person("riley")
    typed = {"typed": {"house_pressure_psi": "sixty"}, "boxes": {"house_pressure_psi": {"": "sixty"}}}
    opened(page, [draft("gas", job_answers("gas_storage_us_ca"), **typed)], [])
    show(page, "gas/review")
    expect(page.locator("a[data-sign]")).to_be_hidden()
    page.locator("[data-unread]").get_by_role("link", name="House pressure").click()
    page.wait_for_url("**/water/house_pressure_psi")
    expect(page.locator("#q-house_pressure_psi")).to_be_focused()


def test_a_job_that_waits_a_day_is_loud_once_on_every_view(person: Callable[..., Page]) -> None:
    page = person("riley")
    opened(page, [draft("gas", job_answers("gas_storage_us_ca")), signed("late", "77 Late Lane", "needs_you", 30, problem={"code": "fields", "says": "Look."})], [])
    line, loud = page.locator("[data-line]"), page.locator("[data-loud]")
    expect(loud).to_contain_text("A signed job has waited 1 day")
    expect(line).to_be_hidden()
    for way in ("gas/water", "gas/review"):
        show(page, way)
        expect(line).to_contain_text("A signed job has waited 1 day")
    show(page, "")
    expect(loud).to_be_visible()
    expect(line).to_be_hidden()


def test_turning_the_phone_loses_no_stroke_of_a_signature(person: Callable[..., Page]) -> None:
    page = person("riley")
    signing(page)
    drawn, there, tenths = turned(page, 60)
    assert drawn >= 4
    assert there == drawn
    assert {0, 9} <= set(tenths), "a stroke near an edge is out of sight"
    page.reload()
    page.wait_for_function(READY)
    page.locator('[data-pad="installer"] canvas').wait_for()
    page.wait_for_timeout(300)
    assert {0, 9} <= set(page.evaluate(INKED))


def test_what_has_not_changed_is_not_said_again(person: Callable[..., Page]) -> None:
    page = person("riley")
    opened(page, [draft("gas", job_answers("gas_storage_us_ca"))], [])
    show(page, "gas/job")
    page.evaluate("document.querySelectorAll('main details').forEach((one) => { one.open = true; })")
    expect(page.locator("[data-saved]")).to_have_text(KEPT)
    page.evaluate("""() => { window.said = [];
      const hear = new MutationObserver((all) => window.said.push(...all.map(() => document.querySelector("[data-saved]").textContent)));
      for (const one of document.querySelectorAll("[data-saved], .strip-counts")) hear.observe(one, { childList: true, characterData: true, subtree: true }); }""")
    page.locator("#q-owner_name").press_sequentially("Dana Whitlock")
    page.wait_for_function("() => !document.querySelector('.means[aria-busy]')")
    page.wait_for_timeout(500)
    # The minute may turn while one types.
    assert len(page.evaluate("said")) <= 1, page.evaluate("said")
    assert kept(page)["gas"]["answers"]["owner_name"].endswith("Dana Whitlock")


def test_the_review_says_how_many_pictures_are_still_wanted(person: Callable[..., Page]) -> None:
    page = person("riley")
    gas = job_answers("gas_storage_us_ca")
    photo = {"id": "p", "sha256": "0" * 64, "kind": "old_plate", "note": "", "chosen": False}
    opened(page, [draft("none", gas), draft("one", gas, photos=[photo])], [])
    show(page, "none/review")
    line = page.locator("main [data-photos]")
    expect(line).to_have_text(re.compile(r"^none yet, (\d+) still wanted$"))
    wanted = int(re.findall(r"\d+", line.inner_text())[0])
    show(page, "one/review")
    expect(line).to_have_text(f"1 taken, {wanted - 1} still wanted")
    page.get_by_role("link", name="Take or choose photos").click()
    expect(page).to_have_title(re.compile("^Photos, "))


def test_one_signed_job_has_one_way_to_send_it(person: Callable[..., Page]) -> None:
    page = person("riley")
    refused = {"problem": {"code": "issued_already", "says": "This job was issued already, as C-000041.", "number": "C-000041"}}
    opened(page, [signed("one", "1 Sent Street", "needs_you", **refused)], [])
    again = page.get_by_role("button", name=re.compile("^Send"))
    expect(again).to_have_text("Send it now")
    page.route("**/again", lambda route: route.fulfill(status=409, json={"error": "It was erased."}))
    page.get_by_role("button", name="Keep as a second visit").click()
    expect(page.locator("main [data-says]")).to_have_text("It was not opened again: It was erased. What stands on this phone is kept.")


def test_what_was_not_measured_is_not_said_to_be_and_sides_make_a_volume(person: Callable[..., Page]) -> None:
    page = person("riley")
    answers = {**job_answers("gas_storage_us_ca"), "house_pressure_psi": None, "air_source": "room", "room_volume_ft3": None}
    opened(page, [draft("gas", answers)], [])
    show(page, "gas/water/house_pressure_psi")
    question = page.locator('[data-q="house_pressure_psi"]')
    question.locator(".excuse > summary").click()
    expect(question.locator(".excuse").get_by_role("radio", checked=True)).to_have_count(0)
    page.locator("#q-house_pressure_psi").fill("64")
    expect(question.get_by_label("Measured", exact=True)).to_be_checked()
    page.locator("#q-house_pressure_psi").fill("")
    question.locator("label", has_text="Could not measure").click()
    question.locator(".why-not input").fill("no hose tap")
    until(lambda: kept(page)["gas"]["answers"].get("house_pressure_psi") == {"could_not_measure": "no hose tap"})
    show(page, "gas/vent/room_volume_ft3")
    box = page.locator("#q-room_volume_ft3")
    box.fill("20x20x8")
    # Judged while one is still in it, the box waits until it is left.
    page.wait_for_function("() => !document.querySelector('.means[aria-busy]')")
    expect(box).to_have_value("20x20x8")
    box.blur()
    expect(box).to_have_value("3,200")
    box.fill("10x10x8")
    box.blur()
    expect(box).to_have_value("800")
    until(lambda: kept(page)["gas"]["answers"].get("room_volume_ft3") == "800")
