"""The number said to be left to answer is the number of fields a person finds, on every page that says it."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest
from bs4 import BeautifulSoup

from heaterapp.rules import CATALOGUE, SECTIONS
from heaterapp.sheet.live import ALWAYS_SHOWN

SHARED = {"draft_kind": "draft_hood", "vent_kind": "type_b", "vent_end": "roof", "vent_shared": "yes"}
ELECTRIC = {"heater_kind": "electric_storage", "volts": "240"}


def _fields(page: BeautifulSoup) -> list[str]:
    """The empty fields in view: asked, and not in the fold of what may stay empty."""
    found = []
    for box in page.select("[data-q]"):
        if box.has_attr("hidden") or box.find_parent("details", class_="more"):
            continue
        own = box["data-q"]
        held = [one.get("value", "") for one in box.select('input[type="text"], input[type="date"]') if not one["name"].endswith("-why")]
        held += [one.get("value", "") for one in box.select('input[type="radio"]') if one.has_attr("checked")]
        held += [one.get("value", "") for one in box.select("option") if one.has_attr("selected")]
        if not any(held):
            found.append(own)
    return found


def _for_the_record(name: str) -> bool:
    question = CATALOGUE[name]
    return question.record or question.default is not None or name in ALWAYS_SHOWN


@pytest.mark.parametrize("more", [{}, SHARED, ELECTRIC, {"relief_fitted": "yes", "room": "attic"}], ids=str)
def test_the_count_is_of_the_fields_in_the_sections(visit: Callable[..., Any], more: dict[str, Any]) -> None:
    visitor = visit("installer")
    job = visitor.begin()
    assert visitor.post_json(f"/jobs/{job}/answers", {"changes": more}).get_json()["errors"] == {}
    review = BeautifulSoup(visitor.get(f"/jobs/{job}/review").text, "html.parser")
    lines = {a["href"].rpartition("#q-")[2] for a in review.select('[aria-labelledby="answer"] li a')}
    seen: set[str] = set()
    for section in SECTIONS:
        page = BeautifulSoup(visitor.get(f"/jobs/{job}/{section}").text, "html.parser")
        fields = {name for name in _fields(page) if CATALOGUE[name].section == section}
        wanted = {name for name in fields if not _for_the_record(name) or name in lines}
        seen |= wanted
        assert page.select_one('[data-count="answer"]').text == str(len(lines)), section
        here = re.search(r"(\d+) to answer", page.select_one(f'[data-tally="{section}"]').text)
        assert (int(here.group(1)) if here else 0) == len(wanted), section
        groups = [one.text for one in page.select("details.group > summary > .quiet")]
        waiting = sum(int(n) for text in groups for n in re.findall(r"(\d+) to answer", text))
        assert waiting <= len(wanted)
    assert seen == lines
    assert len(lines) > 10
    assert re.search(r"(\d+) to answer", review.select_one(".strip-counts").text).group(1) == str(len(lines))
