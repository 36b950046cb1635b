"""What helps wet thumbs on the phone's own pages: known models, straps on the drawing, the timer, keys, contrast."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

sys.path.insert(0, str(Path(__file__).parent))

from on_phone import PhoneThumb, phone
from test_straps import AT
from typing_in import job_answers

pytestmark = pytest.mark.browser
DRAFTS = """() => new Promise((done) => { const asked = indexedDB.open("heaterapp");
  asked.onsuccess = () => { const all = asked.result.transaction("drafts").objectStore("drafts").getAll();
    all.onsuccess = () => { asked.result.close(); done(all.result); }; }; })"""
UNFOLD = "document.querySelectorAll('details.group').forEach(one => { one.open = true; })"


def _begun(one: Any, street: str, cookies: dict[str, list[Any]]) -> tuple[Page, PhoneThumb]:
    page = one.at_the_list(cookies)
    thumb = PhoneThumb(page)
    thumb.begin({**job_answers("gas_storage_us_ca"), "address_street": street})
    return page, thumb


def _to(page: Page, section: str) -> None:
    page.evaluate("section => { location.hash = location.hash.replace(/[^/]+$/, section); }", section)
    page.locator(f'form[data-section="{section}"]').wait_for()
    PhoneThumb(page).judged()
    page.evaluate(UNFOLD)


def test_a_known_model_fills_the_plate_as_accepted_and_is_known_without_a_signal(
    served_whole: Any, chromium: Browser, tmp_path: Path, whole_cookies: dict[str, list[Any]]
) -> None:
    served_whole.begun(job_answers("gas_storage_us_ca"))
    with phone(chromium, tmp_path / "profile", served_whole.url) as one:
        page, thumb = _begun(one, "3 Model Row", whole_cookies)
        _to(page, "plate")
        chip = page.locator(".models .chip").filter(has_text="LW-40N").first
        chip.click()
        expect(page.locator("#q-storage_gal")).to_have_value("40")
        expect(page.locator('[data-said="storage_gal"]')).to_contain_text("Accepted as usual, not measured")
        assert page.locator("#q-heater_serial").input_value() == ""
        thumb.judged()
        draft = page.evaluate(DRAFTS)[0]
        assert draft["answers"]["heater_model"] == "LW-40N"
        assert "storage_gal" in draft["answers"]["accepted_as_usual"]
        assert not {"heater_serial", "heater_model", "heater_marked_gas"} & {
            *draft["answers"]["accepted_as_usual"]
        }
        page.fill("#q-storage_gal", "50")
        expect(page.locator('[data-said="storage_gal"]')).not_to_contain_text("Accepted as usual")
        thumb.judged()
        one.context.set_offline(True)
        page.evaluate("location.hash = '/'")
        page.locator('a[href="#/new"]').wait_for()
        thumb.begin({**job_answers("gas_storage_us_ca"), "address_street": "4 Model Row"})
        _to(page, "plate")
        expect(page.locator(".models .chip").first).to_contain_text("LW-40N")
        kept = page.evaluate(
            DRAFTS.replace(
                'transaction("drafts").objectStore("drafts")', 'transaction("kept").objectStore("kept")'
            )
        )
        models = next(row["value"] for row in kept if row["key"] == "models")
        assert not any({"heater_serial", "owner_name", "address_street"} & set(plate) for plate in models)
        assert one.faults == []


def test_straps_timer_keys_and_contrast_work_on_the_phone_s_own_pages(
    served: Any, chromium: Browser, tmp_path: Path, cookies: dict[str, list[Any]]
) -> None:
    with phone(chromium, tmp_path / "profile", served.url) as one:
        page, thumb = _begun(one, "5 Model Row", cookies)
        _to(page, "place")
        page.locator('label:has(> input[name="strap_kind"][value="listed_kit"])').click()
        page.fill("#q-tank_height_in", "58")
        page.locator('[data-q="tank_height_in"] .pad').get_by_text("1/2", exact=True).click()
        assert page.locator("#q-tank_height_in").input_value() == "58 1/2"
        # Each judging draws the tank anew, where one looks for its place.
        thumb.judged()
        box = page.locator('[data-q="strap_heights_in"]')
        figure = box.locator("figure")
        figure.locator("svg").click(position=figure.evaluate(AT, 50))
        expect(box.locator("svg rect.strap")).to_have_count(1)
        thumb.judged()
        # What was tapped is written a moment after it is judged.
        page.wait_for_function(f"async () => 'strap_heights_in' in (await ({DRAFTS})())[0].answers")
        (height,) = page.evaluate(DRAFTS)[0]["answers"]["strap_heights_in"]
        assert abs(float(height) - 50) <= 0.5
        _to(page, "plate")
        page.locator('label:has(> input[name="draft_kind"][value="draft_hood"])').click()
        thumb.judged()
        _to(page, "alarms")
        page.get_by_role("button", name="Start 5 minutes").click()
        job = page.evaluate(DRAFTS)[0]["id"]
        assert page.evaluate("Object.keys(localStorage).filter(key => key.startsWith('spill'))") == [
            f"spill/{job}"
        ]
        _to(page, "water")
        _to(page, "alarms")
        expect(page.get_by_role("timer")).to_contain_text("left")
        page.locator(".job-head").get_by_role("button", name="High contrast").click()
        assert page.evaluate("document.documentElement.dataset.theme") == "glare"
        assert "spillage_after_5min" not in page.evaluate(DRAFTS)[0]["answers"]
        assert one.faults == []
