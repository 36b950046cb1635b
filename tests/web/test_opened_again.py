"""A job that the office opened again: what was changed, what a paper says since, and the way back."""

from __future__ import annotations

import html
import re
from typing import Any

import pytest

from heaterapp.correcting import slip
from tests.web.conftest import fixed_paper


@pytest.fixture
def opened(issue: Any, store: Any, people: Any) -> Any:
    """A certificate whose job the office opened again, with another spelling and another pressure of air."""
    record = issue(owner_name="Foster")
    changes, before = {"owner_name": "Fostor", "precharge_psi": "59"}, {"owner_name": "Foster", "precharge_psi": "60"}
    store.corrections.open_again(
        record.organisation, record.id, people["a", "office"].id, changes, before, "gauge read again", "open-key-1",
    )  # fmt: skip
    return record


def _slip(store: Any, people: Any, record: Any, **changes: Any) -> Any:
    ruleset = store.records.ruleset(record.organisation, record.ruleset_digest)
    wish = slip(people["a", "office"], record, changes, "misspelt", "slip-key-1", ruleset, lambda _, said: str(said))
    return store.issue_and_finish(wish, fixed_paper)


def test_the_installer_sees_which_answers_the_office_changed_and_from_what(
    visit: Any, opened: Any, people: Any
) -> None:
    installer = visit("installer")
    for page in ("job", "review", "sign"):
        said = html.unescape(installer.get(f"/jobs/{opened.job_id}/{page}").text)
        assert f"{people['a', 'office'].name} opened this job again on " in said, page
        assert "was Foster, now Fostor." in said, page
        assert "was 60 psi, now 59 psi." in said, page


def test_a_paper_issued_since_that_says_otherwise_is_told_before_signing(
    visit: Any, opened: Any, store: Any, people: Any
) -> None:
    installer = visit("installer")
    signing = installer.wish(opened.job_id) | {"stands": opened.number}
    made = _slip(store, people, opened, owner_name="Forster")
    answer = installer.post(f"/jobs/{opened.job_id}/sign", signing)
    assert answer.status_code == 422
    for page in (answer.text, installer.get(f"/jobs/{opened.job_id}/review").text):
        said = html.unescape(page)
        assert f"{made.number}, issued since on " in said
        assert ": Forster. This job says: Fostor. Look which is right before you sign." in said
    assert installer.sign(opened.job_id, stands=made.number).status_code == 302


def test_an_opening_by_mistake_is_taken_back_and_the_paper_stands(
    visit: Any, opened: Any, store: Any
) -> None:
    clerk, page = visit("office"), f"/office/desk/{opened.job_id}"
    said = html.unescape(clerk.get(page).text)
    assert "to be signed anew:</b> gauge read again." in said
    assert f"{opened.number}</a> stands." in said
    assert "was Foster, now Fostor." in said
    assert clerk.post(f"{page}/take-back").status_code == 303
    job = store.jobs.get(opened.organisation, opened.job_id)
    assert (job.state, job.answers["owner_name"], job.answers["precharge_psi"]) == ("issued", "Foster", "60")
    assert store.corrections.opened(opened.organisation, opened.job_id) is None
    assert store.records.present(opened.organisation, opened.job_id).number == opened.number
    log = re.sub(r"<[^>]+>", "", clerk.get("/office/log").text)
    assert f"took back that the job of {opened.number} was opened again: {opened.number} stands" in log
    assert store.verify().ok
    assert clerk.post(f"{page}/take-back").status_code == 409


def test_what_the_installer_changed_since_is_not_taken_back(visit: Any, opened: Any, store: Any) -> None:
    store.jobs.save_answers(opened.organisation, opened.job_id, {"owner_name": "Forster"})
    clerk, page = visit("office"), f"/office/desk/{opened.job_id}"
    answer = clerk.post(f"{page}/take-back")
    assert (answer.status_code, "not taken back" in answer.text) == (409, True)
    assert store.jobs.get(opened.organisation, opened.job_id).answers["owner_name"] == "Forster"


def test_a_signed_list_waits_for_no_signature_until_an_answer_is_changed(visit: Any, issue: Any, store: Any) -> None:
    listed = issue(precharge_psi="25")
    assert listed.kind == "correction_list"

    def waits() -> bool:
        lines = store.board.to_do(listed.organisation, "2026-12-31")["unsigned"].lines
        return listed.job_id in {one.job_id for one in lines}

    assert not waits()
    store.jobs.save_answers(listed.organisation, listed.job_id, {"precharge_psi": "60"})
    assert waits()
