"""What a phone of 360 px must not cut: the manual's tables, the words of a choice."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.sweeps import beyond

pytestmark = pytest.mark.browser
START = {"heater_kind": "gas_storage", "job_kind": "same_place", "place": "us_ca_2022"}
OUT_OF_VIEW = """() => [...document.querySelectorAll("table.books tbody :is(th, td)")]
  .filter(cell => { const b = cell.getBoundingClientRect(); return b.left < 0 || b.right > document.documentElement.clientWidth; })
  .map(cell => cell.textContent.trim().slice(0, 60))"""
SCROLLED = """() => [...document.querySelectorAll(".wide")].filter(one => one.scrollWidth > one.clientWidth + 1).length"""

# A word that stands on two lines has two boxes.
BROKEN = """all => all.flatMap(one => { const text = one.firstChild, found = [];
  for (const word of text.data.matchAll(/[^\\s-]+/g)) { const range = document.createRange();
    range.setStart(text, word.index); range.setEnd(text, word.index + word[0].length);
    if (new Set([...range.getClientRects()].map(box => Math.round(box.top))).size > 1) found.push(word[0]); }
  return found; })"""


@pytest.mark.parametrize("path", ["/manual", "/manual/coverage", "/manual/expansion.tank_large_enough"])
def test_the_manuals_tables_are_read_without_moving_them_sideways(
    person: Callable[..., Page], path: str
) -> None:
    page = person(None, 360)
    page.goto(path)
    assert page.locator("table.books tbody td").count() > 3
    assert page.evaluate(OUT_OF_VIEW) == []
    assert page.evaluate(SCROLLED) == 0


def test_each_cell_of_a_stacked_row_says_what_it_is(person: Callable[..., Page]) -> None:
    page = person(None, 360)
    page.goto("/manual/expansion.tank_large_enough")
    row = page.locator("table.books tbody tr").first.locator("td")
    heads = [one.evaluate("cell => getComputedStyle(cell, '::before').content") for one in row.all()]
    assert all(word in head for word, head in zip(("Section", "Says", "How sure"), heads, strict=True))
    wide = person(None, 1280)
    wide.goto("/manual/expansion.tank_large_enough")
    first = wide.locator("table.books tbody tr").first.locator("td").first
    assert first.evaluate("cell => getComputedStyle(cell, '::before').content") == "none"
    assert first.evaluate("cell => getComputedStyle(cell).display") == "table-cell"


@pytest.mark.parametrize("path", ["/jobs/new", "/jobs/{job}/job", "/jobs/{job}/codes"])
def test_a_choice_that_is_cut_stands_whole_beneath(
    person: Callable[..., Page], served: Any, path: str
) -> None:
    page = person("riley", 360)
    page.goto(path.format(job=served.begun(START)))
    page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true; })")
    box = page.locator('select:is([name="place"], [name="codes"])')
    beneath = box.locator("+ .whole")
    expect(beneath).to_have_text("California 2022: state codes on the UPC 2021 and NEC 2020")
    expect(beneath).to_be_visible()
    box.select_option("model_upc_2021")
    expect(beneath).not_to_contain_text("California")
    box.select_option("model_ipc_2021")
    expect(beneath).to_have_text("Model code: IPC, IFGC and IMC 2021 with NEC 2020")
    assert page.faults == []


def test_at_a_desk_nothing_is_said_twice(person: Callable[..., Page]) -> None:
    page = person("riley", 1280)
    page.goto("/jobs/new")
    page.set_viewport_size({"width": 1280, "height": 700})
    page.evaluate("document.fonts.ready")
    page.select_option("#place", "model_irc_2015")
    assert page.locator(".whole:visible").count() == 0


@pytest.mark.parametrize(
    ("path", "size"),
    [
        ("/jobs", "200%"),
        ("/phone/", "100%"),
        beyond("/jobs", "100%", why="either list, and either size of text at the other list"),
        beyond("/phone/", "200%", why="either list, and either size of text at the other list"),
    ],
)
def test_a_new_job_begins_within_the_reach_of_one_hand(
    person: Callable[..., Page], path: str, size: str
) -> None:
    page = person("riley", 360)
    page.goto(path)
    # The phone's list is whole once the office's jobs stand in it.
    page.wait_for_load_state("networkidle")
    page.evaluate("size => { document.documentElement.style.fontSize = size; }", size)
    start = page.get_by_role("link", name="New job")
    expect(start).to_be_in_viewport(ratio=1)
    place = start.bounding_box()
    assert place
    assert place["y"] > 740 * 2 / 3
    assert place["height"] >= 60
    page.evaluate("scrollTo(0, document.documentElement.scrollHeight)")
    page.wait_for_timeout(100)
    last = page.locator(".foot > *").last.bounding_box()
    assert last
    assert last["y"] + last["height"] <= start.bounding_box()["y"] + 1


@pytest.mark.parametrize(
    ("section", "name"),
    [
        ("job", "seismic_design_category"),
        ("place", "room"),
        ("plate", "vent_category"),
        ("relief", "relief_pipe_material"),
        ("vent", "air_source"),
    ],
)
def test_no_word_of_a_choice_is_broken(
    person: Callable[..., Page], served: Any, section: str, name: str
) -> None:
    page = person("riley", 360)
    answers = {
        **START,
        "relief_fitted": "yes",
        "relief_end": "outdoors",
        "draft_kind": "draft_hood",
        "vent_kind": "type_b",
    }
    page.goto(f"/jobs/{served.begun(answers)}/{section}")
    page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true; })")
    picks = page.locator(f'[data-q="{name}"] .pick > span:visible')
    assert picks.count() >= 5
    assert picks.evaluate_all(BROKEN) == []
