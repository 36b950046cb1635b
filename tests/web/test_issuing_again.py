"""What goes wrong between the sign page and the paper: changed answers, broken papers, pasted text, second visits."""

from __future__ import annotations

import hashlib
import json
from datetime import datetime, timedelta
from functools import partial
from typing import Any

import pytest

from heaterapp import archive
from heaterapp.certificate.content import paper_of
from heaterapp.certificate.filed import Filed
from heaterapp.filling.signed import NotIssuable, answers_digest
from heaterapp.issue import submission
from tests.web.ready_jobs import ready

JOINED = "\u0dc1\u0dca\u200d\u0dbb\u0dd3\u0db8\u0dad\u0dd2 \u0db4\u0dd9\u0dbb\u0dda\u0dbb\u0dcf"
"""A name in Sinhala, whose letters are joined by what itself is not seen."""
PASTED = "12 N.\u00a0Oak\u200b Ave\u2009"


@pytest.fixture
def draft(store: Any, people: Any) -> Any:
    return partial(ready, store, people)


def _form(job: archive.Job, **different: Any) -> dict[str, Any]:
    usual = {"key": f"{job.id}.{job.revision}", "digest": answers_digest(dict(job.answers))}
    return {**usual, "name": "Riley Okafor", "consent": "yes", "strokes": "", "homeowner": "not_home", **different}


def _sign(visit: Any, job: archive.Job, **different: Any) -> Any:
    return visit("installer").post(f"/jobs/{job.id}/sign", _form(job, **different))


def _papers(store: Any, job: archive.Job) -> list[archive.Hit]:
    return store.records.of_job(job.organisation, job.id)


def test_the_signature_names_the_answers_on_the_paper(visit: Any, store: Any, draft: Any) -> None:
    job = draft()
    assert _sign(visit, job).status_code == 302
    record = store.records.get(job.organisation, _papers(store, job)[0].record)
    signed = json.loads(record.signature)["signatures"][0]
    assert signed["answers_sha256"] == hashlib.sha256(record.job).hexdigest()


