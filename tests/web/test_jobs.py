"""The installer's pages as plain forms: roles, a whole job, bad input, two devices, signing once."""

from __future__ import annotations

import html
import json
import re
import threading
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from heaterapp.forms import shown
from heaterapp.rules import CATALOGUE, SECTIONS

JOBS = Path(__file__).parent.parent / "jobs"
START = {
    "heater_kind": "gas_storage",
    "job_kind": "same_place",
    "address_street": "12 N. Oak Ave",
    "place": "us_ca_2022",
}


def _answers(name: str) -> dict[str, Any]:
    whole: dict[str, Any] = json.loads((JOBS / f"{name}.json").read_text(encoding="utf-8"))["answers"]
    return whole


def _typed(name: str, value: Any) -> dict[str, str]:
    plainly = (
        [str(one) for one in value]
        if isinstance(value, list)
        else value
        if isinstance(value, dict)
        else str(value)
    )
    return {name + end: text for end, text in shown(CATALOGUE[name], plainly).items()}


def _hidden(page: str, name: str) -> str:
    found = re.search(rf'name="{name}" value="([^"]*)"', page)
    assert found, name
    return html.unescape(found.group(1))


def _job(visitor: Any, **different: Any) -> str:
    made = visitor.post("/jobs/new", {**START, **different})
    assert made.status_code == 302, made.get_data(as_text=True)
    return str(made.location.split("/")[2])


def _fill(visitor: Any, job: str, answers: dict[str, Any]) -> None:
    for section in SECTIONS:
        page = visitor.get(f"/jobs/{job}/{section}").get_data(as_text=True)
        fields: dict[str, str] = {}
        for name, value in answers.items():
            if name in CATALOGUE and CATALOGUE[name].section == section:
                fields |= _typed(name, value)
        fields |= {"revision": _hidden(page, "revision"), "seen": _hidden(page, "seen"), "go": "next"}
        sent = visitor.post(f"/jobs/{job}/{section}", fields)
        assert sent.status_code == 302, (
            section,
            re.findall(r"expected [^<]+", sent.get_data(as_text=True))[:3],
        )


def _sign(visitor: Any, job: str, **different: str) -> Any:
    page = visitor.get(f"/jobs/{job}/sign").get_data(as_text=True)
    fields = {
        "key": _hidden(page, "key"),
        "digest": _hidden(page, "digest"),
        "name": "Riley Okafor",
        "consent": "yes",
    }
    return visitor.post(f"/jobs/{job}/sign", {**fields, **different})


@pytest.mark.parametrize(
    ("name", "number"),
    [("gas_storage_us_ca", "C-"), ("electric_storage_irc", "C-"), ("gas_storage_to_fix", "L-")],
)
def test_a_whole_job_through_plain_forms(
    visit: Callable[..., Any], store: Any, name: str, number: str
) -> None:
    visitor, answers = visit("installer"), _answers(name)
    job = _job(visitor, heater_kind=answers["heater_kind"], place=answers["place"])
    _fill(visitor, job, answers)
    signed = _sign(visitor, job)
    assert signed.location == f"/jobs/{job}/issued"
    page = visitor.get(signed.location).get_data(as_text=True)
    assert f"{number}000001" in page
    record = store.records.by_number(1, f"{number}000001")
    kept = json.loads(record.job)
    for key in ("strap_heights_in", "house_pressure_psi", "heater_serial"):
        assert kept[key] == (
            [str(v) for v in answers[key]] if isinstance(answers[key], list) else str(answers[key])
        )
    assert json.loads(record.signature)["signatures"][0]["name"] == "Riley Okafor"


def test_looking_over_somebody_else_s_work_never_ends_in_a_certificate(
    visit: Callable[..., Any], store: Any
) -> None:
    visitor = visit("installer")
    job = _job(visitor, job_kind="existing")
    _fill(visitor, job, {**_answers("gas_storage_us_ca"), "job_kind": "existing", "install_year": 2012})
    _sign(visitor, job)
    assert [h.kind for h in store.records.of_job(1, job)] == ["findings_report"]


def test_an_unfinished_job_cannot_be_signed(visit: Callable[..., Any], store: Any) -> None:
    visitor = visit("installer")
    job = _job(visitor)
    assert visitor.get(f"/jobs/{job}/sign").location == f"/jobs/{job}/review"
    visitor.post(f"/jobs/{job}/sign", {"key": f"{job}.1", "digest": "x", "name": "R", "consent": "yes"})
    assert store.records.of_job(1, job) == []


