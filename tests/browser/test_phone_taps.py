"""A usual replacement on the phone's own pages: how many taps and fields each section takes, 90 in all at most."""

from __future__ import annotations

import re
import sys
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, expect

sys.path.insert(0, str(Path(__file__).parent))

from on_phone import PhoneThumb, phone
from typing_in import job_answers

pytestmark = pytest.mark.browser
PROMISED = 90
WIDER = "() => document.documentElement.scrollWidth > document.documentElement.clientWidth"


def test_a_usual_replacement_takes_no_more_taps_than_promised(
    served: Any, chromium: Browser, tmp_path: Path, cookies: dict[str, list[Any]]
) -> None:
    answers = {**job_answers("gas_storage_us_ca"), "address_street": "16 Brisk Lane"}
    with phone(chromium, tmp_path / "profile", served.url) as one:
        page = one.at_the_list(cookies)
        # The job before this one was a gas tank in the same town: its state, elevation and winter are known.
        before = {name: str(answers[name]) for name in TOWN if name in answers}
        page.evaluate(LAST, {"key": "last", "value": {"code": answers["place"], "kind": answers["heater_kind"], "answers": before}})
        page.reload()
        one.ready(page)
        thumb = PhoneThumb(page, brisk=True)
        thumb.begin(answers)
        rows = [("start", thumb.taps)]
        while "/review" not in page.url:
            section, so_far = thumb.here(), thumb.taps
            thumb.section(section, answers)
            assert not page.evaluate(WIDER), f"{section} is wider than 360 px"
            thumb.go_on()
            rows.append((section, thumb.taps - so_far))
        expect(page.locator("[data-lead]")).to_have_text("Nothing to fix, nothing to answer.")
        so_far = thumb.taps
        thumb.sign()
        rows.append(("sign", thumb.taps - so_far))
        expect(page.locator("[data-sent]")).to_contain_text("Certificate C-")
        # What was just sent stands first, with its address, and one tap away the code to scan.
        just = page.locator("main > * section:visible").first
        expect(just.locator("li")).to_contain_text(re.compile(r"16 Brisk Lane.*Certificate C-"))
        just.get_by_role("button", name="A code for the homeowner to scan").click()
        expect(page.locator(".link-made svg")).to_be_visible()
        expect(page.locator("main .job-head")).to_contain_text("16 Brisk Lane")
        assert one.faults == []
    print("\n".join(["", *(f"{name:<10}{taps:>4}" for name, taps in rows), f"{'in all':<10}{thumb.taps:>4}"]))
    assert thumb.taps <= PROMISED


TOWN = ("address_city", "address_state", "design_winter_temperature_f", "elevation_ft")
LAST = """row => new Promise((done) => { const asked = indexedDB.open("heaterapp");
  asked.onsuccess = () => { const run = asked.result.transaction("kept", "readwrite"); run.objectStore("kept").put(row);
    run.oncomplete = () => { asked.result.close(); done(); }; }; })"""
