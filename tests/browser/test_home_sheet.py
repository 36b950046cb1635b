"""The homeowner's page in a browser: axe in both languages, and one printed sheet that can be read in grey."""

from __future__ import annotations

import io
import sys
from collections.abc import Iterator
from pathlib import Path

import pypdf
import pytest
from flask import Flask
from playwright.sync_api import Browser, Page

sys.path.insert(0, str(Path(__file__).parent))

from home_sheets import app_here, faults_of, long_record, printed, show, white_of
from typing_in import axe_faults

from heaterapp import homeowner
from heaterapp.rules import catalog
from tests.homeowner.records import known, of_job

pytestmark = pytest.mark.browser
LONGEST = "gas_storage_propane_attic_irc_2018"
TWELVE_POINT = 16
WHITEST = 0.12
# What an inch of black border and black letters on white is read by, whatever the printer's colors.
BOX = """() => {
  const box = document.querySelector(".emergency"), style = getComputedStyle(box);
  const text = [...box.querySelectorAll("h2, dt, dd")].map((one) => getComputedStyle(one));
  return { least: Math.min(...text.map((one) => parseFloat(one.fontSize))), inks: [...new Set(text.map((one) => one.color))],
    ground: style.backgroundColor, border: style.borderTopColor, page: getComputedStyle(document.documentElement).backgroundColor };
}"""


def heads_of(pdf: bytes) -> int:
    """How often the table of care says how often, in Spanish."""
    text = "".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages)
    return "".join(text.split()).count("Cadacuánto")


@pytest.fixture(scope="module")
def app() -> Iterator[Flask]:
    with app_here() as one:
        yield one


@pytest.fixture
def page(chromium: Browser) -> Iterator[Page]:
    context = chromium.new_context(viewport={"width": 360, "height": 740})
    yield context.new_page()
    context.close()


def test_axe_finds_nothing_in_either_language_at_a_phone_and_at_a_desk(page: Page, app: Flask) -> None:
    found = []
    for name, language in (("gas_storage_existing_us_ca", "en"), (LONGEST, "es")):
        show(page, app, homeowner.page_of(known(of_job(name)), language))
        assert page.evaluate("document.documentElement.lang") == language
        assert [page.is_visible(f"[data-{one}]") for one in ("print", "to-print")] == [True, False]
        for width in (360, 1280):
            page.set_viewport_size({"width": width, "height": 740})
            found += axe_faults(page, f"{name} {language} at {width} px")
            over = page.evaluate(
                "document.documentElement.scrollWidth - document.documentElement.clientWidth"
            )
            assert over <= 0, (name, width)
    assert found == []
    # Looked at before, a page still shows what is new on it.
    page.evaluate("document.querySelector('html').lang = ''; document.querySelector('main p').style.color = '#ccc'")
    assert {one.split()[1] for one in axe_faults(page, "broken")} == {"html-has-lang", "color-contrast"}
    page.evaluate("document.querySelector('main p').style.color = ''; document.querySelector('main').style.background = '#555'")
    assert {one.split()[1] for one in axe_faults(page, "broken")} == {"html-has-lang", "color-contrast"}
    # And so does another page of the same looks, where one came to lie on another ground.
    show(page, app, homeowner.page_of(known(of_job("gas_storage_existing_us_ca")), "en"))
    assert axe_faults(page, "whole") == []
    page.evaluate("""() => {
      const dark = Object.assign(document.createElement("div"), { style: "height: 3rem; background: #333" });
      const over = Object.assign(document.createElement("p"), { textContent: "Over it", style: "position: absolute; margin: -2.5rem 0 0" });
      document.querySelector("main").append(dark, over);
    }""")
    assert {one.split()[1] for one in axe_faults(page, "broken")} == {"color-contrast"}


def test_the_longest_and_a_usual_job_print_on_one_sheet_with_every_word(page: Page, app: Flask) -> None:
    for name, language, size in ((LONGEST, "es", "Letter"), ("gas_storage_us_ca", "es", "A4")):
        told = homeowner.page_of(known(long_record(name)), language)
        show(page, app, told)
        pdf = printed(page, size)
        assert faults_of(pdf, told) == [], (name, language, size)
        assert white_of(pdf) < WHITEST, (name, language, size)
        assert heads_of(pdf) == 1, "the table of care is not torn"
    # As small as it once was for all, it leaves that much.
    page.evaluate("document.body.className = 'sheet'")
    assert white_of(printed(page, size)) > WHITEST
    # A table that is torn says its heads again.
    page.evaluate("""() => {
      document.body.className = "sheet sheet-split";
      const rows = document.querySelector(".care tbody");
      rows.innerHTML = rows.innerHTML.repeat(6);
    }""")
    assert heads_of(printed(page, size)) > 1


def test_too_much_for_a_sheet_is_told_and_goes_on_whole_on_the_next(page: Page, app: Flask) -> None:
    made = known(of_job(LONGEST))
    fails = [{"kind": "rule", "verdict": "fails", "check": one.name} for one in catalog.all_checks()[:40]]
    told = homeowner.page_of(homeowner.Known(**{**vars(made), "report": {"findings": fails}}), "es")
    show(page, app, told)
    assert faults_of(printed(page, "Letter"), told) == ["2 pages"]
    page.evaluate("document.querySelector('.part-watch ul').remove()")
    assert any(one.startswith("not on it") for one in faults_of(printed(page, "Letter"), told))


def test_the_emergency_box_is_large_and_black_on_white_on_paper(page: Page, app: Flask) -> None:
    show(page, app, homeowner.page_of(known(of_job("gas_storage_us_ca")), "en"))
    page.emulate_media(media="print", color_scheme="dark")
    box = page.evaluate(BOX)
    assert box["least"] >= TWELVE_POINT
    assert box["inks"] == ["rgb(0, 0, 0)"]
    assert box["border"] == "rgb(0, 0, 0)"
    assert box["page"] == "rgb(255, 255, 255)"
    assert box["ground"] in ("rgba(0, 0, 0, 0)", "rgb(255, 255, 255)")
