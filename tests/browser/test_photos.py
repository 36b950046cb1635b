"""Photos of a job on a phone: taken, kept, named, put on the paper, taken out again; nothing lost when room is short."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser.photo_kills import kills
from tests.browser.photographing import (
    at_photos,
    begun,
    camera,
    devtools,
    input_of,
    item_of,
    kept,
    picture,
    until,
)
from tests.browser.typing_in import axe_faults

pytestmark = pytest.mark.browser
ROOM = 450_000
"""Bytes: for what a job begins with and one picture, and not for a larger one."""
_STORE = """const { build } = JSON.parse(document.getElementById("settings").textContent);
  const store = await import(`/phone/${build}/phone/store.js`);"""
_REMOVE = f"""async (id) => {{ {_STORE} await store.remove("drafts", id); }}"""
_SEND = f"""async (id) => {{ {_STORE}
  const [photo] = await store.photosOf(id);
  const {{ csrf }} = await (await fetch("/phone/api/account")).json();
  const headers = {{ "X-CSRFToken": csrf, "Content-Type": photo.type }};
  const answer = await fetch(`/phone/api/photos/${{photo.sha256}}`, {{ method: "PUT", headers, body: photo.bytes }});
  return {{ status: answer.status, told: await answer.json() }};
}}"""


@pytest.fixture
def job(person: Any) -> tuple[Page, str]:
    # Keeping the pages costs as much as opening them, and is tried elsewhere.
    page = person(service_workers="block")
    made = begun(page)
    at_photos(page, made)
    return page, made


def test_a_picture_is_kept_before_it_is_said_to_be(job: tuple[Page, str]) -> None:
    page, made = job
    expect(page.locator("[data-tally]")).to_have_text(re.compile(r"^0 pictures .* Still wanted: (\d+) of \1\."))
    camera(page, "Data plate").set_files(picture(1))
    expect(page.locator("[data-saved]")).to_contain_text("saved on this phone")
    draft, rows = kept(page, made)
    (photo,), (row,) = draft["photos"], rows
    assert row["id"] == photo["id"]
    assert row["true_sum"] == row["sha256"] == photo["sha256"]
    assert row["bytes"] == photo["size"] > 10_000
    assert (photo["kind"], photo["note"], photo["chosen"], photo["width"], photo["height"]) == ("plate", "", False, 640, 480)
    assert len(photo["taken_at"]) == len("2026-11-26T09:14:07Z")
    assert draft["camera"] is None
    until(lambda: page.evaluate("document.querySelector('.phone-shot img').naturalWidth") == 640)
    expect(page.locator("[data-tally]")).to_have_text(re.compile(r"Still wanted: 11 of 12\."))
    expect(page.get_by_role("button", name="Take another picture: Data plate")).to_be_visible()
    assert not page.faults


def test_a_refusal_is_seen_where_the_picture_was_chosen(job: tuple[Page, str]) -> None:
    page, made = job
    bad = {"name": "IMG_0003.JPG", "mimeType": "image/jpeg", "buffer": b"\0\0\0\x18ftypheic" + b"\0" * 400}
    for label in ("Pressure gauge", "Data plate"):
        chooser = camera(page, label, "choose")
        page.locator("h1").scroll_into_view_if_needed()
        chooser.set_files([bad])
        fault = item_of(page, label).get_by_role("alert")
        expect(fault).to_contain_text("HEIC")
        expect(fault).to_be_in_viewport()
        until(lambda: kept(page, made)[0].get("camera") is None)
    expect(page.get_by_role("alert").filter(visible=True)).to_have_count(1)
    camera(page, "Data plate").set_files(picture(1))
    expect(fault).to_be_hidden()
    assert axe_faults(page, "photos") == []


def test_several_in_a_row_and_one_that_is_none_are_each_told(job: tuple[Page, str]) -> None:
    page, made = job
    bad = {"name": "IMG_0003.JPG", "mimeType": "image/jpeg", "buffer": b"\0\0\0\x18ftypheic" + b"\0" * 400}
    camera(page, "Whole heater from the front", "choose").set_files([picture(1), bad, picture(2), picture(1)])
    expect(page.locator("[data-fault]")).to_contain_text("HEIC")
    expect(page.locator("[data-fault]")).to_contain_text("That picture is in this job already.")
    draft, rows = kept(page, made)
    assert [one["kind"] for one in draft["photos"]] == ["whole", "whole"]
    assert [one["id"] for one in draft["photos"]] == sorted((one["id"] for one in rows), key=[one["id"] for one in draft["photos"]].index)
    expect(page.locator(".phone-shot")).to_have_count(2)
    expect(page.locator("[data-out]")).to_be_hidden()


def test_note_and_tick_are_kept_and_come_back(job: tuple[Page, str]) -> None:
    page, made = job
    camera(page, "Straps, with a tape").set_files(picture(3))
    note = page.get_by_role("textbox", name="Note to Straps, with a tape, picture 1")
    note.press_sequentially("Upper 66 3/8\t")
    page.get_by_text("Show on the certificate").click()
    expect(page.locator("[data-saved]")).to_contain_text("saved on this phone")
    until(lambda: [(one["note"], one["chosen"]) for one in kept(page, made)[0]["photos"]] == [("Upper 66 3/8", True)])
    page.reload()
    expect(note).to_have_value("Upper 66 3/8")
    expect(page.get_by_role("checkbox", name="Show on the certificate")).to_be_checked()
    until(lambda: page.evaluate("document.querySelector('.phone-shot img').naturalWidth") == 640)


def test_a_picture_taken_out_can_be_put_back_until_one_leaves(job: tuple[Page, str]) -> None:
    page, made = job
    camera(page, "Data plate", "choose").set_files([picture(1), picture(2)])
    expect(page.locator(".phone-shot")).to_have_count(2)
    page.get_by_role("button", name="Remove Data plate, picture 1").click()
    undo = page.get_by_role("button", name="Undo")
    expect(undo).to_be_focused()
    draft, rows = kept(page, made)
    assert (len(draft["photos"]), len(rows)) == (1, 2)
    undo.press("Enter")
    expect(page.get_by_role("button", name="Remove Data plate, picture 1")).to_be_focused()
    until(lambda: page.evaluate("document.querySelector('.phone-shot img').naturalWidth") == 640)
    draft, rows = kept(page, made)
    assert (len(draft["photos"]), len(rows)) == (2, 2)
    page.get_by_role("button", name="Remove Data plate, picture 2").click()
    expect(undo).to_be_focused()
    page.get_by_role("link", name="Back to the review").click()
    expect(page.get_by_role("heading", name="Review")).to_be_visible()
    until(lambda: len(kept(page, made)[1]) == 1)
    assert len(kept(page, made)[0]["photos"]) == 1


def test_a_picture_taken_out_by_a_page_that_was_ended_is_swept_up(job: tuple[Page, str]) -> None:
    page, made = job
    camera(page, "Data plate").set_files(picture(1))
    page.get_by_role("button", name="Remove Data plate, picture 1").click()
    expect(page.get_by_role("button", name="Undo")).to_be_focused()
    page.goto("about:blank")
    at_photos(page, made)
    until(lambda: len(kept(page, made)[1]) == 0)


def test_a_phone_with_no_room_says_so_and_the_job_stays_whole(person: Any) -> None:
    page = person(service_workers="block")
    door, origin = devtools(page), page.evaluate("location.origin")
    # Before anything is kept: Chromium reckons with the room that it last found for half a minute.
    door.send("Storage.overrideQuotaForOrigin", {"origin": origin, "quotaSize": ROOM})
    made = begun(page)
    at_photos(page, made)
    camera(page, "Data plate").set_files(picture(1))
    expect(page.locator(".phone-shot")).to_have_count(1)
    before = kept(page, made)
    chooser = camera(page, "Whole heater from the front")
    chooser.set_files(picture(2, size=(1600, 1200)))
    fault = page.locator("[data-fault]")
    expect(fault).to_contain_text("no room left")
    expect(fault).to_contain_text("save this job to a file")
    after, rows = kept(page, made)
    assert after["answers"] == before[0]["answers"]
    assert after["photos"] == before[0]["photos"]
    assert rows == before[1]
    with page.expect_download() as saving:
        page.get_by_role("button", name="Save this job to a file").click()
    assert saving.value.suggested_filename.endswith(".heaterjob.json")
    door.send("Storage.overrideQuotaForOrigin", {"origin": origin})
    camera(page, "Whole heater from the front").set_files(picture(2, size=(1600, 1200)))
    expect(page.locator(".phone-shot")).to_have_count(2)
    expect(fault).to_be_hidden()


def test_the_camera_opens_only_once_the_job_and_the_place_in_it_are_kept(job: tuple[Page, str]) -> None:
    page, made = job
    camera(page, "Pressure gauge")
    draft, _ = kept(page, made)
    assert draft["camera"]["kind"] == "gauge"
    input_of(page, "Pressure gauge").dispatch_event("cancel", {"bubbles": True})
    until(lambda: kept(page, made)[0]["camera"] is None)
    page.evaluate("() => { IDBObjectStore.prototype.put = () => { throw new DOMException('full', 'QuotaExceededError'); }; }")
    opened: list[Any] = []
    page.on("filechooser", lambda chooser: opened.append(chooser))
    input_of(page, "Pressure gauge").click()
    expect(page.locator("[data-fault]")).to_contain_text("no room left")
    assert not opened


def test_after_the_camera_ended_the_page_one_is_back_at_that_picture(job: tuple[Page, str]) -> None:
    page, made = job
    for way in ("/phone/", None):
        camera(page, "Drip leg")
        page.goto("about:blank")
        page.goto(way or f"/phone/#/{made}/photos")
        expect(page.locator(".phone-picture [data-back]")).to_contain_text("You were at: Drip leg.")
        assert page.url.endswith(f"#/{made}/photos")
        expect(input_of(page, "Drip leg")).to_be_focused()
        until(lambda: kept(page, made)[0]["camera"] is None)
    page.goto("/phone/")
    expect(page.get_by_role("heading", name="Jobs on this phone")).to_be_visible()


def test_with_nobody_to_ask_every_kind_is_offered_and_pictures_are_kept(person: Any) -> None:
    page = person(None)
    page.route("**/phone/api/**", lambda route: route.abort())
    page.route("**/phone/engine/**", lambda route: route.abort())
    made = begun(page)
    page.goto(f"/phone/#/{made}/photos")
    expect(page.locator("[data-unknown]")).to_contain_text("cannot be told now")
    expect(page.locator("[data-list] > .phone-picture")).to_have_count(17)
    camera(page, "Disconnect").set_files(picture(4))
    expect(page.locator("[data-saved]")).to_contain_text("saved on this phone")
    assert [one["kind"] for one in kept(page, made)[0]["photos"]] == ["disconnect"]


def test_a_signed_job_loses_its_signature_by_another_picture_and_not_by_the_camera(person: Any) -> None:
    page = person()
    # While it is being sent it cannot be changed: the next try is far off.
    later = (datetime.now(UTC) + timedelta(minutes=20)).isoformat()
    waits = {"state": "retry", "next_try_at": later, "tries": 1}
    made = begun(page, signatures=[{"role": "installer"}], parcel="{}", parcel_sha256="x", **waits)
    at_photos(page, made)
    chooser = camera(page, "Data plate")
    assert kept(page, made)[0]["parcel"] == "{}"
    chooser.set_files(picture(1))
    expect(page.locator("[data-saved]")).to_contain_text("the signature is gone, sign again")
    draft = kept(page, made)[0]
    assert (draft["state"], draft["signatures"], draft["parcel"]) == ("draft", None, None)


def test_a_job_on_its_way_is_shown_and_not_changed(person: Any) -> None:
    page = person()
    made = begun(page, state="sending")
    page.goto(f"/phone/#/{made}/photos")
    expect(page.locator("[data-fault]")).to_contain_text("on its way")
    expect(input_of(page, "Data plate")).to_be_disabled()


def test_a_job_sent_meanwhile_is_not_brought_back(job: tuple[Page, str]) -> None:
    page, made = job
    chooser = camera(page, "Data plate")
    page.evaluate(_REMOVE, made)
    chooser.set_files(picture(1))
    expect(page.locator("[data-fault]")).to_contain_text("sent meanwhile")
    assert kept(page, made) == (None, [])


def test_the_server_takes_what_the_phone_made(job: tuple[Page, str]) -> None:
    page, made = job
    camera(page, "Data plate").set_files(picture(5, size=(4000, 3000)))
    expect(page.locator(".phone-shot")).to_have_count(1)
    answer = page.evaluate(_SEND, made)
    assert answer["status"] == 200, answer
    assert (answer["told"]["width"], answer["told"]["height"]) == (1600, 1200)


def test_everything_is_reached_and_done_by_keys(job: tuple[Page, str]) -> None:
    page, made = job
    input_of(page, "Data plate of the old heater").focus()
    with page.expect_file_chooser() as opening:
        page.keyboard.press("Enter")
    opening.value.set_files(picture(6))
    expect(page.locator(".phone-shot")).to_have_count(1)
    input_of(page, "Data plate of the old heater").focus()
    seen = []
    for _ in range(6):
        page.keyboard.press("Shift+Tab")
        seen.append(page.evaluate("document.activeElement.getAttribute('aria-label') ?? document.activeElement.textContent"))
    assert seen[:3] == [
        "Remove Data plate of the old heater, picture 1",
        "Show on the certificate: Data plate of the old heater, picture 1",
        "Note to Data plate of the old heater, picture 1",
    ]
    page.keyboard.press("Tab")
    input_of(page, "Data plate of the old heater").focus()
    page.keyboard.press("Shift+Tab")
    page.keyboard.press("Shift+Tab")
    page.keyboard.press("Space")
    until(lambda: kept(page, made)[0]["photos"][0]["chosen"])


def test_cameras_that_end_the_page_lose_nothing(chromium: Any, served: Any) -> None:
    # One of each way: the chooser open, the picture just kept, the picture being kept.
    faults, pictures = kills(chromium, served.url, 4, seed=4)
    assert faults == []
    assert pictures > 0
