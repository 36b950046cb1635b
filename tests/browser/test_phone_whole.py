"""A whole job with no signal, from opening to signed, then sent: exactly one paper, and nothing left on the phone."""

from __future__ import annotations

import hashlib
import io
import sys
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest
from PIL import Image
from playwright.sync_api import Browser, Page, expect
from pypdf import PdfReader

sys.path.insert(0, str(Path(__file__).parent))

from cut_line import CutLine
from on_phone import DUMP, KEPT, PhoneThumb, phone
from typing_in import job_answers

from heaterapp.rules import SECTIONS
from tests.sweeps import beyond

pytestmark = pytest.mark.browser
OWN = {"owner_name": "Ines Halloran", "heater_serial": "ZQ55T9981120"}
UNFOLDED = ("job", "plate")


@pytest.mark.parametrize(
    ("job", "street", "different", "by_hand"),
    [
        ("electric_storage_us_ca", "41 Saltmarsh Road", {"breaker_a": 30}, ("job", "plate", "electric", "alarms")),
        beyond("gas_storage_us_ca", "43 Saltpan Road", {}, SECTIONS, why="gas and a vent by a thumb on the phone, where taps are counted"),
    ],
    ids=["electric", "gas"],
)
def test_a_whole_job_without_signal_through_two_restarts(
    served_whole: Any, chromium: Browser, tmp_path: Path, whole_cookies: dict[str, list[Any]],
    job: str, street: str, different: dict[str, Any], by_hand: tuple[str, ...],
) -> None:
    line = CutLine(urlsplit(served_whole.url).port)
    own = {**OWN, "address_street": street}
    answers = {**job_answers(job), **different, **own}
    with phone(chromium.browser_type, tmp_path / "profile", line.url) as one:
        page = one.at_the_list(whole_cookies)
        one.alone(page)
        one.close()
        line.cut()

        page = one.start()
        one.ready(page)
        thumb = PhoneThumb(page)
        thumb.begin(answers)
        thumb.leave_out(answers, by_hand)
        shown: list[str] = []
        while "/review" not in page.url:
            section = thumb.here()
            assert section not in shown, f"{section} came twice"
            shown.append(section)
            # What may stay empty is filled in where it can be; with no signal each answer is judged here.
            thumb.brisk = section not in UNFOLDED
            thumb.section(section, answers)
            thumb.go_on()
            if len(shown) == 4:
                thumb.judged()
                at = page.url
                one.kill()
                page = one.start()
                one.ready(page)
                page.locator("[data-drafts] a.job-link").click()
                page.wait_for_url(at)
                thumb.page = page
        expect(page.locator("[data-lead]")).to_have_text("Nothing to fix, nothing to answer.")
        _take_photos(page, tmp_path)
        thumb.sign("signs")
        expect(page.locator("[data-waiting]")).to_contain_text(street)

        line.mend()
        page.reload()
        one.ready(page)
        expect(page.locator("[data-sent]")).to_contain_text("Certificate C-")
        expect(page.locator("[data-waiting-part]")).to_be_hidden()
        kept = dict(page.evaluate(DUMP))
        for words in own.values():
            holders = [name for name, text in kept.items() if words in text]
            assert holders == [], f"{words} is still on the phone, in {holders}"
        number = page.locator("[data-sent] a").first.inner_text().removeprefix("Certificate ")
        assert one.faults == []
    _one_paper(served_whole, number, street)


def _take_photos(page: Page, folder: Path) -> None:
    """Two pictures of this job, one of them for the paper; back at the review."""
    review = page.url
    page.locator("main p a[data-to='photos']").click()
    wanted = page.locator(".phone-picture")
    for place, color in enumerate(("#6b4e00", "#145a4c")):
        Image.new("RGB", (1800, 1200), color).save(folder / f"{place}.jpg")
        wanted.nth(place).locator("[data-choose-file]").set_input_files(folder / f"{place}.jpg")
        expect(wanted.nth(place).locator(".phone-shot")).to_have_count(1)
    wanted.nth(0).locator("label:has(> [data-chosen])").click()
    expect(page.locator(".phone-saved")).to_have_text(KEPT)
    page.goto(review)
    expect(page.locator("[data-photos]")).to_contain_text("2")


def _one_paper(served: Any, number: str, street: str) -> None:
    store = served.store()
    firm = store.organisations.default().id
    found = store.find(firm, street.split()[1]).hits
    assert [hit.number for hit in found] == [number]
    record = store.records.get(firm, found[0].record)
    arrived = store.arrivals.by_draft(firm, record.job_id)
    assert arrived.report_sha256 == hashlib.sha256(record.report).hexdigest()
    assert not arrived.differs
    assert sorted(photo.chosen for photo in record.photos) == [False, True]
    paper = PdfReader(io.BytesIO(store.records.file(firm, record.id, "certificate.pdf")))
    assert "the phone's own clock said" in " ".join(paper.pages[-1].extract_text().split())
    store.close()

