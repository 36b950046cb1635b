"""A copy with personal data left out is asked for, logged and given like any other."""

from __future__ import annotations

import hashlib
from typing import Any

import pytest

from .conftest import PAPER
from .test_handed_out import give


@pytest.fixture
def made(app: Any) -> list[Any]:
    """What was pressed."""
    copies: list[Any] = []

    def press(copy: Any) -> bytes:
        copies.append(copy)
        return b"%PDF copy"

    app.config["RENDER_REDACTED"] = press
    return copies


def test_it_is_logged_and_made_from_the_record_with_the_papers_digest(
    visit: Any, issue: Any, store: Any, people: Any, made: list[Any]
) -> None:
    opened, clerk, june = issue(), visit("office"), people["a", "office"]
    store.desk.save(opened.organisation, june.id, opened.job_id, facts={"contact_email": "dana@example.com"})
    house = clerk.get(give(clerk, opened.number, what="address").location).text
    assert f"/office/records/{opened.number}/copy?what=redacted" in house
    given = give(clerk, opened.number, what="redacted").location
    entry = store.log.newest(opened.organisation, act="copy", limit=1)[0]
    assert '"what":"redacted"' in entry.body
    assert f"{given}/redacted.pdf" in clerk.get(given).text
    answer = clerk.get(f"{given}/redacted.pdf")
    assert (answer.status_code, answer.data) == (200, b"%PDF copy")
    (copy,) = made
    assert copy.made_from == ("certificate.pdf", hashlib.sha256(PAPER + opened.number.encode()).hexdigest())
    assert (copy.state, copy.names, copy.filed.number) == ("", ("dana@example.com",), opened.number)
    assert clerk.get(f"{given}/papers.zip").status_code == 404, "nothing goes along with it"
    assert clerk.get(f"{given}/cover.pdf").status_code == 404
    plain = give(clerk, opened.number).location
    assert clerk.get(f"{plain}/redacted.pdf").status_code == 404
    assert "a copy with personal data left out" in clerk.get("/office/log").text


def test_one_of_a_replaced_paper_says_so_on_its_face(visit: Any, issue: Any, made: list[Any]) -> None:
    old, clerk = issue(), visit("office")
    new = issue(job_id=old.job_id)
    assert give(clerk, old.number, what="redacted").status_code == 422
    given = give(clerk, old.number, what="redacted", told_replaced="yes").location
    clerk.get(f"{given}/redacted.pdf")
    assert made[0].state == f"{old.number} was replaced by {new.number}."
