"""Accepting, signing and issuing: refused with a clear word, once however often it is sent, replaced on a second visit."""

from __future__ import annotations

import json
import re
import threading
from collections.abc import Callable
from typing import Any

import pytest

from heaterapp.filling.judging import judged
from heaterapp.rules import mark_of

GOOD = {
    "check": "expansion.tank_supported",
    "by": "Inspector Vance",
    "on": "2026-11-25",
    "why": "bracket on order",
}
INK = json.dumps([[[0, 0, 0], [40, 10, 30]], [[60, 20, 90]]])


@pytest.fixture
def ready(visit: Callable[..., Any], answers_of: Any) -> tuple[Any, str]:
    """An installer, and a job with everything answered and nothing to fix."""
    visitor = visit("installer")
    job = visitor.begin()
    visitor.told(job, answers_of("gas_storage_us_ca"))
    return visitor, job


@pytest.fixture
def failing(visit: Callable[..., Any], answers_of: Any) -> tuple[Any, str]:
    """An installer, and a job with something to fix."""
    visitor = visit("installer")
    job = visitor.begin(place="model_upc_2024")
    visitor.told(job, answers_of("gas_storage_to_fix"))
    return visitor, job


def test_an_unfinished_job_cannot_be_signed(visit: Callable[..., Any], store: Any) -> None:
    visitor = visit("installer")
    job = visitor.begin()
    assert visitor.get(f"/jobs/{job}/sign").location == f"/jobs/{job}/review"
    sent = visitor.post(
        f"/jobs/{job}/sign", {"key": f"{job}.1", "digest": "x", "name": "R", "consent": "yes"}
    )
    assert sent.location == f"/jobs/{job}/review"
    assert "It can be signed once all of this is answered." in visitor.get(sent.location).text
    assert store.records.of_job(1, job) == []
    assert store.jobs.get(1, job).signature is None


def test_an_acceptance_is_recorded_and_taken_back(failing: tuple[Any, str], store: Any) -> None:
    visitor, job = failing
    done = visitor.accept(job, **GOOD)
    assert done.location == f"/jobs/{job}/review#check-{GOOD['check']}"
    assert store.jobs.get(1, job).answers["acceptances"][GOOD["check"]]["by"] == "Inspector Vance"
    assert "Accepted by the authority" in visitor.get(f"/jobs/{job}/review").text
    assert (
        visitor.post(f"/jobs/{job}/accept", {"check": GOOD["check"], "act": "take-back"}).status_code == 302
    )
    assert "acceptances" not in store.jobs.get(1, job).answers


@pytest.mark.parametrize(
    "wrong",
    [{"by": ""}, {"by": "x" * 5000}, {"by": "V\x00"}, {"on": "soon"}, {"on": "2026-13-40"}, {"on": "٢٠٢٦-١١-٢٥"}, {"why": ""}, {"why": "x" * 500},
     {"check": "no.such"}, {"check": ""}, {"check": "x" * 5000}, {"check": "<b>"}, {"check": "no.such", "act": "take-back"}, {"by": ["A", "B"]}, {"on": ["2026-11-25", "2026-11-26"]}],
    ids=lambda wrong: "-".join(f"{k}={str(v)[:12]}" for k, v in wrong.items()),
)  # fmt: skip
def test_an_acceptance_that_cannot_be_read_is_refused_in_words_and_kept(
    failing: tuple[Any, str], store: Any, wrong: dict[str, Any]
) -> None:
    visitor, job = failing
    before = store.jobs.get(1, job)
    told = judged(before.answers)["findings"]
    shown = {"of": mark_of(next(f for f in told if f["check"] == GOOD["check"]))}
    refused = visitor.post(f"/jobs/{job}/accept", {**shown, **GOOD, **wrong})
    assert refused.status_code == 422
    says = re.search(r'class="error-summary".*?<li><a [^>]*>([^<]+)</a>', refused.text, re.S)
    assert says, "no word about it"
    assert ("check" if "check" in wrong else "date as YYYY-MM-DD") in says.group(1)
    if "check" not in wrong and wrong.get("why") != "":
        assert f'value="{wrong.get("why", GOOD["why"])[:100]}' in refused.text
    assert store.jobs.get(1, job) == before


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        ({"digest": "0" * 64}, "The answers changed since this page was opened"),
        ({"digest": ""}, "The answers changed since this page was opened"),
        ({"digest": "0" * 64, "name": ""}, "The answers changed since this page was opened"),
        ({"name": ""}, "Type your name"), ({"name": "   "}, "Type your name"), ({"name": "x" * 300}, "Type your name"),
        ({"name": "R\x00"}, "Type your name"), ({"name": ["Riley", "Dana"]}, "Type your name"),
        ({"consent": ""}, "Tick that you sign electronically"), ({"consent": "no"}, "Tick that you sign electronically"),
        ({"strokes": "[[1]]"}, "drawn signature"), ({"strokes": "[[[0,0,1e9]]]"}, "drawn signature"), ({"strokes": "{"}, "drawn signature"),
        ({"strokes": "[[[0,0,NaN]]]"}, "drawn signature"), ({"strokes": "[" * 5000}, "drawn signature"), ({"strokes": "[[[0,0,true]]]"}, "drawn signature"),
        ({"strokes": json.dumps([[[1, 1, 1]] * 5000])}, "drawn signature"), ({"strokes": "[[[-1,0,0]]]"}, "drawn signature"),
        ({"strokes": '{"a": [[0,0,0]]}'}, "drawn signature"), ({"strokes": "1" * 6000}, "drawn signature"),
    ],
    ids=lambda one: str(one)[:40] if isinstance(one, dict) else "",
)  # fmt: skip
def test_what_cannot_be_signed_says_why(
    ready: tuple[Any, str], store: Any, wrong: dict[str, Any], says: str
) -> None:
    visitor, job = ready
    before = store.jobs.get(1, job)
    refused = visitor.sign(job, **wrong)
    assert refused.status_code == 422
    assert says in refused.text
    assert store.records.of_job(1, job) == []
    assert store.jobs.get(1, job) == before


