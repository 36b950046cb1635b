"""A contractor's name or license that the office corrected is what paper, page and mail say from then on."""

from __future__ import annotations

import json
from typing import Any

import pytest

from heaterapp import correcting, homeowner, rules
from heaterapp.certificate.filed import Filed
from heaterapp.certificate.parties import contractor_of

from .test_history import looked, made

RIGHT = {"contractor_name": "Harbor Light Plumbing Inc", "contractor_licence": "C36 111111"}


@pytest.fixture(autouse=True)
def quick_judge(monkeypatch: pytest.MonkeyPatch) -> None:
    """Judged again in this process, for speed."""
    monkeypatch.setattr(correcting, "judge_with", lambda _, answers: rules.assess(answers).to_bytes())


@pytest.fixture
def told(store: Any) -> Any:
    """Whom the paper of a job's newest record names, as the homeowner is told too."""

    def of(first: Any) -> tuple[str, str]:
        newest = max(store.records.of_job(first.organisation, first.job_id), key=lambda hit: hit.record)
        record = store.records.get(first.organisation, newest.record)
        filed, known = Filed.of(record), homeowner.Known.of(record)
        name, lines = contractor_of(filed.answers(), filed)
        licence = lines[0].removeprefix("License ").partition(" · ")[0]
        assert (known.firm["name"], known.firm["licence"]) == (name, licence)
        page = homeowner.page_of(known, "en")
        assert f"{name}\n" in str(dict(page.calls)["The heater"])
        return name, licence

    return of


def test_a_corrected_contractor_is_on_the_paper_and_stays_there(
    visit: Any, issue: Any, store: Any, told: Any
) -> None:
    store.organisations.save(1, name="Harborlight Plumbing", licence="C36 000000")
    clerk, was = visit("office"), ("Harborlight Plumbing", "C36 000000")
    first = issue()
    assert told(first) == was
    preview = looked(clerk, first.number, contractor_licence=RIGHT["contractor_licence"])
    assert "No new signature is needed" in preview.text
    second = made(clerk, first.number, preview).location.rpartition("/")[2]
    assert told(first) == ("Harborlight Plumbing", "C36 111111")
    # Neither another slip nor a paper signed anew brings the wrong one back.
    third = made(clerk, second, looked(clerk, second, **RIGHT, owner_name="Dana Whitlocke"))
    assert told(first) == tuple(RIGHT.values()), third.location
    issue(job_id=first.job_id, precharge_psi="61")
    assert told(first) == tuple(RIGHT.values())
    # The installer who says something else himself is not the office: the firm's setting says it again.
    issue(job_id=first.job_id, contractor_licence="C36 222222")
    assert told(first) == (RIGHT["contractor_name"], "C36 000000")


def test_a_contractor_corrected_as_the_job_is_opened_again_is_on_the_next_paper(
    issue: Any, store: Any, people: Any, told: Any
) -> None:
    store.organisations.save(1, name="Harborlight Plumbing", licence="C36 000000")
    first = issue()
    store.corrections.open_again(
        first.organisation, first.id, people["a", "office"].id, {"contractor_licence": "C36 111111"},
        {"contractor_licence": json.loads(first.job)["contractor_licence"]}, "wrong", "key-0001",
    )  # fmt: skip
    issue(job_id=first.job_id)
    assert told(first) == ("Harborlight Plumbing", "C36 111111")