@pytest.mark.parametrize("path", ["", "/job", "/water", "/review", "/sign", "/issued"])
def test_only_its_installer_and_the_owner_open_a_job(
    visit: Callable[..., Any], path: str, store: Any, people: Any
) -> None:
    job = _job(visit("installer"))
    assert visit("owner").get(f"/jobs/{job}{path}").status_code in (200, 302)
    assert visit("office").get(f"/jobs/{job}{path}").status_code == 403
    assert visit("installer", firm="b").get(f"/jobs/{job}{path}").status_code == 404
    assert visit("owner", firm="b").get(f"/jobs/{job}{path}").status_code == 404
    assert visit(None).get(f"/jobs/{job}{path}").status_code == 302
    other = store.people.add(1, "second", "Second Installer", "installer", "copper-kettle-47")
    visitor = visit("installer")
    token, _ = store.sessions.start(1, other.id, "test")
    with visitor.client.session_transaction() as session:
        session["token"] = token
    assert visitor.get(f"/jobs/{job}{path}").status_code == 404


BAD = [
    ("house_pressure_psi", "sixty"), ("house_pressure_psi", "٦٠"), ("house_pressure_psi", "NaN"), ("house_pressure_psi", "1e5"),
    ("house_pressure_psi", "-5"), ("house_pressure_psi", "9" * 50_000), ("house_pressure_psi", "60\x00"), ("prv_fitted", "perhaps"),
    ("cold_shutoff", "['full_way']"), ("expansion_tank_gal", "0"), ("house_pressure_psi-said", "nonsense"),
]  # fmt: skip


@pytest.mark.parametrize(("name", "text"), BAD)
def test_a_bad_answer_is_named_and_the_others_are_kept(
    visit: Callable[..., Any], store: Any, name: str, text: str
) -> None:
    visitor = visit("installer")
    job = _job(visitor)
    sent = visitor.post(
        f"/jobs/{job}/water", {"expansion_device": "tank", "cold_inlet_f": "45", name: text, "go": "next"}
    )
    page = sent.get_data(as_text=True)
    question = CATALOGUE[name.removesuffix("-said")]
    assert sent.status_code == 422
    assert f"{html.escape(question.label)}: expected" in page
    kept = store.jobs.get(1, job).answers
    assert kept["cold_inlet_f"] == "45"
    assert question.name not in kept


def test_a_repeated_field_is_refused(visit: Callable[..., Any], store: Any) -> None:
    visitor = visit("installer")
    job = _job(visitor)
    sent = visitor.post(f"/jobs/{job}/water", {"house_pressure_psi": ["60", "70"]})
    assert sent.status_code == 422
    assert "house_pressure_psi" not in store.jobs.get(1, job).answers


def test_ten_megabytes_are_too_much(visit: Callable[..., Any], store: Any) -> None:
    visitor = visit("installer")
    job = _job(visitor)
    before = store.jobs.get(1, job).answers
    assert visitor.post(f"/jobs/{job}/job", {"owner_name": "x" * 10_000_000}).status_code == 413
    assert store.jobs.get(1, job).answers == before


@pytest.mark.parametrize(
    "sent",
    [None, [], "x", 7, {"changes": []}, {"changes": {"nonsense": 1}}, {"changes": {"house_pressure_psi": {"a": [1]}}}, {"changes": {"house_pressure_psi": True}},
     {"changes": {"strap_heights_in": "x" * 5000}}, {"changes": {"owner_name": "\ud800"}}, {"changes": {"house_pressure_psi": "60"}, "revision": "many"},
     {"changes": {"house_pressure_psi": "60"}, "revision": -4}, {"changes": {"house_pressure_psi": "60"}, "revision": 10**30}, {"changes": {"accepted_as_usual": ["x"]}}],
)  # fmt: skip
def test_the_live_call_is_never_broken_by_nonsense(visit: Callable[..., Any], sent: Any) -> None:
    visitor = visit("installer")
    job = _job(visitor)
    answer = visitor.post_json(f"/jobs/{job}/answers", sent)
    assert answer.status_code in (200, 400)
    assert answer.get_json().get("error") or "errors" in answer.get_json()


def test_the_live_call_judges(visit: Callable[..., Any]) -> None:
    visitor = visit("installer")
    job = _job(visitor)
    told = visitor.post_json(
        f"/jobs/{job}/answers",
        {"changes": {"house_pressure_psi": "85", "drew_water_before_reading": "yes"}, "section": "water"},
    ).get_json()
    assert told["counts"]["fix"] == 1
    assert list(told["sections"]) == ["water"]
    assert "House pressure 85 psi, limit 80 psi" in told["sections"]["water"]


