"""The second visit's installer is told what the inspector asked for, and says what is mended."""

from __future__ import annotations

import html
import re
from dataclasses import replace
from typing import Any

import pytest

from heaterapp.archive.desk_shapes import Item
from tests.web.desk_forms import day, hidden

WORDS = "Relief valve: pipe no trap: Trap under the pan"


@pytest.fixture
def reopened(issue: Any, store: Any, people: Any) -> tuple[str, int]:
    record, office = issue(), people["a", "office"]
    visit = store.inspections.book(record.organisation, office.id, record.job_id, day(store, 0), {})
    items = [Item("relief.pipe_no_trap", "Trap under the pan", "", ""), Item("", "Upper strap loose", "", "")]
    told = store.inspections.tell(
        record.organisation, office.id, visit.id, 1, "failed", day(store, 0), {}, items
    )
    return record.job_id, told.id


def test_the_installer_sees_what_to_mend_and_says_what_is_mended(
    visit: Any, reopened: Any, store: Any, people: Any
) -> None:
    job, number = reopened
    installer, firm = visit("installer"), people["a", "installer"].organisation
    installer.post(f"/jobs/{job}/again")
    for page in ("job", "review", "sign"):
        shown = html.unescape(installer.get(f"/jobs/{job}/{page}").text)
        assert WORDS in shown, page
        assert "Second visit after the inspection of" in shown, page
    assert WORDS not in installer.get(f"/jobs/{job}/gas").text
    page = installer.get(f"/jobs/{job}/review").text
    sent = {name: hidden(page, name) for name in ("visit", "items_revision")} | {"back": "sign"}
    said = {**sent, "mended-1": "yes", "said-1": "Trap taken out", "mended-2": "no", "said-2": "Needs a stud"}
    bad = installer.post(f"/jobs/{job}/mended", {**said, "mended-1": "perhaps"})
    assert bad.status_code == 422
    assert "Item 1, mended: expected yes or no" in bad.text
    assert 'value="Needs a stud"' in bad.text
    answer = installer.post(f"/jobs/{job}/mended", said)
    assert (answer.status_code, answer.location.split("#")[0]) == (303, f"/jobs/{job}/sign")
    first, second = store.inspections.get(firm, number).items
    assert (first.fixed_on, first.fixed_by) == (day(store, 0), people["a", "installer"].id)
    assert (second.open, second.said) == (True, "Needs a stud")
    assert installer.post(f"/jobs/{job}/mended", {**said, "mended-2": "yes"}).status_code == 409
    assert store.inspections.get(firm, number).items[1].open
    desk = visit("office").get(f"/office/desk/inspections/{number}").text
    assert f"says {people['a', 'installer'].name}" in desk
    assert "proves nothing" in desk
    assert "Needs a stud" in desk


@pytest.fixture
def again(visit: Any, reopened: Any) -> tuple[Any, str, int]:
    """The installer, at the job that is open for its second visit."""
    job, number = reopened
    installer = visit("installer")
    installer.post(f"/jobs/{job}/again")
    return installer, job, number


def _signing(installer: Any, job: str, **more: str) -> dict[str, str]:
    page = installer.get(f"/jobs/{job}/sign").text
    form = page.split('<form method="post"')[-1]
    return {**installer.wish(job), **{name: hidden(form, name) for name in ("visit", "items_revision")}, **more}


def test_signing_takes_along_what_is_said_to_be_mended(again: Any, store: Any, people: Any) -> None:
    installer, job, number = again
    firm = people["a", "installer"].organisation
    said = {"mended-1": "yes", "said-1": "Trap taken out", "mended-2": "no", "said-2": "Needs a stud"}
    signing = _signing(installer, job, **said)
    answer = installer.post(f"/jobs/{job}/sign", {**signing, "name": ""})
    assert answer.status_code == 422
    assert "Nothing is saved or issued yet" in answer.text
    assert 'value="Needs a stud"' in answer.text
    assert store.inspections.get(firm, number).items[0].open
    bad = installer.post(f"/jobs/{job}/sign", {**signing, "mended-2": "perhaps"})
    assert (bad.status_code, "Item 2, mended: expected yes or no" in bad.text) == (422, True)
    assert installer.post(f"/jobs/{job}/sign", signing).status_code == 302
    first, second = store.inspections.get(firm, number).items
    assert (first.open, first.said, second.open, second.said) == (False, "Trap taken out", True, "Needs a stud")
    assert len(store.records.of_job(firm, job)) == 2


def test_items_changed_by_somebody_else_stop_a_signature(again: Any, store: Any, people: Any) -> None:
    installer, job, number = again
    office = people["a", "office"]
    signing = _signing(installer, job, **{"mended-1": "yes", "said-1": "Trap taken out"})
    visit = store.inspections.get(office.organisation, number)
    there = [replace(visit.items[0], said="Drawn on the plan"), visit.items[1]]
    store.inspections.mend(office.organisation, office.id, number, visit.revision, there)
    answer = installer.post(f"/jobs/{job}/sign", signing)
    assert answer.status_code == 409
    assert len(store.records.of_job(office.organisation, job)) == 1
    assert 'value="Trap taken out"' in answer.text
    assert "Saved now: not mended, Drawn on the plan." in answer.text


def test_the_review_goes_on_to_sign_by_the_form_of_the_items(again: Any) -> None:
    installer, job, _ = again
    page = installer.get(f"/jobs/{job}/review").text
    onward = re.search(r'<button class="button main" [^>]*form="mending"[^>]*>Sign the certificate', page)
    assert onward, "signing from the review leaves the items behind"
    assert 'name="back" value="sign"' in onward.group(0)
    assert f'href="/jobs/{job}/sign"' not in page


def test_a_job_with_nothing_to_mend_has_no_such_form(visit: Any, issue: Any) -> None:
    record = issue()
    installer = visit("installer")
    installer.post(f"/jobs/{record.job_id}/again")
    assert "What the inspector asked for" not in installer.get(f"/jobs/{record.job_id}/review").text
    assert installer.post(f"/jobs/{record.job_id}/mended", {}).status_code == 409


def test_a_phone_is_told_what_to_mend_and_at_which_question(visit: Any, reopened: Any, store: Any) -> None:
    job, _ = reopened
    installer = visit("installer")
    assert installer.get(f"/phone/api/jobs/{job}").get_json()["inspected"] is None
    told = installer.post_json(f"/phone/api/jobs/{job}/again", {}).get_json()["inspected"]
    assert told["on"] == day(store, 0)
    assert told["items"] == [
        {"says": WORDS, "check": "relief.pipe_no_trap", "mended": False, "question": "relief_trap", "section": "relief"},
        {"says": "Upper strap loose", "check": "", "mended": False, "question": "", "section": ""},
    ]  # fmt: skip
    assert installer.get(f"/phone/api/jobs/{job}").get_json()["inspected"]["items"] == told["items"]
