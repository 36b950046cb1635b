"""The live call: judges what was sent, names what it cannot read, writes nothing it refuses, keeps two devices apart."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from heaterapp.rules import CATALOGUE, SECTIONS

SHAPES = {
    "outcome": str, "outcome_words": str, "counts": dict, "tallies": dict, "sections": dict, "said": dict, "asked": dict,
    "spare": list, "todo": list, "flags": dict, "hazard": str, "revision": int, "errors": dict, "accepted": dict, "clashes": dict,
}  # fmt: skip
OF_ONE_SECTION = {"order": list, "onward": str, "seen": str, "boxes": dict, "usual": list}


@pytest.fixture
def job(visit: Callable[..., Any]) -> tuple[Any, str]:
    visitor = visit("installer")
    return visitor, visitor.begin()


def _call(job: tuple[Any, str], changes: Any, **more: Any) -> Any:
    return job[0].post_json(f"/jobs/{job[1]}/answers", {"changes": changes, **more})


def test_it_judges_the_section_that_is_on_the_page(job: tuple[Any, str], store: Any) -> None:
    told = _call(
        job, {"house_pressure_psi": "85", "drew_water_before_reading": "yes"}, revision=1, section="water"
    ).get_json()
    assert {name: type(told[name]) for name in told} == SHAPES | OF_ONE_SECTION
    assert told["counts"]["fix"] == 1
    assert list(told["sections"]) == ["water"]
    assert "House pressure 85 psi, limit 80 psi" in told["sections"]["water"]
    assert {CATALOGUE[name].section for name in told["said"]} == {"water"}
    assert told["revision"] == store.jobs.get(1, job[1]).revision == 2


def test_without_a_section_it_tells_all(job: tuple[Any, str]) -> None:
    told = _call(job, {}).get_json()
    assert {name: type(told[name]) for name in told} == SHAPES
    assert set(told["sections"]) == set(SECTIONS)


NONSENSE = [None, [], "x", 7, {}, {"changes": []}, {"changes": "x"}, {"changes": None}]
WRONG_BESIDE = [
    ("revision", "many"), ("revision", -4), ("revision", 10**30), ("revision", 1.5), ("revision", True), ("revision", []), ("revision", "٣"),
    ("section", "cellar"), ("section", 7), ("section", ["water"]), ("section", {}), ("section", "x" * 5000),
]  # fmt: skip


@pytest.mark.parametrize("sent", NONSENSE, ids=str)
def test_what_is_not_a_set_of_changes_is_refused_in_words(
    job: tuple[Any, str], store: Any, sent: Any
) -> None:
    before = store.jobs.get(1, job[1])
    answer = job[0].post_json(f"/jobs/{job[1]}/answers", sent)
    assert answer.status_code == 400
    assert "changes" in answer.get_json()["error"]
    assert store.jobs.get(1, job[1]) == before


@pytest.mark.parametrize(("name", "value"), WRONG_BESIDE, ids=lambda one: str(one)[:20])
def test_a_wrong_revision_or_section_is_named_and_nothing_is_written(
    job: tuple[Any, str], store: Any, name: str, value: Any
) -> None:
    before = store.jobs.get(1, job[1])
    answer = _call(job, {"house_pressure_psi": "60"}, **{name: value})
    assert answer.status_code == 400
    assert name in answer.get_json()["error"]
    assert store.jobs.get(1, job[1]) == before


@pytest.mark.parametrize(
    "body",
    [b"", b"{", b"\xff\xfe", b"[" * 100_000, b'{"changes": {"a": ' + b"[" * 50_000, b'{"changes": {}, "revision": ' + b"9" * 9000 + b"}", b"null",
     b'{"changes": {"house_pressure_psi": "60", "house_pressure_psi": "70"}}', b'{"changes": {}, "changes": {"house_pressure_psi": "60"}}'],
    ids=lambda body: str(body[:12]),
)  # fmt: skip
def test_a_body_that_is_no_json_is_refused(job: tuple[Any, str], store: Any, body: bytes) -> None:
    visitor = job[0]
    before = store.jobs.get(1, job[1])
    headers = {"X-CSRFToken": visitor.secret()}
    answer = visitor.client.post(
        f"/jobs/{job[1]}/answers", data=body, content_type="application/json", headers=headers
    )
    assert answer.status_code == 400
    assert answer.get_json()["error"]
    assert store.jobs.get(1, job[1]) == before


WRONG = [
    ("nonsense", 1), ("accepted_as_usual", ["x"]), ("acceptances", {}), ("", "x"), ("\ud800", "x"), ("x" * 9000, "x"),
    ("house_pressure_psi", {"a": [1]}), ("house_pressure_psi", True), ("house_pressure_psi", [60]), ("house_pressure_psi", "60\x00"),
    ("house_pressure_psi", float("nan")), ("house_pressure_psi", float("inf")), ("house_pressure_psi", 10**400), ("house_pressure_psi", -1),
    ("house_pressure_psi", {"could_not_measure": ""}), ("house_pressure_psi", {"could_not_measure": [1]}), ("house_pressure_psi", {"could_not_measure": "x" * 9000}),
    ("strap_heights_in", "x" * 5000), ("strap_heights_in", [[1]]), ("strap_heights_in", ["1"] * 5000), ("strap_heights_in", [None]), ("work_space_in", ["30"]),
    ("owner_name", "\ud800"), ("owner_name", "x" * 5000), ("owner_name", 7), ("owner_name", ["Dana"]), ("owner_name", {"a": 1}),
    ("prv_fitted", "perhaps"), ("prv_fitted", 1), ("work_date", "2026-02-30"), ("place", None), ("place", "../secret-key"), ("place", 5),
]  # fmt: skip


@pytest.mark.parametrize(("name", "value"), WRONG, ids=lambda one: ascii(one)[:30])
def test_an_answer_it_cannot_take_is_named_and_the_others_are_saved(
    job: tuple[Any, str], store: Any, name: str, value: Any
) -> None:
    before = store.jobs.get(1, job[1]).answers
    answer = _call(job, {name: value, "cold_inlet_f": "45"}, revision=1, section="water")
    told = answer.get_json()
    assert answer.status_code == 200
    assert list(told["errors"]) == [name[:60]]
    assert told["errors"][name[:60]]
    assert store.jobs.get(1, job[1]).answers == {**before, "cold_inlet_f": "45"}


def test_more_changes_than_there_are_questions_are_refused_whole(job: tuple[Any, str], store: Any) -> None:
    before = store.jobs.get(1, job[1])
    answer = _call(job, {f"n{i}": 1 for i in range(len(CATALOGUE))} | {"house_pressure_psi": "60"})
    assert answer.status_code == 400
    assert "changes" in answer.get_json()["error"]
    assert store.jobs.get(1, job[1]) == before


def test_two_devices_are_told_of_each_other(job: tuple[Any, str], store: Any) -> None:
    assert _call(job, {"house_pressure_psi": "60"}, revision=1, section="water").get_json()["clashes"] == {}
    told = _call(
        job, {"house_pressure_psi": "70", "cold_inlet_f": "45"}, revision=1, section="water"
    ).get_json()
    assert told["clashes"] == {"house_pressure_psi": "60 psi"}
    kept = store.jobs.get(1, job[1]).answers
    assert (kept["house_pressure_psi"], kept["cold_inlet_f"]) == ("60", "45")
    again = _call(job, {"house_pressure_psi": "70"}, revision=told["revision"], section="water").get_json()
    assert again["clashes"] == {}
    assert store.jobs.get(1, job[1]).answers["house_pressure_psi"] == "70"


def test_the_same_value_from_two_devices_is_no_clash(job: tuple[Any, str]) -> None:
    for _ in range(2):
        assert (
            _call(job, {"house_pressure_psi": "60"}, revision=1, section="water").get_json()["clashes"] == {}
        )


def test_an_answer_is_taken_away(job: tuple[Any, str], store: Any) -> None:
    _call(job, {"cold_inlet_f": "45"})
    told = _call(job, {"cold_inlet_f": None}, section="water").get_json()
    assert "cold_inlet_f" not in store.jobs.get(1, job[1]).answers
    assert told["boxes"]["cold_inlet_f"] == {}


def test_another_installer_s_and_another_firm_s_job_are_told_apart_from_nothing_by_nobody(
    job: tuple[Any, str], visit: Callable[..., Any], store: Any
) -> None:
    before = store.jobs.get(1, job[1])
    for visitor, code in (
        (visit("installer", firm="b"), 404),
        (visit("owner", firm="b"), 404),
        (visit("office"), 403),
    ):
        answer = visitor.post_json(f"/jobs/{job[1]}/answers", {"changes": {"cold_inlet_f": "45"}})
        assert (answer.status_code, list(answer.get_json())) == (code, ["error"])
    assert store.jobs.get(1, job[1]) == before


def test_no_verdict_rests_on_the_answer_that_stood_before_an_unreadable_one(
    job: tuple[Any, str], store: Any
) -> None:
    def stands(told: dict[str, Any]) -> bool:
        return "found 62 psi" in told["sections"]["water"]

    told = _call(job, {"house_pressure_psi": "62"}, revision=1, section="water").get_json()
    assert stands(told)
    told = _call(job, {"house_pressure_psi": "95x"}, revision=told["revision"], section="water").get_json()
    assert "house_pressure_psi" in told["errors"]
    assert not stands(told)
    told = _call(job, {"cold_inlet_f": "45"}, revision=told["revision"], section="water").get_json()
    assert stands(told)
    told = _call(
        job, {"cold_inlet_f": "46"}, revision=told["revision"], section="water", unread=["house_pressure_psi"]
    ).get_json()
    assert not stands(told)
    assert store.jobs.get(1, job[1]).answers["house_pressure_psi"] == "62"
    told = _call(job, {"house_pressure_psi": "63"}, section="water", unread=["house_pressure_psi"]).get_json()
    assert "found 63 psi" in told["sections"]["water"]


@pytest.mark.parametrize("unread", ["house_pressure_psi", {"a": 1}, [1], [None]])
def test_a_list_of_unread_fields_that_is_none_is_refused(job: tuple[Any, str], unread: Any) -> None:
    assert _call(job, {}, section="water", unread=unread).status_code == 400


@pytest.mark.parametrize(
    ("name", "given", "said", "accepted"),
    [
        ("vent_kind", "typ_b", "one of these: Type B, double wall; Single wall; Masonry", "type_b"),
        ("gas_leak_test", "not_here", "a test's result, one of these: Passed; Failed; Not done", "passed"),
        ("prv_fitted", "maybe", "Yes, No or Not known", "unknown"),
    ],
)
def test_a_wrong_choice_is_answered_in_a_persons_words_and_in_a_machines(
    job: tuple[Any, str], name: str, given: str, said: str, accepted: str
) -> None:
    told = _call(job, {name: given, "volts": "many"}).get_json()
    assert told["errors"][name].startswith(said)
    assert "_" not in told["errors"][name]
    assert list(told["accepted"]) == [name]
    assert accepted in told["accepted"][name]
    for word in told["accepted"][name]:
        assert _call(job, {name: word}).get_json()["errors"] == {}


def test_a_wrong_choice_in_the_form_is_named_by_its_labels(job: tuple[Any, str]) -> None:
    page = job[0].post(f"/jobs/{job[1]}/vent", {"vent_end": "chimney", "go": "stay"})
    assert page.status_code == 422
    assert "The vent ends: expected one of these: Above the roof; Through a wall; At a chimney top" in page.text
    assert "chimney_top," not in page.text
