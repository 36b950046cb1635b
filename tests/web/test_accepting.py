"""What the authority accepts: of what the page showed, never a danger, and open again once it is another value."""

from __future__ import annotations

import re
from functools import partial
from typing import Any

import pytest

from heaterapp import archive
from heaterapp.filling.judging import judged
from heaterapp.rules import mark_of
from tests.web.conftest import job_answers
from tests.web.ready_jobs import ready

OPEN_CHECK = "expansion.precharge_matches_house"


@pytest.fixture
def draft(store: Any, people: Any) -> Any:
    return partial(ready, store, people)


def test_a_danger_is_not_accepted(visit: Any, store: Any, draft: Any) -> None:
    job = draft(gas_leak_test="failed")
    given = {"check": "gas.leak_test", "by": "A. Inspector", "on": "2026-09-04", "why": "only a small one"}
    answer = visit("installer").post(f"/jobs/{job.id}/accept", given)
    assert answer.status_code == 422
    assert "nobody can accept it" in answer.get_data(as_text=True)
    assert "acceptances" not in store.jobs.get(job.organisation, job.id).answers
    review = visit("installer").get(f"/jobs/{job.id}/review").get_data(as_text=True)
    assert 'id="check-gas.leak_test"' in review
    assert 'id="by-gas.leak_test"' not in review


def test_what_was_accepted_is_open_again_once_it_is_another_value(visit: Any, store: Any, draft: Any) -> None:
    job, check = draft(precharge_psi=52), "expansion.precharge_matches_house"
    given = {
        "check": check,
        "by": "Inspector Vance",
        "on": "2026-09-04",
        "why": "tank of the maker's own charge",
    }
    assert visit("installer").accept(job.id, **given).status_code == 302
    stored = store.jobs.get(job.organisation, job.id).answers
    assert (stored["acceptances"][check]["verdict"], stored["acceptances"][check]["found"]) == ("fails", "52")
    assert judged(stored)["outcome"] == "ready"
    assert "holds no longer" not in visit("installer").get(f"/jobs/{job.id}/review").text
    store.jobs.save_answers(job.organisation, job.id, {"precharge_psi": "5"})
    assert judged(store.jobs.get(job.organisation, job.id).answers)["outcome"] == "fix"
    review = visit("installer").get(f"/jobs/{job.id}/review").text
    lapsed = re.sub(r"<[^>]+>|\s+", " ", review.split('id="lapsed"')[1].split("</section>")[0])
    for said in ("holds no longer", "Inspector Vance", "4 Sep 2026", "at 52", "at 5."):
        assert said in lapsed, (said, lapsed)
    taken_back = {"check": check, "act": "take-back"}
    assert visit("installer").post(f"/jobs/{job.id}/accept", taken_back).status_code == 302
    assert 'id="lapsed"' not in visit("installer").get(f"/jobs/{job.id}/review").text


def test_an_acceptance_is_of_what_the_page_showed(visit: Any, store: Any, draft: Any) -> None:
    job, check = draft(precharge_psi=52), "expansion.precharge_matches_house"
    words = {"check": check, "by": "Inspector Vance", "on": "2026-09-04", "why": "seen on site"}
    told = next(f for f in judged(job.answers)["findings"] if f["check"] == check)
    for shown in ({}, {"of": mark_of(told | {"found": "50"})}, {"of": mark_of(told | {"limit": "61"})}):
        answer = visit("installer").post(f"/jobs/{job.id}/accept", {**words, **shown})
        assert answer.status_code == 422
        assert "not what this page showed" in answer.text
        assert 'value="seen on site"' in answer.text
        assert "acceptances" not in store.jobs.get(1, job.id).answers


@pytest.mark.parametrize("verdict", ["meets", "unanswered", "not_applicable"])
def test_what_is_not_open_is_not_accepted(visit: Any, store: Any, draft: Any, verdict: str) -> None:
    job = draft(precharge_psi=None)
    rule = [f for f in judged(job.answers)["findings"] if f["kind"] == "rule" and f["verdict"] == verdict]
    for check in (rule[0]["check"], rule[-1]["check"]):
        given = {
            "check": check,
            "by": "A. Inspector",
            "on": "2026-09-04",
            "why": "x",
            "of": mark_of(rule[0]),
        }
        assert visit("installer").post(f"/jobs/{job.id}/accept", given).status_code == 422
    assert "acceptances" not in store.jobs.get(1, job.id).answers


@pytest.mark.parametrize("existing", [False, True])
def test_every_open_finding_offers_an_acceptance_that_is_then_held_and_shown(
    visit: Any, store: Any, people: Any, existing: bool
) -> None:
    whole = {
        **job_answers("gas_storage_to_fix"),
        "place": "model_upc_2024",
        "tank_height_in": {"could_not_measure": "boxed in"},
    }
    if existing:
        whole |= {"job_kind": "existing", "install_year": "2015"}
    person, visitor = people["a", "installer"], visit("installer")
    job = store.jobs.create(person.organisation, person.id, whole).id
    held = {f["check"]: f for f in judged(whole)["findings"] if f["kind"] == "rule"}
    open_ones = [
        c
        for c, f in held.items()
        if f["verdict"] in ("fails", "authority", "engineer") and not f.get("hazard")
    ]
    assert {held[c]["verdict"] for c in open_ones} >= ({"authority"} if existing else {"authority", "fails"})
    page = visitor.get(f"/jobs/{job}/review").text
    assert sorted(re.findall(r'id="by-([^"]+)"', page)) == sorted(open_ones)
    for check in open_ones:
        assert (
            visitor.accept(job, check, by="Inspector Vance", on="2026-09-04", why="seen").status_code == 302
        )
    now = {f["check"]: f for f in judged(store.jobs.get(1, job).answers)["findings"] if f["kind"] == "rule"}
    assert all(now[check].get("accepted") for check in open_ones)
    review = visitor.get(f"/jobs/{job}/review").text
    assert review.count("Accepted: change or take back") == len(open_ones)
    counted = re.sub(r"<[^>]+>", "", review.split('class="strip-counts"')[1].split("</p>")[0])
    assert f"{len(open_ones)} accepted by the authority" in counted
    assert "for others" not in counted


def test_an_acceptance_from_another_device_is_not_written_over(
    visit: Any, store: Any, draft: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    job = draft(precharge_psi=52)
    theirs = {"seismic.strap_count": {"by": "A. Inspector", "on": "2026-09-04", "why": "seen on site"}}
    get = store.jobs.get

    def before_theirs(organisation: int, job_id: str) -> archive.Job:
        seen = get(organisation, job_id)
        if "acceptances" not in seen.answers:
            store.jobs.save_answers(organisation, job_id, {"acceptances": theirs})
        return seen

    monkeypatch.setattr(store.jobs, "get", before_theirs)
    found = next(f for f in judged(job.answers)["findings"] if f["check"] == OPEN_CHECK)
    mine = {"check": OPEN_CHECK, "by": "A. Inspector", "on": "2026-09-04", "why": "seen on site"}
    mine["of"] = mark_of(found)
    assert visit("installer").post(f"/jobs/{job.id}/accept", mine).status_code == 409
    assert get(job.organisation, job.id).answers["acceptances"] == theirs
