"""Wherever a job is shown, the firm's own amendments it was judged by are named, with version and date."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest

from heaterapp.certificate import render_here
from heaterapp.rules import amendable, settable
from tests.certificate.printed import printed

NAMED = "Port Larkin water rules, version 2, in force 2026-11-01"
SHOWN = NAMED.replace("2026-11-01", "1 Nov 2026")
"""On our own pages and on papers."""
CLAUSE = "supply.pressure_limit"
LIMIT = {"section": "14.20", "says": "Static pressure is not above this.", "values": {"limit": "70"}}


def _set(base: str, **different: Any) -> dict[str, Any]:
    usual = {
        "name": "port_larkin_water", "title": "Port Larkin water rules", "version": 2, "on": "2026-11-01",
        "base": base, "clauses": {CLAUSE: LIMIT}, "silent": {},
    }  # fmt: skip
    return {**usual, **different}


STATED: dict[str, Any] = {}
STRUCK: dict[str, Any] = {"clauses": {}, "silent": {CLAUSE: "The town asks for none."}}


@pytest.fixture(params=[STATED, STRUCK], ids=["stated", "struck"])
def amended(request: pytest.FixtureRequest, issue: Callable[..., Any]) -> Any:
    assert settable(amendable("us_ca_2022")[CLAUSE]) == ["limit"]
    return issue(amendments=_set("us_ca_2022", **request.param))


def _text(page: str) -> str:
    return re.sub(r"\s+", " ", page)


def test_the_record_of_the_office_names_them_once_in_words(visit: Callable[..., Any], amended: Any) -> None:
    page = _text(visit("office").get(f"/office/records/{amended.number}").text)
    assert f", with {SHOWN}</dd>" in page
    assert "&#39;clauses&#39;" not in page


def test_the_homeowner_reads_them_in_both_languages(
    visit: Callable[..., Any], store: Any, amended: Any
) -> None:
    token, _ = store.shares.make(amended.organisation, amended.id)
    named = NAMED.replace("2026-11-01", "November 1, 2026")
    assert f"<dt>Local rules</dt><dd>{named}</dd>" in visit().get(f"/s/{token}").text
    spanish = "<dt>Reglas locales</dt><dd>Port Larkin water rules, versión 2, vigente desde el 1 de noviembre de 2026</dd>"
    assert spanish in visit().get(f"/s/{token}?lang=es").text


def test_the_paper_names_them_among_the_adopted_codes(amended: Any) -> None:
    pdf = next(body for name, body in render_here(amended).items() if name.endswith(".pdf"))
    text = _text(printed(pdf))
    assert text.count(SHOWN) == 1
    assert 0 <= text.index("Adopted codes") < text.index(SHOWN)


def test_the_review_names_them(visit: Callable[..., Any], store: Any, people: Any) -> None:
    person = people["a", "installer"]
    answers = {"place": "us_ca_2022", "heater_kind": "gas_storage", "job_kind": "same_place"}
    for own, said in ((_set("us_ca_2022"), True), (None, False)):
        held = {**answers, "amendments": own} if own else answers
        job = store.jobs.create(person.organisation, person.id, held)
        page = _text(visit("installer").get(f"/jobs/{job.id}/review").text)
        assert (f"Judged with {SHOWN}." in page) is said


def test_a_job_without_them_says_nothing_of_them(
    visit: Callable[..., Any], store: Any, issue: Callable[..., Any]
) -> None:
    plain = issue()
    token, _ = store.shares.make(plain.organisation, plain.id)
    assert "Local rules" not in visit().get(f"/s/{token}").text
    codes = re.search(
        r"<dt>Codes</dt><dd>(.*?)</dd>", visit("office").get(f"/office/records/{plain.number}").text
    )
    assert codes
    assert ", with " not in codes[1]