def test_a_drawn_signature_is_kept_as_drawn(ready: tuple[Any, str], store: Any) -> None:
    visitor, job = ready
    assert visitor.sign(job, strokes=INK).status_code == 302
    signed = json.loads(store.records.by_number(1, "C-000001").signature)["signatures"][0]
    assert (signed["method"], signed["strokes"]) == ("drawn", json.loads(INK))


@pytest.mark.parametrize(
    "key",
    ["", "nonsense", "x" * 9000, "k\x00", "{job}.99999", "{job}.x y", "{job}." + "9" * 200, "{job}.\u0663"],
)
def test_a_key_of_nobody_s_issues_one_paper_or_none(ready: tuple[Any, str], store: Any, key: str) -> None:
    visitor, job = ready
    answer = visitor.sign(job, key=key.format(job=job))
    assert answer.status_code in (302, 400, 422)
    assert len(store.records.of_job(1, job)) == (1 if answer.status_code == 302 else 0)
    if answer.status_code != 302:
        assert store.jobs.get(1, job).signature is None


def test_the_same_wish_again_gets_the_first_answer(ready: tuple[Any, str], store: Any) -> None:
    visitor, job = ready
    wish = visitor.wish(job)
    first = visitor.post(f"/jobs/{job}/sign", wish)
    record = store.records.by_number(1, "C-000001")
    again = visitor.post(f"/jobs/{job}/sign", {**wish, "name": "Somebody Else"})
    assert first.location == again.location == f"/jobs/{job}/issued"
    assert [h.number for h in store.records.of_job(1, job)] == ["C-000001"]
    assert store.records.by_number(1, "C-000001") == record


def test_a_correction_list_sent_twice_is_one(failing: tuple[Any, str], store: Any) -> None:
    visitor, job = failing
    wish = visitor.wish(job)
    for _ in range(2):
        assert visitor.post(f"/jobs/{job}/sign", wish).location == f"/jobs/{job}/issued"
    assert [(h.number, h.kind) for h in store.records.of_job(1, job)] == [("L-000001", "correction_list")]


