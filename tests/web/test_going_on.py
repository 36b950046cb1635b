"""Where a section leads: as usual by plain form, on to what has something to answer, back to what came up."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

START = {
    "heater_kind": "gas_storage",
    "job_kind": "same_place",
    "address_street": "12 N. Oak Ave",
    "address_city": "Port Larkin",
    "place": "us_ca_2022",
}


def _job(visitor: Any, **different: Any) -> str:
    return str(visitor.post("/jobs/new", {**START, **different}).location.split("/")[2])


def test_as_usual_saves_what_was_typed_first_and_marks_only_what_it_filled(
    visit: Callable[..., Any], store: Any
) -> None:
    visitor = visit("installer")
    job = _job(visitor)
    sent = visitor.post(
        f"/jobs/{job}/relief",
        {"relief_fitted": "yes", "relief_end": "floor", "relief_trap": "yes", "go": "usual"},
    )
    assert sent.location == f"/jobs/{job}/relief"
    kept = store.jobs.get(1, job).answers
    assert kept["relief_trap"] == "yes"
    assert kept["relief_end_threaded"] == "no"
    assert set(kept["accepted_as_usual"]) >= {"relief_end_threaded", "relief_pressure_psi"}
    assert not {"relief_trap", "relief_fitted", "relief_end"} & set(kept["accepted_as_usual"])


def test_as_usual_does_not_fill_a_form_that_could_not_be_read(visit: Callable[..., Any], store: Any) -> None:
    visitor = visit("installer")
    job = _job(visitor)
    sent = visitor.post(
        f"/jobs/{job}/relief", {"relief_fitted": "yes", "relief_pipe_in": "wide", "go": "usual"}
    )
    assert sent.status_code == 422
    assert "accepted_as_usual" not in store.jobs.get(1, job).answers


def test_an_accepted_answer_changed_later_loses_its_mark_by_form_and_by_script(
    visit: Callable[..., Any], store: Any
) -> None:
    visitor = visit("installer")
    job = _job(visitor)
    visitor.post(f"/jobs/{job}/relief", {"relief_fitted": "yes", "relief_end": "floor", "go": "usual"})
    visitor.post(f"/jobs/{job}/relief", {"relief_trap": "yes"})
    visitor.post_json(
        f"/jobs/{job}/answers", {"changes": {"relief_pressure_psi": "125"}, "section": "relief"}
    )
    accepted = store.jobs.get(1, job).answers["accepted_as_usual"]
    assert not {"relief_trap", "relief_pressure_psi"} & set(accepted)
    assert "relief_temperature_f" in accepted


def test_the_live_call_offers_what_is_usual(visit: Callable[..., Any]) -> None:
    visitor = visit("installer")
    job = _job(visitor)
    told = visitor.post_json(
        f"/jobs/{job}/answers", {"changes": {"relief_fitted": "yes"}, "section": "relief"}
    )
    assert ["Relief valve pressure setting", "150 psi"] in told.get_json()["usual"]


def test_a_section_where_nothing_must_be_answered_is_passed_over_but_can_be_opened(
    visit: Callable[..., Any],
) -> None:
    visitor = visit("installer")
    job = _job(visitor)
    page = visitor.get(f"/jobs/{job}/job").get_data(as_text=True)
    assert f"/jobs/{job}/old" in page
    assert visitor.post(f"/jobs/{job}/job", {"go": "next"}).location == f"/jobs/{job}/plate"
    assert visitor.get(f"/jobs/{job}/old").status_code == 200
    last = visitor.post(f"/jobs/{job}/alarms", {"go": "next"})
    assert last.location == f"/jobs/{job}/review"


def test_an_answer_that_brings_up_a_question_leads_back_to_it_once(visit: Callable[..., Any]) -> None:
    visitor = visit("installer")
    job = _job(visitor)
    first = visitor.post(f"/jobs/{job}/water", {"expansion_device": "tank", "go": "next"})
    assert first.location == f"/jobs/{job}/water"
    again = visitor.post(f"/jobs/{job}/water", {"expansion_device": "tank", "go": "next"})
    assert again.location == f"/jobs/{job}/relief"


def test_a_new_job_knows_the_town_of_the_last_one(visit: Callable[..., Any], store: Any) -> None:
    visitor = visit("installer")
    first = _job(visitor)
    facts = {"address_state": "CA", "address_zip": "95999", "elevation_ft": "120"}
    visitor.post(f"/jobs/{first}/job", facts)
    assert 'value="Port Larkin"' in visitor.get("/jobs/new").get_data(as_text=True)
    near = store.jobs.get(1, _job(visitor)).answers
    assert near["address_state"] == "CA"
    assert "address_zip" not in near
    assert (near["elevation_ft"], near["accepted_as_usual"]) == ("120", ["elevation_ft"])
    visitor.post(f"/jobs/{_job(visitor)}/job", {"elevation_ft": "140"})
    elsewhere = store.jobs.get(1, _job(visitor, address_city="Elsewhere")).answers
    assert not {"address_state", "elevation_ft", "accepted_as_usual"} & set(elsewhere)
