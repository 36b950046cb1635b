"""A paper that is numbered and could not be made: the one before stands, and the office is told why and tries again."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import pytest
from bs4 import BeautifulSoup

from heaterapp import archive
from heaterapp.certificate import RenderFailed
from heaterapp.issue import submission
from heaterapp.web import correcting

from .conftest import fixed_paper
from .sent import signed

KEY = "correct-" + "0" * 32
CHANGES = {"owner_name": "Dana Whitlok"}
SLIP = {"act": "make", "key": KEY, "changes": json.dumps(CHANGES), "reason": "misspelt"}
WHY = "ParseError: not well-formed <b>"


@pytest.fixture
def pair(app: Any, issue: Any, store: Any, people: Any) -> tuple[Any, Any]:
    """A certificate that stands, and its revision, signed and numbered, that no press will make."""

    def breaks(record: Any) -> dict[str, bytes]:
        raise RenderFailed(WHY)

    first, person = issue(), people["a", "installer"]
    store.jobs.reopen(first.organisation, first.job_id)
    job = store.jobs.save_signature(first.organisation, first.job_id, {"signatures": [{"name": person.name}]})
    app.config["RENDER"] = breaks
    with pytest.raises(RenderFailed):
        store.issue_and_finish(submission(person, job, "unmade-key-1"), breaks)
    return first, store.records.hit(first.organisation, "C-000002")


def test_the_paper_before_stands_everywhere_until_the_next_is_made(
    app: Any, visit: Any, store: Any, pair: Any
) -> None:
    first, second = pair
    clerk = visit("office")
    record, desk = f"/office/records/{first.number}", f"/office/desk/{first.job_id}"
    for path in (record, desk):
        page = clerk.get(path).text
        assert f"<b>{second.number} is numbered, and its papers are not made yet.</b>" in page
        assert f"Until they are made, {first.number} stands." in page
        assert "not well-formed &lt;b&gt;" in page
        assert "The last try failed " in page
    assert "Replaced by" not in clerk.get(record).text
    token, _ = store.shares.make(first.organisation, first.id)
    page = visit().get(f"/s/{token}")
    assert page.status_code == 200
    assert second.number not in page.text

    board = BeautifulSoup(clerk.get("/office/desk").text, "html.parser")
    (due,) = board.find(id="not-made").find_next("ul").find_all("li")
    assert due.a["href"] == f"{desk}#not-made"
    assert f"RenderFailed: {WHY}" in due.text
    assert due.form["action"] == f"/office/records/{second.number}/make"
    assert "could not make the papers of" in clerk.get("/office/log?act=finish_failed").text

    again = clerk.post(f"/office/records/{second.number}/make")
    assert again.headers["Location"].startswith(desk)
    app.config["RENDER"] = fixed_paper
    made = clerk.post(f"/office/records/{second.number}/make")
    assert made.headers["Location"] == f"/office/records/{second.number}"
    assert BeautifulSoup(clerk.get("/office/desk").text, "html.parser").find(id="not-made") is None
    page = clerk.get(record).text
    assert "not made yet" not in page
    assert f"Replaced by <a href=\"/office/records/{second.number}\">" in page


def _slip_of(record: Any, store: Any, people: Any) -> Any:
    """The wish to put it right, not judged once more."""
    wish = submission(people["a", "office"], store.jobs.get(record.organisation, record.job_id), KEY)
    slip = archive.Correction(record.id, CHANGES, {"owner_name": "Dana Whitlock"})
    return replace(wish, supersedes=record.id, reason="misspelt", job_revision=None, correction=slip)


def test_a_slip_is_not_put_right_beside_it(
    visit: Any, store: Any, people: Any, pair: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    first, second = pair
    monkeypatch.setattr(correcting, "_slip", lambda *_: _slip_of(first, store, people))
    refused = visit("office").post(f"/office/records/{first.number}/correct", SLIP)
    assert refused.status_code == 409
    assert f"{second.number} was numbered since, and its papers are not made yet." in refused.text
    assert "Dana Whitlok<" in refused.text


def test_a_copy_given_before_says_what_stood_then(visit: Any, store: Any, people: Any, pair: Any) -> None:
    first, second = pair
    org, clerk = first.organisation, people["a", "office"]
    key = store.copies.give(org, first.id, clerk.id, "paper", "insurer", "claim", True)
    path = f"/office/records/{first.number}/copy/{key}"
    assert f"{first.number} is the current paper" in visit("office").get(path).text
    store.finish(org, second.record, fixed_paper)
    page = visit("office").get(path).text
    assert f"{first.number} was the current paper" in page
    assert f"{first.number} was replaced by {second.number}." in page


def test_a_slip_that_is_numbered_and_not_made_leads_to_where_it_is_tried_again(
    app: Any, visit: Any, issue: Any, store: Any, people: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    def breaks(record: Any) -> dict[str, bytes]:
        raise RenderFailed(WHY)

    first, clerk = issue(), visit("office")
    monkeypatch.setattr(correcting, "_slip", lambda *_: _slip_of(first, store, people))
    app.config["RENDER"] = breaks
    made = clerk.post(f"/office/records/{first.number}/correct", SLIP)
    assert made.headers["Location"] == f"/office/desk/{first.job_id}#not-made"
    assert "C-000002 is numbered" in clerk.get(f"/office/desk/{first.job_id}").text
    assert clerk.post(f"/office/records/{first.number}/correct", SLIP).headers["Location"] == made.headers["Location"]
    app.config["RENDER"] = fixed_paper
    again = clerk.post(f"/office/records/{first.number}/correct", SLIP)
    assert again.headers["Location"] == "/office/records/C-000002"


def test_a_phone_is_told_that_its_job_is_kept_and_asks_again(
    app: Any, phone: Any, answers: dict[str, Any], store: Any
) -> None:
    def breaks(record: Any) -> dict[str, bytes]:
        raise RenderFailed(WHY)

    app.config["RENDER"], body = breaks, json.dumps(signed(answers)).encode()
    for _ in range(2):
        told = phone.send(body)
        assert (told.status_code, told.json["code"]) == (503, "busy")
        assert "kept here" in told.json["error"]
        assert "C-0000" not in told.text
    app.config["RENDER"] = fixed_paper
    assert phone.send(body).json["repeated"] is True
