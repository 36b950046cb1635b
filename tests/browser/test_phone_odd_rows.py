"""Rows that are not as this version and this firm write them: the list stands, and nothing of another firm is offered."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

sys.path.insert(0, str(Path(__file__).parent))

from phone_views import draft, opened
from typing_in import job_answers

pytestmark = pytest.mark.browser


def test_one_odd_row_does_not_end_the_list(person: Callable[..., Page]) -> None:
    page = person("riley")
    whole = draft("gas", job_answers("gas_storage_us_ca"))
    opened(page, [whole, {"id": "later", "form": 2}, {**whole, "id": "bare", "photos": None, "changed_at": "soon"}, {"id": "old"}], [{"id": "s", "number": "C-1", "kind": "x"}])
    expect(page.locator("main h1")).to_have_text("Jobs on this phone")
    expect(page.locator("[data-drafts] li")).to_have_count(4)
    expect(page.get_by_role("button", name="Save to a file")).to_have_count(4)


KEEP = """rows => new Promise((done) => { const asked = indexedDB.open("heaterapp"); asked.onsuccess = () => {
  const run = asked.result.transaction("kept", "readwrite");
  for (const row of rows) run.objectStore("kept").put(row);
  run.oncomplete = () => { asked.result.close(); done(); }; }; })"""
KEPT = """() => new Promise((done) => { const asked = indexedDB.open("heaterapp"); asked.onsuccess = () => {
  const rows = asked.result.transaction("kept").objectStore("kept").getAll();
  rows.onsuccess = () => { asked.result.close(); done(JSON.stringify(rows.result)); }; }; })"""


@pytest.mark.parametrize("same_firm", [True, False])
def test_what_another_firm_s_work_left_on_the_phone_is_not_offered(
    person: Callable[..., Page], same_firm: bool
) -> None:
    page = person("riley")
    opened(page, [])
    # With no page of the phone's open, nothing writes what it learns over what is put there.
    page.goto("/healthz")
    own = page.evaluate("async () => (await (await fetch('/phone/api/account')).json()).firm")
    firm = own if same_firm else {**own, "id": own["id"] + 1}
    plate = {"heater_kind": "gas_storage", "heater_maker": "Other Works", "heater_model": "OW-1"}
    rows = [
        {"key": "account", "value": {"person": {"id": 1}, "firm": firm, "codes": []}},
        {"key": "models", "value": [plate]},
        {"key": "last", "value": {"code": "us_ut", "answers": {"address_city": "Elsewhere"}}},
    ]
    page.evaluate(KEEP, rows)
    with page.expect_response("**/phone/api/models"):
        page.goto("/phone/")
    # The office's models are asked for only once the other firm's are forgotten.
    kept = page.evaluate(KEPT)
    assert ("OW-1" in kept, "Elsewhere" in kept) == (same_firm, same_firm)
