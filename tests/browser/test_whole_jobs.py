"""Whole jobs in a real browser at 360 px: from a blank form to a paper.

Each section is typed by a thumb in one of the jobs here; `--whole` has all of them typed in the first, and in the one
without script.
"""

from __future__ import annotations

import io
import json
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pikepdf
import pytest
from playwright.sync_api import Page
from pypdf import PdfReader

sys.path.insert(0, str(Path(__file__).parent))

from typing_in import Thumb, begun_but, job_answers

from heaterapp.rules import CATALOGUE, SECTIONS
from tests.sweeps import beyond

pytestmark = pytest.mark.browser


def _download(page: Page, words: str) -> bytes:
    with page.expect_download() as held:
        page.get_by_role("link", name=words).click()
    return Path(held.value.path()).read_bytes()


def _text(body: bytes) -> str:
    return " ".join(" ".join(sheet.extract_text() for sheet in PdfReader(io.BytesIO(body)).pages).split())


def _attached(body: bytes) -> dict[str, object]:
    with pikepdf.open(io.BytesIO(body)) as paper:
        return {
            name: json.loads(paper.attachments[name].get_file().read_bytes()) for name in paper.attachments
        }


PROMISED = 90


def _from_blank(served: Any, thumb: Thumb, answers: dict[str, Any], by_hand: tuple[str, ...]) -> None:
    """From the blank form to the review; the sections that are not typed by hand are answered at another device."""
    thumb.start(answers)
    job = thumb.page.url.rsplit("/", 2)[1]
    held = served.stored(job)
    store = served.store()
    rest = {name: answer for name, answer in answers.items() if name in CATALOGUE and name not in held}
    rest = {name: rest[name] for name in rest if CATALOGUE[name].section not in by_hand}
    store.jobs.save_answers(store.organisations.default().id, job, rest)
    store.close()
    thumb.whole(answers, job)


@pytest.mark.parametrize(
    "by_hand",
    [("job", "relief", "gas", "alarms"), beyond(SECTIONS, why="the other sections by a thumb, in the jobs below")],
    ids=["some", "all"],
)
def test_a_gas_tank_from_blank_form_to_certificate(
    person: Callable[..., Page], served: Any, by_hand: tuple[str, ...]
) -> None:
    page, answers = person(), job_answers("gas_storage_us_ca")
    thumb = Thumb(page)
    _from_blank(served, thumb, answers, by_hand)
    assert "Nothing to fix, nothing to answer" in page.locator("main").inner_text()
    thumb.sign()
    assert "Certificate C-" in page.locator("h1").inner_text()
    text = _text(_download(page, "Download the PDF"))
    for words in ("Installation certificate", "12 N. Oak Ave", "LW26K0041877", "507.2", "page 2 of 2"):
        assert words in text, words
    kept = _attached(_download(page, "Download for the archive"))
    assert kept["job.json"]["heater_serial"] == "LW26K0041877"
    assert kept["report.json"]["outcome"] == "ready"
    assert page.faults == []
    print(f"taps and fields: {thumb.taps}")


def test_a_usual_gas_tank_takes_no_more_taps_than_promised(person: Callable[..., Page], served: Any) -> None:
    page = person()
    whole = {**job_answers("gas_storage_us_ca"), "address_street": "14 Brisk Lane"}
    _a_job_before(served)
    thumb = Thumb(page, brisk=True)
    thumb.whole(whole)
    assert "Nothing to fix, nothing to answer" in page.locator("main").inner_text()
    thumb.sign()
    assert "Certificate C-" in page.locator("h1").inner_text()
    report = _attached(_download(page, "Download for the archive"))
    assert "relief_pressure_psi" in report["job.json"]["accepted_as_usual"]
    assert "house_pressure_psi" not in report["job.json"]["accepted_as_usual"]
    print(f"taps and fields, as usual: {thumb.taps}")
    assert report["job.json"]["hazard_found"] == "none"
    assert thumb.taps <= PROMISED


def _a_job_before(served: Any) -> None:
    store = served.store()
    firm = store.organisations.default()
    riley = store.people.by_login(firm.id, "riley")
    store.jobs.create(
        firm.id,
        riley.id,
        {
            "heater_kind": "gas_storage",
            "address_city": "Port Larkin",
            "address_state": "CA",
            "elevation_ft": "120",
            "design_winter_temperature_f": "37",
        },
    )
    store.close()


def test_a_missing_strap_and_a_hanging_tank_end_in_a_correction_list(
    person: Callable[..., Page], served: Any
) -> None:
    page, answers = person(), job_answers("gas_storage_to_fix")
    thumb = Thumb(page)
    thumb.whole(answers, begun_but(served, answers, "water", "place"))
    assert thumb.taps > 40
    said = page.locator("main").inner_text()
    assert "The tank hangs on its pipe" in said
    assert "lower third" in said
    thumb.sign()
    assert "Correction list L-" in page.locator("h1").inner_text()
    assert "not a certificate" in page.locator("main").inner_text()
    text = _text(_download(page, "Download the PDF"))
    assert "Not a certificate" in text
    assert "Installation certificate" not in text


def test_an_electric_tank_is_asked_nothing_about_a_vent(person: Callable[..., Page], served: Any) -> None:
    page, answers = person(), job_answers("electric_storage_irc")
    thumb = Thumb(page)
    shown = thumb.whole(answers, begun_but(served, answers, "plate", "electric"))
    assert "electric" in shown
    assert "vent" not in shown
    assert "gas" not in shown
    thumb.sign()
    assert "Certificate C-" in page.locator("h1").inner_text()


@pytest.mark.parametrize(
    "by_hand",
    [("job", "place"), beyond(SECTIONS, why="the same kinds of box without script, in two sections")],
    ids=["some", "all"],
)
def test_the_whole_job_without_script(
    person: Callable[..., Page], served: Any, by_hand: tuple[str, ...]
) -> None:
    page, answers = person(script=False), job_answers("gas_storage_us_ca")
    thumb = Thumb(page, scripted=False)
    _from_blank(served, thumb, {**answers, "address_street": "31 Plain Form Way"}, by_hand)
    thumb.sign()
    assert "Certificate C-" in page.locator("h1").inner_text()
