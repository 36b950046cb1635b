"""Permit facts: what the firm says once for every job, and what is usual and nobody is asked."""

from __future__ import annotations

import html
import re
from typing import Any

CLASS, COMPENSATION = "C36", "Larkin Mutual, policy 0000"


def test_the_firm_says_its_class_and_compensation_once(visit: Any, issue: Any) -> None:
    owner, june, record = visit("owner"), visit("office"), issue()
    assert "Missing" in june.get(f"/office/desk/{record.job_id}/permit-facts").text
    too_long = owner.post("/office/firm", {"contractor_class": "x" * 61})
    assert too_long.status_code == 400
    assert "License class: one line of at most 60 plain characters." in too_long.text
    assert (
        owner.post(
            "/office/firm", {"contractor_class": CLASS, "workers_compensation": COMPENSATION}
        ).status_code
        == 303
    )
    page = june.get("/office/desk/new").text
    assert f'value="{CLASS}"' in page
    assert f'value="{COMPENSATION}"' in page
    told = html.unescape(june.get(f"/office/desk/{record.job_id}/permit-facts?as=text").text)
    assert f"License class: {CLASS}" in told
    assert f"Workers' compensation: {COMPENSATION}" in told


def test_what_is_usual_stands_there_and_says_that_nobody_was_asked(
    visit: Any, issue: Any, store: Any
) -> None:
    june, record = visit("office"), issue()
    path = f"/office/desk/{record.job_id}/permit-facts"
    assert june.get(path).text.count("as usual, not asked") == 2 * 4, "in the list and in the text"
    store.desk.save(record.organisation, june.person.id, record.job_id, facts={"flood_related": "yes"})
    page = june.get(path).text
    assert page.count("as usual, not asked") == 2 * 3
    assert "Because of a flood: Yes" in june.get(f"{path}?as=text").text


def test_what_permit_offices_ask_is_unfolded_where_something_is_missing(visit: Any) -> None:
    page = visit("office").get("/office/desk/new").text
    assert re.search(r"<details class=\"asked\" open><summary><h2>What permit offices ask", page)
    assert re.search(r"<details class=\"asked\"><summary><h2>Label program", page)