def test_an_answer_saved_at_the_last_moment_is_not_signed(
    visit: Any, store: Any, draft: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    job = draft()
    save_signature = store.jobs.save_signature

    def late(organisation: int, job_id: str, *more: Any) -> Any:
        store.jobs.save_answers(organisation, job_id, {"house_pressure_psi": "61"})
        return save_signature(organisation, job_id, *more)

    monkeypatch.setattr(store.jobs, "save_signature", late)
    answer = _sign(visit, job)
    assert answer.status_code == 422
    assert "The answers changed since this page was opened" in answer.get_data(as_text=True)
    assert _papers(store, job) == []


def test_a_signature_over_other_answers_issues_nothing(store: Any, people: Any, draft: Any) -> None:
    job = draft()
    store.jobs.save_signature(job.organisation, job.id, {"signatures": [{"name": "Riley Okafor"}]})
    store.jobs.save_answers(job.organisation, job.id, {"house_pressure_psi": "61"})
    job = store.jobs.get(job.organisation, job.id)
    with pytest.raises(NotIssuable, match="changed after they were signed"):
        submission(people["a", "installer"], job, "key-0001")


def test_text_pasted_with_odd_spaces_is_issued_and_found(visit: Any, store: Any, draft: Any) -> None:
    job = draft(address_street=PASTED, owner_name="Dana\n\u0639\u0644\u06cc\u200c\u0631\u0636\u0627\u200d")
    assert _sign(visit, job, name=JOINED).status_code == 302
    found = store.find(job.organisation, "12 oak dana \u0639\u0644\u06cc\u0631\u0636\u0627").hits
    assert [hit.facts.owner for hit in found] == ["Dana \u0639\u0644\u06cc\u200c\u0631\u0636\u0627"]
    assert found[0].facts.address.startswith("12 N. Oak Ave, Port Larkin")
    signed, _ = json.loads(store.records.get(job.organisation, found[0].record).signature)["signatures"]
    assert signed["name"] == JOINED


def test_a_paper_that_broke_off_is_made_when_its_page_is_opened_and_not_tried_at_each_look(
    visit: Any, store: Any, draft: Any, app: Any, stopped_clock: datetime
) -> None:
    job, render = draft(), app.config["RENDER"]

    def broken(record: archive.Record) -> dict[str, bytes]:
        tries.append(record.number)
        raise RuntimeError("no printer today")

    tries: list[str] = []
    app.config["RENDER"] = broken
    assert _sign(visit, job).location == f"/jobs/{job.id}/issued"
    for minutes, tried in ((1, 1), (9, 1), (11, 2), (12, 2)):
        store.database.clock = lambda late=minutes: stopped_clock + timedelta(minutes=late)
        page = visit("installer").get(f"/jobs/{job.id}/issued")
        assert page.status_code == 200
        assert "its paper could not be made yet" in page.text
        assert "C-000001" not in page.text
        assert len(tries) == tried
    app.config["RENDER"] = render
    store.database.clock = lambda: stopped_clock + timedelta(minutes=22)
    page = visit("installer").get(f"/jobs/{job.id}/issued")
    assert page.status_code == 200
    assert "C-000001" in page.get_data(as_text=True)
    assert [(hit.number, hit.finished) for hit in _papers(store, job)] == [("C-000001", True)]


def test_as_usual_on_another_device_is_no_clash(visit: Any, store: Any, draft: Any) -> None:
    job = draft()
    usual = ["potable_rated", "relief_trap"]
    store.jobs.save_answers(job.organisation, job.id, {"accepted_as_usual": usual})
    old = {"seen": "{}", "revision": str(job.revision)}
    assert visit("installer").post(f"/jobs/{job.id}/relief", {"relief_trap": "yes", **old}).status_code == 302
    now = store.jobs.get(job.organisation, job.id).answers
    assert (now["relief_trap"], now["accepted_as_usual"]) == ("yes", ["potable_rated"])


@pytest.mark.parametrize(
    "strokes",
    [
        '{"a": ""}', '{"": []}', '[""]', '["ab"]', '[{}]', "[[[1, 2]]]", "[[[1, 2, 3.5]]]", "[[[true, 1, 1]]]",
        "[[[1, 2, -1]]]", "[[[1, 10001, 1]]]", "null", "5", "[[[1, 2, 3]]", "[" * 100_000, '[["abc"]]',
        str([[[1, 1, 1]] * 4001]),
    ],
    ids=range(16),
)  # fmt: skip
def test_a_drawing_that_is_none_is_not_issued(visit: Any, store: Any, draft: Any, strokes: str) -> None:
    job = draft()
    answer = _sign(visit, job, strokes=strokes)
    assert answer.status_code == 422
    assert "Draw it again" in answer.get_data(as_text=True)
    assert _papers(store, job) == []


def test_a_second_visit_without_a_change_is_a_paper_of_its_own(visit: Any, store: Any, draft: Any) -> None:
    job = draft()
    assert _sign(visit, job).status_code == 302
    visit("installer").post(f"/jobs/{job.id}/again")
    again = store.jobs.get(job.organisation, job.id)
    assert _sign(visit, again).status_code == 302
    assert [hit.number for hit in _papers(store, job)] == ["C-000002", "C-000001"]
    assert store.jobs.get(job.organisation, job.id).state == "issued"


def test_the_key_of_another_job_is_not_taken(visit: Any, store: Any, draft: Any) -> None:
    first, second = draft(), draft(address_street="7 Ferry Lane")
    assert _sign(visit, first, key=f"{second.id}.{second.revision}").status_code == 302
    assert _sign(visit, second).status_code == 302
    assert [len(_papers(store, job)) for job in (first, second)] == [1, 1]


def test_a_findings_report_waits_for_the_year(visit: Any, store: Any, draft: Any) -> None:
    job = draft(job_kind="existing")
    answer = _sign(visit, job)
    assert answer.status_code == 422
    assert "The year of the installation is still to answer" in answer.get_data(as_text=True)
    store.jobs.save_answers(
        job.organisation, job.id, {"install_year": {"could_not_measure": "Plate is gone."}}
    )
    assert _sign(visit, store.jobs.get(job.organisation, job.id)).status_code == 302


def test_the_place_is_never_taken_away(visit: Any, store: Any, people: Any, draft: Any) -> None:
    job = draft()
    told = visit("installer").post_json(f"/jobs/{job.id}/answers", {"changes": {"place": None}}).get_json()
    assert told["errors"]["place"].startswith("one of ")
    assert store.jobs.get(job.organisation, job.id).answers["place"] == "us_ca_2022"
    nowhere = store.jobs.create(job.organisation, job.installer, {"job_kind": "same_place"})
    with pytest.raises(NotIssuable, match="which codes apply"):
        submission(people["a", "installer"], nowhere, "key-0001")


def test_a_list_says_on_paper_that_it_replaces_the_certificate(issue: Any, store: Any) -> None:
    first = issue(precharge_psi="25")
    store.jobs.save_answers(first.organisation, first.job_id, {"precharge_psi": "60"})
    certificate = issue(job_id=first.job_id)
    second = issue(job_id=first.job_id, precharge_psi="25")
    assert [one.kind for one in (first, certificate, second)] == ["correction_list", "certificate", "correction_list"]
    said = [paper_of(Filed.of(one)).replaces for one in (first, certificate, second)]
    assert said == ["", f"Replaces {first.number}", f"Replaces {certificate.number}"]
