"""A text has one limit, said where it is the address; what is pasted over it is kept and refused, never cut."""

from __future__ import annotations

from typing import Any

from bs4 import BeautifulSoup
from flask import Flask

from heaterapp.rules import LONGEST_TEXT
from heaterapp.web.phone_build import SHELL, build

SAYS = f"At most {LONGEST_TEXT} characters."


def _field(page: str) -> tuple[str | None, str]:
    """How much the street's box takes, and what is said at it."""
    shown = BeautifulSoup(page, "html.parser")
    box = shown.select_one("[name=address_street]")
    named = str(box["aria-describedby"]).split()
    said = " ".join(one.get_text() for name in named if (one := shown.find(id=name)))
    return box.get("maxlength"), said.strip()


def test_the_street_s_box_says_how_much_is_read_and_cuts_nothing(visit: Any) -> None:
    visitor = visit("installer")
    job = visitor.begin(address_street="x" * LONGEST_TEXT)
    for path in ("/jobs/new", f"/jobs/{job}/job"):
        assert _field(visitor.get(path).text) == (None, SAYS)
    sent = visitor.post("/jobs/new", {"address_street": "x" * (LONGEST_TEXT + 1)})
    assert sent.status_code == 422
    assert f"{LONGEST_TEXT} characters" in sent.text
    assert "x" * (LONGEST_TEXT + 1) in sent.text


def test_the_phone_s_boxes_too(app: Flask) -> None:
    with app.test_request_context():
        shell = BeautifulSoup(build().files[SHELL].decode(), "html.parser")
    begin = shell.select_one("[data-view=begin]")
    assert _field(begin.decode_contents()) == (None, SAYS)
    assert _field(shell.select_one("[data-view=section-job]").string or "") == (None, SAYS)
