"""The phone's wishes at the server: as the live call tells them, for who may, and nothing is saved."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

import pytest

from heaterapp.filling import door
from heaterapp.filling.wish import LONGEST_WISH
from heaterapp.rules import SECTIONS

from .conftest import JOBS

ADDRESS = "/phone/api/judge"
NAMES = sorted(path.stem for path in JOBS.glob("*.json"))


@pytest.mark.parametrize("name", NAMES)
def test_the_door_says_what_the_live_call_says(
    name: str, visit: Callable[..., Any], store: Any, answers_of: Callable[[str], dict[str, Any]]
) -> None:
    visitor = visit("installer")
    answers, person = answers_of(name), visitor.person
    job = store.jobs.create(person.organisation, person.id, answers)
    for section in SECTIONS:
        live = visitor.post_json(f"/jobs/{job.id}/answers", {"changes": {}, "section": section}).get_json()
        wish = {"do": "told", "answers": answers, "changes": {}, "unread": [], "section": section}
        told = json.loads(door.call(json.dumps(wish)))
        shared = set(live) - {"seen", "revision", "clashes"}
        assert {key: told.get(key) for key in shared} == {key: live[key] for key in shared}


CHANGES = [
    {"house_pressure_psi": "92"}, {"house_pressure_psi": "ninety"}, {"house_pressure_psi": None}, {"expansion_device": "none", "prv_fitted": "no"},
    {"heater_kind": "electric_storage"}, {"strap_heights_in": ["9", "50"], "tank_base_in": "12"}, {"elevation_ft": "6000", "room": "cellar"},
    {"place": "model_irc_2021"}, {"place": "atlantis"}, {"flue_colour": "teal"},
]  # fmt: skip


@pytest.mark.parametrize("changes", CHANGES, ids=str)
def test_the_same_changes_leave_the_same_answers_and_the_same_words(
    changes: dict[str, Any], visit: Callable[..., Any], store: Any, answers_of: Callable[[str], dict[str, Any]]
) -> None:
    visitor = visit("installer")
    answers, person = answers_of("gas_storage_us_ca"), visitor.person
    job = store.jobs.create(person.organisation, person.id, answers)
    live = visitor.post_json(f"/jobs/{job.id}/answers", {"changes": changes, "section": "water"}).get_json()
    wish = {"do": "told", "answers": answers, "changes": changes, "unread": [], "section": "water"}
    sent = visitor.post_json(ADDRESS, wish)
    told = sent.get_json()
    assert sent.status_code == 200
    assert told == json.loads(door.call(json.dumps(wish)))
    assert told["answers"] == store.jobs.get(person.organisation, job.id).answers
    shared = set(live) - {"seen", "revision", "clashes"}
    assert {key: told.get(key) for key in shared} == {key: live[key] for key in shared}


@pytest.mark.parametrize("body", [b"", b"{", b"null", b'{"do": "undo"}', b"\xff\xfe", b"[" * 50_000])
def test_a_wish_that_cannot_be_read_is_refused_in_words(body: bytes, visit: Callable[..., Any]) -> None:
    visitor = visit("installer")
    headers = {"X-CSRFToken": visitor.secret(), "Content-Type": "application/json"}
    answer = visitor.client.post(ADDRESS, data=body, headers=headers)
    assert answer.status_code == 400
    assert answer.get_json()["code"] == "bad_wish"
    assert answer.get_json()["error"]


def test_a_wish_as_large_as_none_is_refused(visit: Callable[..., Any]) -> None:
    answer = visit("installer").post_json(ADDRESS, {"do": "x" * LONGEST_WISH})
    assert (answer.status_code, answer.get_json()["code"]) == (413, "too_large")


@pytest.mark.parametrize(("role", "expected"), [("installer", 200), ("owner", 200), ("office", 403), (None, 401)])
def test_only_who_fills_in_jobs_may_ask(role: str | None, expected: int, visit: Callable[..., Any]) -> None:
    answer = visit(role).post_json(ADDRESS, {"do": "told", "answers": {}, "changes": {}})
    assert answer.status_code == expected
    assert "error" in answer.get_json() or expected == 200


def test_without_the_proof_of_the_sign_in_it_is_refused(visit: Callable[..., Any]) -> None:
    answer = visit("installer").post_json(ADDRESS, {"do": "told"}, without=True)
    assert (answer.status_code, answer.get_json()["code"]) == (403, "proof")
