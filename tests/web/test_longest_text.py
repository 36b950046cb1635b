"""A text has one limit: its field takes no more, says so where it is the address, and the answer is read up to it."""

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


def test_the_street_s_box_takes_as_much_as_is_read_and_says_so(visit: Any) -> None:
    visitor = visit("installer")
    job = visitor.begin(address_street="x" * LONGEST_TEXT)
    for path in ("/jobs/new", f"/jobs/{job}/job"):
        assert _field(visitor.get(path).text) == (str(LONGEST_TEXT), SAYS)
    sent = visitor.post("/jobs/new", {"address_street": "x" * (LONGEST_TEXT + 1)})
    assert sent.status_code == 422
    assert f"{LONGEST_TEXT} characters" in sent.text


def test_the_phone_s_boxes_too(app: Flask) -> None:
    with app.test_request_context():
        shell = BeautifulSoup(build().files[SHELL].decode(), "html.parser")
    begin = shell.select_one("[data-view=begin]")
    assert _field(begin.decode_contents()) == (str(LONGEST_TEXT), SAYS)
    assert _field(shell.select_one("[data-view=section-job]").string or "") == (str(LONGEST_TEXT), SAYS)
