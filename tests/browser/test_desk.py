"""The office's desk in a browser: axe, a narrow window, contrast by theme, keyboard alone, and without script."""

from __future__ import annotations

import sys
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
from playwright.sync_api import Page

sys.path.insert(0, str(Path(__file__).parent))

from test_keyboard import Keys
from typing_in import AXE, UNFOLD, axe_faults

from heaterapp.archive.desk_shapes import Item
from tests.grids import some

pytestmark = pytest.mark.browser
OAK = {
    "address_street": "12 N. Desk Ave", "address_city": "Port Larkin", "heater_kind": "gas_storage",
    "job_kind": "same_place", "place": "us_ca_2022", "owner_name": "Mina Park-Featherstonehaugh",
}  # fmt: skip
OVER = "document.documentElement.scrollWidth - document.documentElement.clientWidth"


@pytest.fixture(scope="module")
def pages(served: Any) -> dict[str, str]:
    """A job with a booked inspection, and one whose inspection failed; their pages."""
    store = served.store()
    firm = store.organisations.default().id
    june = store.people.by_login(firm, "june").id
    today = store.database.moment().date()
    told = {"board": "/office/desk", "new": "/office/desk/new"}
    for name in ("booked", "failed"):
        facts = {
            "contact_name": "Noor Haddad",
            "access_note": "Gate code 4471",
            "permit_issued_on": str(today - timedelta(days=170)),
        }
        job = store.desk.open(firm, june, str(uuid4()), OAK, facts).job.id
        visit = store.inspections.book(
            firm, june, job, str(today), {"window": "8 am to noon", "contact": "Noor Haddad"}
        )
        if name == "failed":
            items = [
                Item("relief.pipe_falls", "Runs uphill behind the washer", "installer", ""),
                Item("", "No number", "", ""),
            ]
            store.inspections.tell(
                firm, june, visit.id, visit.revision, "failed", str(today), {"inspector": "R. Castle"}, items
            )
        told |= {f"{name}_job": f"/office/desk/{job}", name: f"/office/desk/inspections/{visit.id}"}
    store.close()
    job = told["booked_job"]
    return {
        **told,
        "facts": f"{job}/facts",
        "portal": f"{job}/permit-facts",
        "book": f"{told['failed_job']}/inspection",
    }


WIDE = ("board", "booked_job", "failed")
THEMES = ("light", "dark", "glare")


def test_axe_finds_nothing_and_nothing_scrolls_sideways(
    person: Callable[..., Page], pages: dict[str, str]
) -> None:
    page = person("june")
    found, wide = [], []
    for at, (name, path) in enumerate(pages.items()):
        page.set_viewport_size({"width": 320, "height": 740})
        page.goto(path)
        page.evaluate(UNFOLD)
        for size in ("200%", "100%"):
            page.evaluate("size => { document.documentElement.style.fontSize = size; }", size)
            wide += [f"{name} at {size}: {page.evaluate(OVER)} px"] if page.evaluate(OVER) > 0 else []
        widths = (1280, 360) if name in WIDE else (360,)
        for width in some(widths, len(widths), at):
            page.set_viewport_size({"width": width, "height": 740})
            found += axe_faults(page, f"{name} at {width} px")
    assert (found, wide) == ([], [])
    assert page.faults == []


@pytest.mark.parametrize("theme", THEMES)
def test_text_stands_out_seven_to_one(person: Callable[..., Page], pages: dict[str, str], theme: str) -> None:
    page = person("june")
    page.emulate_media(color_scheme="dark" if theme == "dark" else "light")
    if theme == "glare":
        page.evaluate("localStorage.setItem('theme', 'glare')")
    faint = []
    for name in some(("board", "failed"), 2, THEMES.index(theme)):
        page.goto(pages[name])
        page.evaluate(UNFOLD)
        page.evaluate(AXE.read_text(encoding="utf-8"))
        told = page.evaluate(
            "rules => axe.run(document, rules)",
            {"runOnly": {"type": "rule", "values": ["color-contrast-enhanced"]}},
        )
        assert told["passes"], "the rule looked at nothing"
        faint += [f"{name}: {node['html'][:90]}" for one in told["violations"] for node in one["nodes"]]
    assert faint == []


def test_a_result_by_keyboard_alone(person: Callable[..., Page], pages: dict[str, str]) -> None:
    page = person("june", 1280)
    keys = Keys(page)
    page.goto(pages["board"])
    keys.to(f'a[href="{pages["booked"]}"]')
    keys.press("Enter")
    page.wait_for_url(f"**{pages['booked']}")
    keys.to("#result")
    page.keyboard.type("Failed")
    keys.type("#inspector", "R. Castle")
    keys.type("#text-1", "Strap loose")
    keys.to("button.main")
    keys.press("Enter")
    page.wait_for_url("**said=told")
    assert page.locator("li.item").count() == 1
    keys.type("#who-1", "Riley")
    keys.to("form:has(li.item) button")
    keys.press("Enter")
    page.wait_for_url("**said=mended")
    assert page.locator("#who-1").input_value() == "Riley"


def test_without_script_a_line_is_selected_by_one_tap(
    person: Callable[..., Page], pages: dict[str, str]
) -> None:
    page = person("june", 360, script=False)
    page.goto(pages["portal"])
    assert page.locator("[data-copy]:visible").count() == 0
    assert page.locator(".said").first.evaluate("one => getComputedStyle(one).userSelect") == "all"
