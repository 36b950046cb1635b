"""A paper that is numbered and could not be made: the one before stands, and the office is told why and tries again."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import pytest

from heaterapp import archive
from heaterapp.certificate import RenderFailed
from heaterapp.issue import submission
from heaterapp.web import correcting

from .conftest import fixed_paper

KEY = "correct-" + "0" * 32
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
    assert "Replaced by" not in clerk.get(record).text
    token, _ = store.shares.make(first.organisation, first.id)
    page = visit().get(f"/s/{token}")
    assert page.status_code == 200
    assert second.number not in page.text

    again = clerk.post(f"/office/records/{second.number}/make")
    assert again.headers["Location"].startswith(desk)
    app.config["RENDER"] = fixed_paper
    made = clerk.post(f"/office/records/{second.number}/make")
    assert made.headers["Location"] == f"/office/records/{second.number}"
    page = clerk.get(record).text
    assert "not made yet" not in page
    assert f"Replaced by <a href=\"/office/records/{second.number}\">" in page


def test_a_slip_is_not_put_right_beside_it(
    visit: Any, store: Any, people: Any, pair: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    first, second = pair
    changes = {"owner_name": "Dana Whitlok"}
    job = store.jobs.get(first.organisation, first.job_id)
    wish = replace(
        submission(people["a", "office"], job, KEY), supersedes=first.id, reason="misspelt",
        job_revision=None, correction=archive.Correction(first.id, changes, {"owner_name": "Dana Whitlock"}),
    )  # fmt: skip
    monkeypatch.setattr(correcting, "_slip", lambda *_: wish)
    sent = {"act": "make", "key": KEY, "changes": json.dumps(changes), "reason": "misspelt"}
    refused = visit("office").post(f"/office/records/{first.number}/correct", sent)
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
