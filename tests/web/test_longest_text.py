"""A text has one limit, said where it is the address; what is pasted over it is kept and refused, never cut."""

from __future__ import annotations

from typing import Any

from bs4 import BeautifulSoup
from flask import Flask

from heaterapp.archive.checking import LONGEST_FACT
from heaterapp.issue import facts_of
from heaterapp.rules import CATALOGUE
from heaterapp.web.phone_build import SHELL, build

LONGEST = CATALOGUE["address_street"].longest
SAYS = "At most 300 characters."
STREET = " ".join(f"{n}{'abcdefgh'[n % 8] * 6}" for n in range(10, 50))[:295] + " Ende"


def _field(page: str) -> tuple[str | None, str]:
    """How much the street's box takes, and what is said at it."""
    shown = BeautifulSoup(page, "html.parser")
    box = shown.select_one("[name=address_street]")
    named = str(box["aria-describedby"]).split()
    said = " ".join(one.get_text() for name in named if (one := shown.find(id=name)))
    return box.get("maxlength"), said.strip()


def test_the_street_s_box_says_how_much_is_read_and_cuts_nothing(visit: Any) -> None:
    visitor = visit("installer")
    job = visitor.begin(address_street="x" * LONGEST)
    for path in ("/jobs/new", f"/jobs/{job}/job"):
        assert _field(visitor.get(path).text) == (None, SAYS)
    sent = visitor.post("/jobs/new", {"address_street": "x" * (LONGEST + 1)})
    assert sent.status_code == 422
    assert f"{LONGEST} characters" in sent.text
    assert "x" * (LONGEST + 1) in sent.text


def test_the_phone_s_boxes_too(app: Flask) -> None:
    with app.test_request_context():
        shell = BeautifulSoup(build().files[SHELL].decode(), "html.parser")
    begin = shell.select_one("[data-view=begin]")
    assert _field(begin.decode_contents()) == (None, SAYS)
    assert _field(shell.select_one("[data-view=section-job]").string or "") == (None, SAYS)


def test_no_part_of_the_longest_address_is_cut() -> None:
    named = ("address_street", "address_unit", "address_city", "address_state", "address_zip")
    answers = {name: (f"{name[8]}" * CATALOGUE[name].longest)[:-1] + "e" for name in named}
    assert len(answers["address_street"]) == LONGEST == 300
    told = facts_of(answers, "").address
    assert all(answer in told for answer in answers.values())
    assert len(told) < LONGEST_FACT


def test_a_street_of_300_letters_is_found_and_told_whole(issue: Any, visit: Any, store: Any) -> None:
    assert len(STREET) == LONGEST
    record, clerk = issue(address_street=STREET), visit("office")
    for path in ("/office?q=ende", f"/office/records/{record.number}", f"/office/desk/{record.job_id}"):
        assert STREET in clerk.get(path).text, path
    assert STREET in visit("installer").get(f"/jobs/{record.job_id}/issued").text
    token, _ = store.shares.make(1, record.id, 1, None)
    assert STREET in clerk.client.get(f"/s/{token}").text


def test_a_long_street_with_a_fault_beside_it_comes_back_whole(visit: Any) -> None:
    visitor = visit("installer")
    job = visitor.begin()
    page = visitor.post(f"/jobs/{job}/job", {"address_street": STREET, "address_zip": "nowhere"})
    assert page.status_code == 422
    box = BeautifulSoup(page.text, "html.parser").select_one("[name=address_street]")
    assert box["value"] == STREET
