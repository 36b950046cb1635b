"""A job stored by another version: what is not read is shown, kept, and never a fault; no place is never a silent one."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from tests.web.conftest import hidden

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
    assert visitor.post(f"/jobs/{old}/water", {**fields, "house_pressure_psi": "62", "go": "next"}).status_code == 302
    held = store.jobs.get(1, old).answers
    assert held["house_pressure_psi"] == "62"
    assert held["gone_question"] == "12 widgets"
    assert "a lot" not in visitor.get(f"/jobs/{old}/water").text


def test_the_live_call_of_an_old_job_answers(visit: Callable[..., Any], old: str) -> None:
    told = visit("installer").post_json(
        f"/jobs/{old}/answers", {"changes": {"house_pressure_psi": "61"}, "revision": None, "section": "water"}
    )
    assert told.status_code == 200
    assert told.json["errors"] == {}


def test_a_job_without_a_place_says_by_what_it_is_shown(
    visit: Callable[..., Any], store: Any, people: dict[tuple[str, str], Any]
) -> None:
    person = people["a", "installer"]
    job = store.jobs.create(person.organisation, person.id, {"heater_kind": "gas_storage"}).id
    visitor = visit("installer")
    for page in ("water", "review"):
        assert "No place is chosen, so it is not known which codes apply" in visitor.get(f"/jobs/{job}/{page}").text
    assert "No place is chosen" not in visitor.get(f"/jobs/{visitor.begin()}/water").text
