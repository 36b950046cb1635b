"""The phone's pages in Spanish: a whole job with no signal, every view for everybody, and a language that changes under a job."""

from __future__ import annotations

import hashlib
import json
import re
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Browser, Page, expect

from heaterapp.languages import translate
from heaterapp.rules import SECTIONS, assess
from tests.sweeps import beyond

sys.path.insert(0, str(Path(__file__).parent))

from cut_line import CutLine
from on_phone import PhoneThumb, phone
from phone_views import READY, all_jobs, draft, opened, put, show
from replaced import BUILD, KEPT
from test_everybody import WIDEST
from test_phone_everybody import FINE_PRINT, SMALL
from typing_in import UNFOLD, axe_faults, job_answers

pytestmark = pytest.mark.browser
ENGLISH = re.compile(
    r"\b(?:the|and|of|is|was|were|this|that|these|with|not|to|are|from|it|its|at|be|been|for|by|on|or|an|as|you|your|"
    r"what|which|yet|sign|send|saved?|kept|job|jobs|photo|review|answer|answers|measured|remove|start|go|meets?|fix)\b"
)
SEEN = """() => {
  const own = "[lang=en], [data-address], [data-firm], [data-answers], .below, .section, .program, [data-problem], [data-clashes], code, svg";
  const texts = [], walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let at = walk.nextNode(); at; at = walk.nextNode()) {
    const { parentElement: where } = at;
    if (!where.closest(own) && where.checkVisibility() && at.data.trim()) texts.push(at.data.trim());
  }
  for (const one of document.querySelectorAll("[aria-label], [alt], [title]")) texts.push(one.ariaLabel ?? "", one.alt ?? "", one.title ?? "");
  return [document.title.split(",")[0], ...texts];
}"""
VIEWS = ("", "new", "part/job", "part/water", "part/review", "fix/review", "gas/photos", "gas/sign", "pump/place", "clashes/clash", "newer/job")
OWN = {"owner_name": "Ines Rocha", "heater_serial": "ZQ55T9981120"}


class SpanishThumb(PhoneThumb):
    language = "es"


def english(page: Page) -> list[str]:
    """The texts in sight in which an English word stands, every fold open."""
    page.evaluate(UNFOLD)
    return [text for text in page.evaluate(SEEN) if ENGLISH.search(text.lower())]


def es(text: str) -> str:
    return translate(text, "es")


@pytest.mark.parametrize(
    ("by_hand", "street"),
    [
        (("job", "electric"), "9 Muelle Viejo"),
        beyond(SECTIONS, "11 Muelle Nuevo", why="every section is looked at in Spanish; two of them are typed in"),
    ],
    ids=["some", "all"],
)
def test_a_whole_job_without_signal_in_spanish_gives_the_paper_of_an_english_one(
    served_whole: Any, chromium: Browser, tmp_path: Path, by_hand: tuple[str, ...], street: str
) -> None:
    line = CutLine(urlsplit(served_whole.url).port)
    answers = {**job_answers("electric_tankless_upc_2021"), **OWN, "address_street": street}
    left: dict[str, list[str]] = {}
    with phone(chromium.browser_type, tmp_path / "profile", line.url) as one:
        page = one.start("/healthz")
        one.context.add_cookies([{"name": "language", "value": "es", "url": line.url}])
        one.sign_in(page)
        one.alone(page, es("Judges on this phone, with or without signal."))
        line.cut()
        page.reload()
        one.ready(page)
        left["list"] = english(page)
        thumb = SpanishThumb(page, brisk=True)
        thumb.begin(answers)
        thumb.leave_out(answers, by_hand)
        while "/review" not in page.url:
            section = thumb.here()
            thumb.section(section, answers)
            left[section] = english(page)
            thumb.go_on()
        expect(page.locator("[data-lead]")).to_have_text(f"{es('Nothing to fix, nothing to answer')}.", timeout=30_000)
        left["review"] = english(page)
        # What is not issued can be printed, and says so.
        page.evaluate("dispatchEvent(new Event('beforeprint'))")
        page.emulate_media(media="print")
        expect(page.locator("main .only-print")).to_have_text(re.compile(f"^{es('Not issued yet.')} .* Impreso .* 20\\d\\d"))
        page.emulate_media(media="screen")
        thumb.sign()
        expect(page.locator("[data-waiting]")).to_contain_text(street)
        left["waiting"] = english(page)
        line.mend()
        page.reload()
        one.ready(page)
        expect(page.locator("[data-sent]")).to_contain_text("Certificado C-", timeout=60_000)
        number = page.locator("[data-sent] a").first.inner_text().removeprefix("Certificado ")
        assert one.faults == []
    assert {view: texts for view, texts in left.items() if texts} == {}
    _as_in_english(served_whole, number, street)