def test_wishes_sent_at_once_give_one_paper(
    ready: tuple[Any, str], visit: Callable[..., Any], store: Any
) -> None:
    visitor, job = ready
    wish, others = visitor.wish(job), [visit("installer") for _ in range(4)]
    answers: list[Any] = []
    threads = [
        threading.Thread(target=lambda v=v: answers.append(v.post(f"/jobs/{job}/sign", wish))) for v in others
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert [(a.status_code, a.location) for a in answers] == [(302, f"/jobs/{job}/issued")] * len(others)
    assert [h.number for h in store.records.of_job(1, job)] == ["C-000001"]
    assert "C-000001" in visitor.get(f"/jobs/{job}/issued").text


def test_a_second_visit_replaces_the_first_paper(ready: tuple[Any, str], store: Any) -> None:
    visitor, job = ready
    visitor.sign(job)
    assert visitor.post(f"/jobs/{job}/again").location == f"/jobs/{job}/job"
    visitor.post(f"/jobs/{job}/water", {"house_pressure_psi": "61"})
    visitor.sign(job)
    papers = store.records.of_job(1, job)
    replaced = [(h.number, h.superseded_by_number) for h in papers]
    assert replaced == [("C-000002", None), ("C-000001", "C-000002")]
    records = [store.records.by_number(1, number) for number, _ in replaced]
    assert [r.revision for r in records] == [2, 1]
    assert [json.loads(r.job)["house_pressure_psi"] for r in records] == ["61", "60"]
    changed = {"question": "house_pressure_psi", "old": "60", "new": "61"}
    assert records[0].context["replaced"] == {"number": "C-000001", "void": False, "items": 0, "changes": [changed], "more": 0}
    page = visitor.get(f"/jobs/{job}/issued").text
    assert 'replaced by <span class="unbroken">C-000002</span>' in page


def test_the_papers_of_a_job_are_given_to_the_byte_and_only_by_their_own_job(
    ready: tuple[Any, str], failing: tuple[Any, str]
) -> None:
    visitor, job = ready
    other = failing[1]
    visitor.sign(job)
    given = visitor.get(f"/jobs/{job}/papers/C-000001/certificate.pdf")
    assert given.data == b"%PDF-1.7 fixed\nC-000001"
    for path in (f"/jobs/{other}/papers/C-000001/certificate.pdf", f"/jobs/{job}/papers/C-000001/other.pdf",
                 f"/jobs/{job}/papers/C-000009/certificate.pdf", f"/jobs/{job}/papers/C-000001/..%2f..%2fsecret-key"):  # fmt: skip
        assert visitor.get(path).status_code == 404


def test_no_link_is_made_before_anything_is_issued(ready: tuple[Any, str]) -> None:
    visitor, job = ready
    assert visitor.post(f"/jobs/{job}/link").status_code == 404


def test_a_list_of_corrections_has_a_link_that_says_it_is_no_certificate(
    failing: tuple[Any, str], visit: Callable[..., Any]
) -> None:
    visitor, job = failing
    visitor.sign(job)
    assert "Make the homeowner" in visitor.get(f"/jobs/{job}/issued").text
    found = re.search(r'href="[^"]*(/s/[^"]+)"', visitor.get(visitor.post(f"/jobs/{job}/link").location).text)
    assert found
    assert "This is not a certificate." in visit(None).get(found.group(1)).text


def test_a_page_of_older_rules_signs_nothing_and_newer_rules_judge_anew(
    ready: tuple[Any, str], store: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    visitor, job = ready
    wish = visitor.wish(job)
    monkeypatch.setattr("heaterapp.web.signing._rules_mark", lambda: "0123456789ab")
    stale = visitor.post(f"/jobs/{job}/sign", wish)
    assert stale.status_code == 422
    assert "The rules changed since this page was opened" in stale.text
    assert store.records.of_job(1, job) == []
    assert visitor.sign(job).status_code == 302


def test_after_new_rules_a_correction_list_is_judged_again_not_repeated(
    visit: Any, answers_of: Any, store: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    visitor = visit("installer")
    job = visitor.begin(place="model_upc_2024")
    visitor.told(job, answers_of("gas_storage_to_fix"))
    assert visitor.sign(job).status_code == 302
    monkeypatch.setattr("heaterapp.web.signing._rules_mark", lambda: "0123456789ab")
    assert visitor.sign(job).status_code == 302
    assert [h.number for h in store.records.of_job(1, job)] in (
        ["L-000002", "L-000001"],
        ["L-000001", "L-000002"],
    )


@pytest.mark.parametrize(
    ("work_date", "said"),
    [
        (None, "The date of the work is still to answer"),
        ("2099-01-01", "The date of the work, 1 Jan 2099, is still to come"),
    ],
)
def test_nothing_is_signed_for_a_day_that_is_not_said_or_still_to_come(
    visit: Any, answers_of: Any, store: Any, work_date: str | None, said: str
) -> None:
    visitor = visit("installer")
    job = visitor.begin()
    answers = {k: v for k, v in answers_of("gas_storage_us_ca").items() if k != "work_date"}
    visitor.told(job, answers | ({"work_date": work_date} if work_date else {}))
    assert said in visitor.get(f"/jobs/{job}/sign").text
    refused = visitor.sign(job)
    assert refused.status_code == 422
    assert said in refused.text
    assert store.records.of_job(1, job) == []


@pytest.mark.parametrize("name", ["address_street", "heater_serial"])
def test_nothing_is_signed_that_could_not_be_found_again(
    visit: Any, answers_of: Any, store: Any, name: str
) -> None:
    visitor = visit("installer")
    job = visitor.begin()
    visitor.told(job, answers_of("gas_storage_us_ca"))
    store.jobs.save_answers(1, job, {name: None})
    refused = visitor.sign(job)
    assert refused.status_code == 422
    assert "is still to answer" in refused.text
    assert store.records.of_job(1, job) == []


def test_a_key_without_this_job_s_id_is_not_taken(ready: tuple[Any, str], store: Any) -> None:
    visitor, job = ready
    mark = visitor.wish(job)["key"].rpartition(".")[2]
    assert visitor.sign(job, key=f"1.{mark}").status_code == 302
    assert len(store.records.of_job(1, job)) == 1
    assert store.records.by_key(1, f"1.{mark}") is None
