"""A file that the office holds against a record's papers: told in the words of check-paper, and kept nowhere."""

from __future__ import annotations

import io
from typing import Any

import pytest
from bs4 import BeautifulSoup

from heaterapp.sealing import CALLS, KINDS, NEXT
from heaterapp.web import look_at_file
from tests.sealing.conftest import small_paper

PAPER = small_paper("The archival paper")


@pytest.fixture
def made(issue: Any, monkeypatch: pytest.MonkeyPatch) -> Any:
    monkeypatch.setattr("tests.web.conftest.fixed_paper", lambda record: {"certificate-archival.pdf": PAPER})
    return issue()


def told(clerk: Any, made: Any, body: bytes) -> list[str]:
    answer = clerk.post(f"/office/records/{made.number}/compare-file", {"file": (io.BytesIO(body), "a.pdf")})
    assert answer.status_code == 200
    return [one.text for one in BeautifulSoup(answer.text, "html.parser").select(".told p")]


def test_one_byte_another_paper_and_the_paper_are_told_apart_and_nothing_is_kept(
    visit: Any, made: Any, store: Any, people: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    clerk = visit("office")
    way = f"/office/records/{made.number}"
    assert f'href="{way}/compare-file"' in clerk.get(way).text
    head = store.log.head(made.organisation)
    flipped = bytearray(PAPER)
    flipped[700] ^= 1
    cases = ((PAPER, "stored"), (bytes(flipped), "changed"), (PAPER[:900], "shorter"), (b"no paper", "no_pdf"),
             (small_paper("x", b"{}", "C-999999 <b>"), "another"), (b"", "no_pdf"))  # fmt: skip
    for body, kind in cases:
        said = told(clerk, made, body)
        assert said[:2] == [KINDS[kind], NEXT[kind]]
        assert (CALLS.format(number="C-999999") in said) == (kind == "another")
        assert said[2] == f"{made.number}: the current paper of its job."
    # A request may be as large as a paper, where others may not.
    monkeypatch.setitem(clerk.client.application.config, "MAX_CONTENT_LENGTH", 1000)
    assert told(clerk, made, PAPER)[0] == KINDS["stored"]
    assert store.log.head(made.organisation) == head, "looking is no act, and keeps nothing"
    store.void(made.organisation, made.id, people["a", "office"].id, "wrong house")
    assert told(clerk, made, PAPER)[2] == f"{made.number}: void: it holds no more."
    monkeypatch.setattr(look_at_file, "LARGEST_FORM", 1000)
    large = clerk.post(f"{way}/compare-file", {"file": (io.BytesIO(bytes(5000)), "a.pdf")})
    assert large.status_code == 413


@pytest.mark.usefixtures("stopped_clock")
def test_no_file_is_named_and_many_looks_are_slowed(visit: Any, made: Any) -> None:
    clerk, way = visit("office"), f"/office/records/{made.number}/compare-file"
    for sent in ({}, {"file": "text"}, {"file": (io.BytesIO(PAPER), "")}):
        answer = clerk.post(way, sent)
        assert answer.status_code == 422
        assert look_at_file.CHOOSE in BeautifulSoup(answer.text, "html.parser").find(id="file-error").text
    codes = [clerk.post(way, {"file": (io.BytesIO(b"x"), "a.pdf")}).status_code for _ in range(12)]
    assert (codes[:10], codes[-1]) == ([200] * 10, 429)
