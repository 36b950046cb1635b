"""A job stored by another version: what is not read is shown, kept, and never a fault; no place is never a silent one."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest

from heaterapp.filling.judging import judged
from heaterapp.rules import SECTIONS, readable
from tests.web.conftest import hidden, job_answers

OLD = {
    "place": "us_ca_2022", "heater_kind": "gas_storage", "address_street": "4 Old Form Lane", "gone_question": "12 widgets",
    "house_pressure_psi": "a lot", "storage_gal": "50", "accepted_as_usual": ["gone_question"],
}  # fmt: skip


@pytest.fixture
def old(store: Any, people: dict[tuple[str, str], Any]) -> str:
    person = people["a", "installer"]
    return str(store.jobs.create(person.organisation, person.id, OLD).id)


def test_every_page_of_an_old_job_opens_and_says_what_it_could_not_read(
    visit: Callable[..., Any], old: str
) -> None:
    visitor = visit("installer")
    for page in ("job", "plate", "water", "gas", "vent", "review"):
        shown = visitor.get(f"/jobs/{old}/{page}")
        assert shown.status_code == 200, page
        assert "Kept, but not read by this version: gone question: 12 widgets." in shown.text
        assert "{" not in shown.text.split("Kept, but not read by this version: gone question")[1][:200]
    water = visitor.get(f"/jobs/{old}/water").text
    assert 'value="a lot"' in water
    assert "House pressure" in visitor.get(f"/jobs/{old}/review").text
    assert visitor.get("/jobs").status_code == 200


def test_an_old_answer_is_given_again_and_the_rest_stays_stored(
    visit: Callable[..., Any], store: Any, old: str
) -> None:
    visitor = visit("installer")
    page = visitor.get(f"/jobs/{old}/water").text
    fields = {name: hidden(page, name) for name in ("revision", "seen")}
    assert (
        visitor.post(f"/jobs/{old}/water", {**fields, "house_pressure_psi": "62", "go": "next"}).status_code
        == 302
    )
    held = store.jobs.get(1, old).answers
    assert held["house_pressure_psi"] == "62"
    assert held["gone_question"] == "12 widgets"
    assert "a lot" not in visitor.get(f"/jobs/{old}/water").text


def test_the_live_call_of_an_old_job_answers(visit: Callable[..., Any], old: str) -> None:
    told = visit("installer").post_json(
        f"/jobs/{old}/answers",
        {"changes": {"house_pressure_psi": "61"}, "revision": None, "section": "water"},
    )
    assert told.status_code == 200
    assert told.json["errors"] == {}


def test_a_job_without_a_place_is_judged_by_none_and_says_so(
    visit: Callable[..., Any], store: Any, people: dict[tuple[str, str], Any]
) -> None:
    whole = {**job_answers("gas_storage_to_fix"), "hazard_found": "gas_leak"}
    whole.pop("place", None)
    person = people["a", "installer"]
    visitor = visit("installer")
    for answers in (whole, {**whole, "job_kind": "existing", "install_year": "2019"}):
        job = store.jobs.create(person.organisation, person.id, answers).id
        for page in (*SECTIONS, "review"):
            shown = visitor.get(f"/jobs/{job}/{page}")
            assert shown.status_code == 200, page
            assert "No place is chosen, so it is not known which codes apply" in shown.text
            assert "UPC" not in re.sub(r"<select.*?</select>", "", shown.text, flags=re.S), page
        told = judged({k: v for k, v in answers.items() if k != "place"})
        assert {f["verdict"] for f in told["findings"] if not f.get("hazard")} == {"unanswered"}
        assert any(f.get("hazard") for f in told["findings"])
        assert "/sign" not in re.sub(r"sign-(in|out)", "", visitor.get(f"/jobs/{job}/review").text)
        assert visitor.get(f"/jobs/{job}/sign").status_code == 302
    assert "No place is chosen" not in visitor.get(f"/jobs/{visitor.begin()}/water").text


MEASURED_ONCE_USUAL = {
    "place": "us_ca_2022", "heater_kind": "gas_storage", "job_kind": "same_place", "house_pressure_psi": "60",
    "relief_trap": "no", "accepted_as_usual": ["gone_question", "house_pressure_psi", "relief_trap"],
}  # fmt: skip


@pytest.fixture
def once_usual(store: Any, people: dict[tuple[str, str], Any]) -> str:
    person = people["a", "installer"]
    return str(store.jobs.create(person.organisation, person.id, MEASURED_ONCE_USUAL).id)


def _form_of(visitor: Any, job: str, section: str) -> dict[str, str]:
    page = visitor.get(f"/jobs/{job}/{section}").text
    return {name: hidden(page, name) for name in ("revision", "seen")}


def test_what_was_taken_as_usual_is_not_measured_by_sending_the_page_back(
    visit: Callable[..., Any], store: Any, once_usual: str
) -> None:
    visitor = visit("installer")
    page = visitor.get(f"/jobs/{once_usual}/water").text
    box = re.search(r'<input[^>]*name="house_pressure_psi"[^>]*value="([^"]*)"', page)
    assert box
    assert box.group(1) == ""
    assert "60" in re.findall(r'class="notice">([^<]*)', page)[0]
    for go in ("next", "usual"):
        fields = _form_of(visitor, once_usual, "water")
        sent = visitor.post(f"/jobs/{once_usual}/water", {**fields, "house_pressure_psi": "", "go": go})
        assert sent.status_code == 302
        held = store.jobs.get(1, once_usual).answers
        assert held["house_pressure_psi"] == "60"
        assert {"gone_question", "house_pressure_psi"} <= set(held["accepted_as_usual"])
    assert "house_pressure_psi" not in readable(store.jobs.get(1, once_usual).answers)[0]


def test_what_was_taken_as_usual_is_measured_once_it_is_typed(
    visit: Callable[..., Any], store: Any, once_usual: str
) -> None:
    visitor = visit("installer")
    fields = _form_of(visitor, once_usual, "water")
    visitor.post(f"/jobs/{once_usual}/water", {**fields, "house_pressure_psi": "60", "go": "next"})
    held = store.jobs.get(1, once_usual).answers
    assert held["accepted_as_usual"] == ["gone_question", "relief_trap"]
    assert readable(held)[0]["house_pressure_psi"] == "60"


def test_an_unreadable_answer_can_be_emptied_and_a_list_of_gone_names_alone_breaks_nothing(
    visit: Callable[..., Any], store: Any, old: str, people: dict[tuple[str, str], Any]
) -> None:
    visitor = visit("installer")
    fields = _form_of(visitor, old, "water")
    visitor.post(f"/jobs/{old}/water", {**fields, "house_pressure_psi": "", "go": "next"})
    assert "house_pressure_psi" not in store.jobs.get(1, old).answers
    person = people["a", "installer"]
    bare = {"place": "us_ca_2022", "accepted_as_usual": ["gone_question"]}
    job = store.jobs.create(person.organisation, person.id, bare).id
    assert visitor.get(f"/jobs/{job}/water").status_code == 200


def test_a_job_with_an_answer_of_another_version_is_signed_and_issued(
    visit: Callable[..., Any], store: Any, people: dict[tuple[str, str], Any]
) -> None:
    person, visitor = people["a", "installer"], visit("installer")
    answers = {**job_answers("gas_storage_to_fix"), "place": "model_upc_2024", "gone_question": "12 widgets"}
    job = store.jobs.create(person.organisation, person.id, answers).id
    assert "gone question: 12 widgets" in visitor.get(f"/jobs/{job}/sign").text
    assert visitor.sign(job).status_code == 302
    assert len(store.records.of_job(1, job)) == 1
    assert store.jobs.get(1, job).answers["gone_question"] == "12 widgets"


def test_acceptances_of_another_version_are_not_written_over(
    visit: Callable[..., Any], store: Any, people: dict[tuple[str, str], Any]
) -> None:
    person, visitor = people["a", "installer"], visit("installer")
    old = {"seismic.strap_count": {"by": "Inspector 4"}}
    answers = {**job_answers("gas_storage_to_fix"), "place": "model_upc_2024", "acceptances": old}
    job = store.jobs.create(person.organisation, person.id, answers).id
    assert "Inspector 4" in visitor.get(f"/jobs/{job}/review").text
    given = {"check": "expansion.tank_supported", "by": "A. Marsh", "on": "2026-09-03", "why": "seen"}
    assert visitor.post(f"/jobs/{job}/accept", given).status_code == 422
    assert store.jobs.get(1, job).answers["acceptances"] == old
