"""A job that came from another phone by a file brings its work along and nothing of that phone; one that was issued is let go."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser.phone_views import READY, iso, opened, show, signed

pytestmark = pytest.mark.browser
ISSUED = """async ([id, sent]) => { const { build } = await (await fetch("/phone/version.json")).json();
  const store = await import(`/phone/${build}/phone/store.js`);
  await store.changeTogether([["put", "sent", sent], ["remove", "drafts", id]]);
  new BroadcastChannel("heaterapp-outbox").postMessage("changed"); }"""
ROW = """async (id) => { const { build } = await (await fetch("/phone/version.json")).json();
  return (await import(`/phone/${build}/phone/store.js`)).get("drafts", id); }"""
OF_ITS_PHONE = {
    "camera": {"kind": "gauge", "at": iso()}, "tries": 7, "next_try_at": iso(-1), "signing": {"fields": {}, "ink": {}},
    "problem": {"code": "retry", "says": "No connection. It is sent by itself later."}, "told": {"order": ["job"]},
}  # fmt: skip


def _file(job: dict[str, Any]) -> list[Any]:
    held = {"heaterapp_job_file": 1, "draft": job, "photos": []}
    return [{"name": "one.heaterjob.json", "mimeType": "application/json", "buffer": json.dumps(held).encode()}]


def _opened_by_file(page: Page, job: dict[str, Any]) -> None:
    page.locator("[data-open-file]").set_input_files(_file(job))
    page.wait_for_url("**/review")
    page.wait_for_selector("[data-review-html] *", state="attached")


def test_nothing_of_one_phone_goes_to_another_by_file(person: Callable[..., Page]) -> None:
    page = person("riley")
    opened(page, [], [])
    _opened_by_file(page, signed("far", "9 Far Street", "retry", **OF_ITS_PHONE))
    expect(page.locator("[data-signed]")).to_contain_text("Signed before it came to this phone by a file")
    row = page.evaluate(ROW, "far")
    assert [row.get(name) for name in ("camera", "signing")] == [None, None]
    assert row["tries"] < OF_ITS_PHONE["tries"]
    assert row["parcel"]
    page.goto("/phone/")
    page.wait_for_function(READY)
    expect(page).to_have_title("Jobs on this phone")


def test_a_saved_file_holds_nothing_of_its_phone(person: Callable[..., Page]) -> None:
    page = person("riley")
    opened(page, [signed("near", "9 Near Street", "needs_you", **OF_ITS_PHONE)], [])
    show(page, "")
    with page.expect_download() as saving:
        page.get_by_role("button", name="Save to a file").click()
    held = json.loads(saving.value.path().read_text())["draft"]
    assert {"camera", "signing", "told"} & set(held) == set()
    assert (held["problem"], held["next_try_at"], held["tries"]) == (None, None, 0)
    assert (held["id"], bool(held["parcel"])) == ("near", True)


@pytest.mark.parametrize("way", ["near/review", "near/photos", "near/water"])
def test_a_page_whose_job_was_issued_says_its_number_and_offers_the_list(person: Callable[..., Page], way: str) -> None:
    page = person("riley")
    opened(page, [signed("near", "9 Near Street", "needs_you")], [])
    show(page, way)
    sent = {"id": "near", "number": "C-000077", "kind": "certificate", "link": "/jobs/near/issued", "sent_at": iso()}
    page.evaluate(ISSUED, ["near", sent])
    expect(page.locator("[data-says]")).to_contain_text("This job was issued as certificate C-000077")
    expect(page).to_have_title("Jobs on this phone")
    expect(page.locator("[data-sent]")).to_contain_text("Certificate C-000077 sent ")
    expect(page.get_by_role("button", name=re.compile("picture"))).to_have_count(0)
