"""The homeowner's page in a real browser without a server, and the sheet that it prints.

    python tests/browser/home_sheets.py [--save FOLDER] [--only NAME]

prints every job of tests/jobs in both languages on Letter and A4, says how many pages each took, and exits with 1
where one took more than one page or lost a word. The suite prints the longest.
"""

from __future__ import annotations

import argparse
import io
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from types import SimpleNamespace
from typing import Any
from urllib.parse import urlsplit

import pypdf
from flask import Flask, render_template
from playwright.sync_api import Browser, Page, Route, sync_playwright

sys.path.insert(0, str(Path(__file__).parents[2]))

from heaterapp import create_app, homeowner
from heaterapp.homeowner.page import PRINTED_PROOF
from heaterapp.web.share import shown
from heaterapp.web.sheet_type import sheet_classes
from tests.certificate.page_checks import pages_of
from tests.homeowner.records import FIRM, NAMES, known, record

SITE = "http://sheet.test"
SIZES = ("Letter", "A4")
LONG_FIRM = {
    **FIRM, "name": "Harborlight Plumbing, Heating and Water Treatment of Port Larkin",
    "address": "1280 Old Lighthouse Station Road, Building C, Suite 204, Port Larkin, CA 95999",
}  # fmt: skip
LONG = {
    "address_street": "12800 North Cannery Row Esplanade East", "address_unit": "Building C, Apartment 1204",
    "heater_maker": "Larkin Works and Foundry", "heater_model": "LW-40N-ULN-PRO-2026-S/B", "owner_name": "Dana Whitlock",
}  # fmt: skip


@contextmanager
def app_here() -> Iterator[Flask]:
    """The app on an empty archive, for its templates, styles and fonts."""
    with tempfile.TemporaryDirectory() as folder:
        made = create_app(DATA_DIR=folder, TESTING=True, SECRET_KEY="sheets" * 8)
        yield made
        made.extensions["archive"].close()


PAPER = SimpleNamespace(number="C-000012", check_code="7KQ2-M4XD-9TRA")


def html_of(app: Flask, told: homeowner.Page) -> str:
    """The page as the app gives it."""
    with app.test_request_context("/s/" + "t" * 32):
        return render_template("share/home.html", token="t" * 32, paper=PAPER, **shown(told, PAPER))


def show(page: Page, app: Flask, told: homeowner.Page) -> None:
    """Open the page in this browser; styles and fonts come from the app itself."""

    def answer(route: Route) -> None:
        path = urlsplit(route.request.url).path
        if path == "/":
            route.fulfill(body=page.sheet, content_type="text/html; charset=utf-8")
            return
        given = app.test_client().get(path, buffered=True)
        route.fulfill(status=given.status_code, body=given.data, content_type=given.content_type)

    # One route for the page's whole life: taking it away while a font is still asked for leaves the browser waiting.
    begun = hasattr(page, "sheet")
    page.sheet = html_of(app, told)
    if not begun:
        page.route(f"{SITE}/**", answer)
    page.goto(f"{SITE}/")
    page.evaluate("document.fonts.ready")


def printed(page: Page, size: str) -> bytes:
    """The sheet as a PDF, by the page's own margins."""
    return page.pdf(format=size, prefer_css_page_size=False)


def faults_of(pdf: bytes, told: homeowner.Page) -> list[str]:
    """What is wrong with a printed sheet: more than a page, or a word of the page that is not on it."""
    read = pypdf.PdfReader(io.BytesIO(pdf))
    faults = [f"{len(read.pages)} pages"] if len(read.pages) != 1 else []
    text = "".join("".join(one.extract_text() for one in read.pages).split())
    parts = [
        told.caution,
        *told.notices,
        *(do for _, do in told.emergencies),
        *told.signs,
        *told.sale,
        *told.warranty,
    ]
    proof = PRINTED_PROOF.of(
        told.language, address="http://localhost/check", number=PAPER.number, code=PAPER.check_code
    )
    parts += [proof, *(() if "sheet-brief" in sheet_classes(told, proof) else told.advised)]
    parts += [one.sentence for one in told.numbers] + [rule for left in told.still for rule in left.rules]
    return faults + [f"not on it: {one}" for one in parts if "".join(one.split()) not in text]


def white_of(pdf: bytes) -> float:
    """How much of the first page is white below its last words."""
    page = pages_of(pdf)[0]
    return 1 - max(word.bottom for word in page.words) / page.high


def long_record(name: str, **different: Any) -> Any:
    """A record with long names of firm, address and model."""
    return record(name, firm=LONG_FIRM, **{**LONG, **different})


def _all(browser: Browser, app: Flask, names: list[str], save: Path | None) -> int:
    wrong = 0
    page = browser.new_page()
    for name in names:
        made = known(long_record(name))
        for language in homeowner.LANGUAGES:
            told = homeowner.page_of(made, language)
            show(page, app, told)
            for size in SIZES:
                pdf = printed(page, size)
                if save:
                    (save / f"{name}-{language}-{size}.pdf").write_bytes(pdf)
                faults = faults_of(pdf, told)
                wrong += bool(faults)
                print(f"{name} {language} {size}: {'; '.join(faults) or 'one page'}, {white_of(pdf):.0%} white", flush=True)
    return wrong


def main() -> int:
    """Print all, or those whose name has --only in it."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--save", type=Path)
    asked.add_argument("--only", default="")
    given = asked.parse_args()
    if given.save:
        given.save.mkdir(parents=True, exist_ok=True)
    names = [name for name in NAMES if given.only in name]
    with app_here() as app, sync_playwright() as driver:
        flags = ["--no-sandbox", "--disable-gpu", "--in-process-gpu"]
        browser = driver.chromium.launch(executable_path="/usr/bin/chromium-headless-shell", args=flags)
        wrong = _all(browser, app, names, given.save)
        browser.close()
    print(f"{len(names) * 4} sheets, {wrong} with a fault")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
