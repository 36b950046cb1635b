"""The office's pages on paper: black on white in every theme; and a correction that Back gives again."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
from playwright.sync_api import Page

from heaterapp import demo
from heaterapp.issue import submission

pytestmark = pytest.mark.browser
PALE = """() => [...document.querySelectorAll("main *, html")]
  .filter((one) => one.checkVisibility() && [...one.childNodes].some((n) => n.nodeType === 3 && n.data.trim()))
  .map((one) => [one, getComputedStyle(one).color.match(/[0-9.]+/g).slice(0, 3).map(Number)])
  .filter(([, rgb]) => Math.max(...rgb) > 150)
  .map(([one, rgb]) => `${one.tagName}.${one.className} ${rgb} ${one.textContent.trim().slice(0, 30)}`)"""
GROUND = "getComputedStyle(document.documentElement).backgroundColor"
WHITE = "rgb(255, 255, 255)"


@pytest.fixture(scope="module")
def pages(served: Any) -> dict[str, str]:
    """A paper with a booked inspection, and a job that can be signed; their pages."""
    store = served.store()
    firm = store.organisations.default().id
    riley, june = (store.people.by_login(firm, login) for login in ("riley", "june"))
    story = demo.Story("PL-0971", "gas", "97 Paper St", "Dana Whitlock", "LW26K0097111", "2026-09-03")
    job = store.jobs.create(firm, riley.id, demo.answers_of(story))
    signed = {"signatures": [{"name": "Riley", "method": "typed"}]}
    job = store.jobs.save_signature(firm, job.id, signed)
    wish = submission(riley, job, f"{job.id}.{job.revision}")
    number = store.issue_and_finish(wish, lambda _: {"certificate.pdf": b"%PDF-1.7"}).number
    visit = store.inspections.book(firm, june.id, job.id, store.database.now()[:10], {"window": "8 to noon"})
    answers = json.loads((Path(__file__).parent.parent / "jobs/gas_storage_us_ca.json").read_text())[
        "answers"
    ]
    to_sign = store.jobs.create(firm, riley.id, answers, str(uuid4())).id
    store.close()
    return {
        "month": "/office/month", "log": "/office/log?act=issue", "record": f"/office/records/{number}",
        "inspection": f"/office/desk/inspections/{visit.id}", "correct": f"/office/records/{number}/correct",
        "copy": f"/office/records/{number}/copy", "sign": f"/jobs/{to_sign}/sign",
    }  # fmt: skip


def test_print_is_black_on_white_in_every_theme(person: Callable[..., Page], pages: dict[str, str]) -> None:
    for login, names in (("june", ("month", "log", "record", "inspection", "insurer")), ("riley", ("sign",))):
        page = person(login)
        for name in names:
            if name == "insurer":
                page.goto(f"{pages['copy']}?what=insurer")
                page.fill("#asked_by", "Somebody")
                page.fill("#purpose", "A claim")
                with page.expect_navigation():
                    page.click("main button[type=submit]")
            else:
                page.goto(pages[name])
            for theme in ("", "glare"):
                page.evaluate("theme => document.documentElement.dataset.theme = theme", theme)
                page.emulate_media(media="print", color_scheme="dark")
                assert page.evaluate(PALE) == [], (name, theme)
                assert page.evaluate(GROUND) == WHITE, (name, theme)
            page.emulate_media(media="screen", color_scheme="light")


def test_an_inspection_prints_its_address_and_the_log_no_boxes(
    person: Callable[..., Page], pages: dict[str, str]
) -> None:
    page = person("june")
    page.goto(pages["inspection"])
    page.emulate_media(media="print")
    assert "97 Paper St" in page.locator("main header").inner_text()
    page.goto(pages["log"])
    assert not page.locator("main select, main input, main button").locator("visible=true").count()
    assert "Only the act: Issued." in page.locator("main").inner_text()


def test_the_signature_box_is_calm_in_the_dark_and_its_ink_stays_dark(
    person: Callable[..., Page], pages: dict[str, str]
) -> None:
    page = person("riley")
    page.goto(pages["sign"])
    ground = 'getComputedStyle(document.querySelector("canvas.draw")).backgroundColor'
    assert page.evaluate(ground) == WHITE
    page.emulate_media(color_scheme="dark")
    assert page.evaluate(ground) == "rgb(163, 172, 169)"
    page.emulate_media(media="print", color_scheme="dark")
    assert page.evaluate(ground) == WHITE


def test_back_from_the_changes_gives_what_was_typed(
    person: Callable[..., Page], pages: dict[str, str]
) -> None:
    page = person("june")
    page.goto(pages["correct"])
    page.fill("#q-owner_name", "Dana Whitlocke")
    page.get_by_role("button", name="Look at the changes").click()
    page.get_by_role("heading", name="What changes").wait_for()
    page.go_back()
    page.get_by_role("heading", name="Type over what is wrong").wait_for()
    page.wait_for_function("document.querySelector('#q-owner_name').value === 'Dana Whitlocke'")
    page.goto(pages["record"])
    page.goto(pages["correct"])
    assert page.input_value("#q-owner_name") == "Dana Whitlock"
    assert page.faults == []
