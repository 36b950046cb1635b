"""A correction list's photos on a phone that takes its job along: seen, told from when, kept, removed, taken again."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

import pytest
from playwright.sync_api import expect

from heaterapp import archive
from heaterapp.archive.shapes import Photo
from heaterapp.issue import submission
from tests.browser.photographing import at_photos, item_of, kept, picture, until
from tests.browser.typing_in import axe_faults, job_answers
from tests.web.sent import photo

pytestmark = pytest.mark.browser
TAKEN = "2026-11-03T22:02:00Z"
SHOTS = (("plate", "Model readable", True), ("relief", "The end", False))


def _listed(store: Any) -> archive.Record:
    """A correction list of riley's with two photos."""
    firm = store.organisations.default()
    riley = store.people.by_login(firm.id, "riley")
    answers = {
        **job_answers("gas_storage_us_ca"),
        "relief_end_threaded": "yes",
        "address_street": "9 Along Lane",
    }
    job = store.jobs.create(firm.id, riley.id, answers)
    job = store.jobs.save_signature(
        firm.id, job.id, {"signatures": [{"name": "Riley Okafor", "method": "typed"}]}
    )
    shots = tuple(
        Photo(kind, note, chosen, TAKEN, f"{at:064x}", 64, 48, photo(at))
        for at, (kind, note, chosen) in enumerate(SHOTS)
    )
    wish = replace(submission(riley, job, "going-along"), photos=shots)
    issued = store.issue_and_finish(wish, lambda record: {"correction-list.pdf": b"%PDF"})
    return store.records.get(firm.id, issued.record)


def test_they_come_with_the_job_and_one_is_taken_again(person: Any, served: Any) -> None:
    store = served.store()
    paper = _listed(store)
    store.close()
    page = person(service_workers="block")
    page.goto("/phone/")
    page.locator(".phone-office").filter(has_text="9 Along Lane").get_by_role("button").click()
    page.wait_for_url("**/job")
    made = page.url.split("#/")[1].split("/")[0]
    at_photos(page, made)
    expect(page.locator("[data-tally]")).to_have_text(
        re.compile(f"^2 pictures of {paper.number} go along. Still wanted:")
    )
    shot = item_of(page, "Relief valve and the end of its pipe").locator(".phone-shot")
    expect(shot.locator("[data-size]")).to_contain_text(f"From {paper.number}, taken Nov 3")
    until(lambda: shot.locator("img").evaluate("one => one.naturalWidth") == 64)
    assert axe_faults(page, "photos that go along") == []
    with page.expect_file_chooser() as opening:
        shot.locator("[data-again]").click()
    opening.value.set_files(picture(3))
    expect(page.locator(".phone-picture", has_text="Relief valve").locator(".phone-state")).to_have_text(
        "1 on this phone"
    )
    draft, rows = kept(page, made)
    assert [(one["kind"], one["note"], one["chosen"]) for one in draft["photos"]] == [
        ("plate", "Model readable", True),
        ("relief", "", False),
    ]
    assert draft["photos"][0]["sha256"] == paper.photos[0].sha256
    assert [one["sha256"] for one in rows] == [draft["photos"][1]["sha256"]]
    plate = item_of(page, "Data plate").locator(".phone-shot")
    plate.get_by_role("button", name="Remove Data plate, picture 1").click()
    page.get_by_role("button", name="Undo").first.click()
    until(lambda: len(kept(page, made)[0]["photos"]) == 2)
    page.goto(f"/phone/#/{made}/sign")
    expect(page.locator("[data-along-words]")).to_have_text(f"1 picture of {paper.number} goes along.")
    assert page.faults == []