def _as_in_english(served: Any, number: str, street: str) -> None:
    store = served.store()
    firm = store.organisations.default().id
    (found,) = store.find(firm, street.split()[-1].lower()).hits
    record = store.records.get(firm, found.record)
    arrived = store.arrivals.by_draft(firm, record.job_id)
    answers = store.jobs.get(firm, record.job_id).answers
    store.close()
    assert (found.number, arrived.differs) == (number, "")
    assert arrived.report_sha256 == hashlib.sha256(record.report).hexdigest()
    assert record.report == assess(answers).to_bytes()
    signed = json.loads(record.signature)["signatures"][0]
    assert signed["statement"].startswith("I installed this water heater")
    assert signed["consent"].startswith("I agree to sign electronically")


def test_every_view_in_spanish_is_for_everybody_and_has_no_english(person: Callable[..., Page], served: Any) -> None:
    page = person("riley", 320)
    page.context.add_cookies([{"name": "language", "value": "es", "url": served.url}])
    opened(page, all_jobs())
    faults = []
    for way in VIEWS:
        show(page, way)
        if way.endswith("/review"):
            page.wait_for_function("() => document.querySelector('[data-review-html]').textContent")
        told = [f"in English: {text}" for text in english(page)]
        told += page.evaluate(SMALL) + page.evaluate(FINE_PRINT) + axe_faults(page, way)
        over = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        told += [f"{over} px wider, {page.evaluate(WIDEST)}"] if over > 0 else []
        faults += [f"{way or 'list'}: {one}" for one in told]
    assert not faults, "\n".join(faults)
    # What the search finds where something is left.
    page.evaluate("document.querySelector('main h1').textContent = 'Made by a newer version of this page'")
    assert len(english(page)) == 1


def test_a_job_goes_on_in_the_language_that_is_chosen_on_line(person: Callable[..., Page]) -> None:
    page = person("riley")
    page.goto("/phone/")
    page.wait_for_function(READY)
    page.wait_for_function(KEPT)
    put(page, [draft("gas", {**job_answers("gas_storage_us_ca"), "house_pressure_psi": None})], [])
    page.evaluate("location.hash = '/gas/water'")
    page.locator("main details").evaluate_all("folds => folds.forEach((one) => { one.open = true; })")
    page.locator("#q-house_pressure_psi").fill("61")
    expect(page.locator("[data-said=house_pressure_psi]")).to_contain_text("Meets")
    before = page.evaluate(BUILD)
    page.goto("/account")
    page.locator("#tongue ~ form").get_by_role("button", name="Español").click()
    expect(page.locator("html")).to_have_attribute("lang", "es")
    # What is kept opens first; the build of the other language is brought, and taken at the list.
    page.goto("/phone/")
    expect(page.locator("html")).to_have_attribute("lang", "es", timeout=30_000)
    page.wait_for_function(READY)
    assert page.evaluate(BUILD) != before
    assert page.evaluate("navigator.serviceWorker.controller !== null")
    page.evaluate("location.hash = '/gas/water'")
    expect(page.locator("#q-house_pressure_psi")).to_have_value("61")
    expect(page.locator("[data-said=house_pressure_psi]")).to_contain_text("Cumple")
    assert english(page) == []
    assert page.faults == []


def test_what_was_told_in_another_language_is_not_shown_in_it(person: Callable[..., Page], served: Any) -> None:
    page = person("riley")
    gas = job_answers("gas_storage_us_ca")
    opened(page, [draft("gas", gas)], [])
    show(page, "gas/water")
    expect(page.locator("main [data-onward]")).to_contain_text("Save, then")
    show(page, "")
    page.context.add_cookies([{"name": "language", "value": "es", "url": served.url}])
    # Nothing judges: what stands on the page is what was kept.
    page.context.route("**/phone/api/judge", lambda route: route.abort())
    page.goto("/phone/#/gas/water")
    page.reload()
    page.wait_for_function("() => document.documentElement.dataset.ready === 'yes'")
    expect(page.locator("main [data-onward]")).to_have_text("Seguir")
    assert english(page) == []
