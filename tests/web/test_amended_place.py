"""A job judged by the firm's own amendments, when its place changes, cannot be read, or is gone."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

OWN = {
    "name": "port_larkin_water", "title": "Port Larkin water rules", "version": 2, "on": "2026-11-01",
    "base": "us_ca_2022", "clauses": {}, "silent": {"supply.pressure_limit": "The town asks for none."},
}  # fmt: skip
ANSWERS = {"heater_kind": "gas_storage", "job_kind": "same_place", "place": "us_ca_2022", "amendments": OWN}
SAID = "Judged with Port Larkin water rules, version 2"


@pytest.fixture
def begun(store: Any, people: Any) -> Callable[..., Any]:
    def one(**different: Any) -> Any:
        person = people["a", "installer"]
        held = {k: v for k, v in {**ANSWERS, **different}.items() if v is not None}
        return store.jobs.create(person.organisation, person.id, held)

    return one


@pytest.mark.parametrize("given", ["nonsense", "own:no_such_set", "", None, 7])
def test_a_place_that_cannot_be_read_is_named_and_changes_nothing(
    visit: Callable[..., Any], store: Any, begun: Callable[..., Any], given: Any
) -> None:
    job, visitor = begun(), visit("installer")
    sent = {"changes": {"place": given}, "revision": None, "section": "job"}
    answer = visitor.post_json(f"/jobs/{job.id}/answers", sent)
    assert answer.status_code == 200
    assert set(answer.json["errors"]) == {"place"}
    assert visitor.post(f"/jobs/{job.id}/job", {"place": str(given)}).status_code == 422
    assert store.jobs.get(job.organisation, job.id).answers == ANSWERS
    assert SAID in visitor.get(f"/jobs/{job.id}/review").text


@pytest.mark.parametrize("by_script", [True, False])
def test_another_place_takes_the_amendments_of_the_old_one_away(
    visit: Callable[..., Any], store: Any, begun: Callable[..., Any], by_script: bool
) -> None:
    job, visitor = begun(), visit("installer")
    if by_script:
        sent = {"changes": {"place": "model_upc_2021"}, "revision": job.revision, "section": "job"}
        assert visitor.post_json(f"/jobs/{job.id}/answers", sent).json["errors"] == {}
    else:
        assert visitor.post(f"/jobs/{job.id}/job", {"place": "model_upc_2021"}).status_code == 302
    held = store.jobs.get(job.organisation, job.id).answers
    assert held["place"] == "model_upc_2021"
    assert "amendments" not in held
    assert SAID not in visitor.get(f"/jobs/{job.id}/review").text


def test_two_devices_that_choose_two_places_are_told_and_nothing_breaks(
    visit: Callable[..., Any], store: Any, begun: Callable[..., Any]
) -> None:
    job, visitor = begun(), visit("installer")
    for place, clashes in (("model_upc_2021", set()), ("us_wa", {"place"})):
        sent = {"changes": {"place": place}, "revision": job.revision, "section": "job"}
        answer = visitor.post_json(f"/jobs/{job.id}/answers", sent)
        assert (answer.status_code, set(answer.json["clashes"])) == (200, clashes)
    held = store.jobs.get(job.organisation, job.id).answers
    assert held["place"] == "model_upc_2021"
    assert "amendments" not in held


def test_a_place_chosen_while_another_device_took_a_newer_version_waits_for_the_person(
    visit: Callable[..., Any], store: Any, begun: Callable[..., Any]
) -> None:
    job, visitor = begun(), visit("installer")
    store.jobs.save_answers(job.organisation, job.id, {"amendments": {**OWN, "version": 3}})
    changes = {"place": "us_wa", "house_pressure_psi": "85"}
    sent = {"changes": changes, "revision": job.revision, "section": "job"}
    answer = visitor.post_json(f"/jobs/{job.id}/answers", sent)
    assert answer.json["clashes"] == {"place": "Port Larkin water rules, version 3, in force 1 Nov 2026"}
    held = store.jobs.get(job.organisation, job.id).answers
    assert (held["place"], held["amendments"]["version"]) == ("us_ca_2022", 3)
    assert held["house_pressure_psi"] == "85"


def test_other_answers_keep_them(visit: Callable[..., Any], store: Any, begun: Callable[..., Any]) -> None:
    job, visitor = begun(), visit("installer")
    sent = {"changes": {"house_pressure_psi": "85", "place": "us_ca_2022"}, "revision": None}
    assert visitor.post_json(f"/jobs/{job.id}/answers", sent).json["errors"] == {}
    assert store.jobs.get(job.organisation, job.id).answers["amendments"] == OWN


@pytest.mark.parametrize("place", [None, "model_upc_2021"], ids=["no place", "another place"])
@pytest.mark.parametrize("page", ["job", "water", "review"])
def test_stored_without_their_place_they_judge_nothing_and_every_page_opens(
    visit: Callable[..., Any], begun: Callable[..., Any], place: str | None, page: str
) -> None:
    job = begun(place=place)
    shown = visit("installer").get(f"/jobs/{job.id}/{page}")
    assert shown.status_code == 200
    assert SAID not in shown.text
    if place:
        assert "Kept, but not read by this version: amendments" in shown.text


def test_codes_chosen_while_another_device_took_a_newer_version_are_not_lost_unsaid(
    visit: Callable[..., Any], store: Any, begun: Callable[..., Any]
) -> None:
    job, visitor = begun(), visit("installer")
    store.jobs.save_answers(job.organisation, job.id, {"amendments": {**OWN, "version": 3}})
    sent = visitor.post(f"/jobs/{job.id}/codes", {"codes": "us_ca_2022", "revision": job.revision})
    assert sent.status_code == 422
    assert "Another device has changed the codes meanwhile" in sent.text
    assert store.jobs.get(job.organisation, job.id).answers["amendments"]["version"] == 3


def test_a_script_chooses_the_firm_s_own_amendments_and_nobody_else_s(
    visit: Callable[..., Any], store: Any, people: Any, begun: Callable[..., Any]
) -> None:
    for firm, name in (("a", "ours"), ("b", "theirs")):
        office = people[firm, "office"]
        store.amendments.save(office.organisation, office.id, {**OWN, "name": name})
    job, visitor = begun(place="model_upc_2021", amendments=None), visit("installer")
    for name, errors in (("theirs", {"place"}), ("ours", set())):
        sent = {"changes": {"place": f"own:{name}"}, "revision": None, "section": "job"}
        answer = visitor.post_json(f"/jobs/{job.id}/answers", sent)
        assert (answer.status_code, set(answer.json["errors"])) == (200, errors)
        held = store.jobs.get(job.organisation, job.id).answers
        assert ("amendments" in held) is (not errors)
    assert (held["place"], held["amendments"]) == ("us_ca_2022", {**OWN, "name": "ours", "version": 1})