def test_two_devices_show_both_values_and_lose_none(visit: Callable[..., Any], store: Any) -> None:
    visitor = visit("installer")
    job = _job(visitor)
    visitor.post(f"/jobs/{job}/water", {"house_pressure_psi": "60", "revision": "1", "seen": "{}"})
    late = visitor.post(
        f"/jobs/{job}/water",
        {"house_pressure_psi": "70", "cold_inlet_f": "45", "revision": "1", "seen": "{}"},
    )
    page = late.get_data(as_text=True)
    assert late.status_code == 422
    assert "meanwhile 60 psi was saved from another device" in page
    assert 'value="70"' in page
    kept = store.jobs.get(1, job).answers
    assert (kept["house_pressure_psi"], kept["cold_inlet_f"]) == ("60", "45")


def test_an_acceptance_is_recorded_refused_and_taken_back(visit: Callable[..., Any], store: Any) -> None:
    visitor = visit("installer")
    job = _job(visitor, place="model_upc_2024")
    _fill(visitor, job, _answers("gas_storage_to_fix"))
    good = {
        "check": "expansion.tank_supported",
        "by": "Inspector Vance",
        "on": "2026-11-25",
        "why": "bracket on order",
    }
    for wrong in ({"by": ""}, {"on": "soon"}, {"check": "no.such"}, {"why": "x" * 500}):
        assert visitor.post(f"/jobs/{job}/accept", {**good, **wrong}).status_code == 422
    assert visitor.post(f"/jobs/{job}/accept", good).status_code == 302
    assert (
        store.jobs.get(1, job).answers["acceptances"]["expansion.tank_supported"]["by"] == "Inspector Vance"
    )
    assert "Accepted by the authority" in visitor.get(f"/jobs/{job}/review").get_data(as_text=True)
    assert (
        visitor.post(f"/jobs/{job}/accept", {"check": good["check"], "act": "take-back"}).status_code == 302
    )
    assert "acceptances" not in store.jobs.get(1, job).answers


def _ready(visitor: Any) -> str:
    job = _job(visitor)
    _fill(visitor, job, _answers("gas_storage_us_ca"))
    return job


@pytest.mark.parametrize(
    "wrong",
    [
        {"digest": "0" * 64},
        {"name": ""},
        {"name": "x" * 300},
        {"consent": ""},
        {"strokes": "[[1]]"},
        {"strokes": "[[[0,0,1e9]]]"},
        {"strokes": "{"},
    ],
)
def test_what_cannot_be_signed_says_why(visit: Callable[..., Any], store: Any, wrong: dict[str, str]) -> None:
    visitor = visit("installer")
    job = _ready(visitor)
    refused = _sign(visitor, job, **wrong)
    assert refused.status_code == 422
    assert "error" in refused.get_data(as_text=True)
    assert store.records.of_job(1, job) == []


def test_the_same_wish_sent_often_and_at_once_gives_one_certificate(
    visit: Callable[..., Any], app: Any, store: Any
) -> None:
    visitor = visit("installer")
    job = _ready(visitor)
    page = visitor.get(f"/jobs/{job}/sign").get_data(as_text=True)
    wish = {
        "key": _hidden(page, "key"),
        "digest": _hidden(page, "digest"),
        "name": "Riley Okafor",
        "consent": "yes",
    }
    others = [visit("installer") for _ in range(4)]
    answers: list[Any] = []
    threads = [
        threading.Thread(target=lambda v=v: answers.append(v.post(f"/jobs/{job}/sign", wish))) for v in others
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    answers.append(visitor.post(f"/jobs/{job}/sign", wish))
    assert {a.status_code for a in answers} == {302}
    assert {a.location for a in answers} == {f"/jobs/{job}/issued"}
    assert [h.number for h in store.records.of_job(1, job)] == ["C-000001"]


def test_a_second_visit_replaces_the_first_paper(visit: Callable[..., Any], store: Any) -> None:
    visitor = visit("installer")
    job = _ready(visitor)
    _sign(visitor, job)
    assert visitor.post(f"/jobs/{job}/water", {"house_pressure_psi": "62"}).status_code == 409
    visitor.post(f"/jobs/{job}/again")
    visitor.post(f"/jobs/{job}/water", {"house_pressure_psi": "61"})
    _sign(visitor, job)
    papers = store.records.of_job(1, job)
    assert [(h.number, h.superseded_by_number) for h in papers] == [
        ("C-000002", None),
        ("C-000001", "C-000002"),
    ]


def test_a_form_without_its_secret_changes_nothing(visit: Callable[..., Any], store: Any) -> None:
    visitor = visit("installer")
    job = _job(visitor)
    before = store.jobs.get(1, job)
    for path, data in (
        (f"/jobs/{job}/water", {"house_pressure_psi": "60"}),
        (f"/jobs/{job}/sign", {}),
        ("/jobs/new", START),
    ):
        assert visitor.post(path, data, without=True).status_code == 400
    assert visitor.post_json(f"/jobs/{job}/answers", {"changes": {}}, without=True).status_code == 400
    assert store.jobs.get(1, job) == before
