"""The installer's pages as plain forms: who may open what, whole jobs, places, two devices."""

from __future__ import annotations

import html
import json
import re
from collections.abc import Callable
from typing import Any

import pytest

from heaterapp.filling.typed import questions_of
from heaterapp.rules import CATALOGUE, SECTIONS, Job, place, place_names
from tests.web.conftest import hidden

OPEN, IN, NO, GONE = 200, 302, 403, 404
# route, method: what the job's installer, another installer of the firm, the owner, and the office get.
TABLE = {
    ("/jobs", "GET"): (OPEN, OPEN, OPEN, NO),
    ("/jobs/new", "GET"): (OPEN, OPEN, OPEN, NO),
    ("/jobs/new", "POST"): (422, 422, 422, NO),
    ("/jobs/{job}", "GET"): (IN, GONE, IN, NO),
    ("/jobs/{job}/water", "GET"): (OPEN, GONE, OPEN, NO),
    ("/jobs/{job}/water", "POST"): (IN, GONE, IN, NO),
    ("/jobs/{job}/answers", "POST"): (400, GONE, 400, NO),
    ("/jobs/{job}/review", "GET"): (OPEN, GONE, OPEN, NO),
    ("/jobs/{job}/accept", "POST"): (422, GONE, 422, NO),
    ("/jobs/{job}/sign", "GET"): (OPEN, GONE, OPEN, NO),
    # Nothing changed since its list was signed: the same wish gets the same paper.
    ("/jobs/{job}/sign", "POST"): (IN, GONE, IN, NO),
    ("/jobs/{job}/issued", "GET"): (OPEN, GONE, OPEN, NO),
    ("/jobs/{job}/papers/{number}/correction-list.pdf", "GET"): (OPEN, GONE, OPEN, NO),
    ("/jobs/{job}/link", "POST"): (303, GONE, 303, NO),
    ("/jobs/{job}/again", "POST"): (IN, GONE, IN, NO),
}
WHO = ("its installer", "another installer", "its owner", "its office")


def _send(visitor: Any, path: str, method: str) -> Any:
    return visitor.get(path) if method == "GET" else visitor.post(path)


@pytest.fixture
def another(visit: Callable[..., Any], store: Any) -> Any:
    """A second installer of the first firm, signed in."""
    person = store.people.add(1, "second", "Second Installer", "installer", "copper-kettle-47")
    visitor = visit("installer")
    token, _ = store.sessions.start(1, person.id, "test")
    with visitor.client.session_transaction() as session:
        session["token"] = token
    return visitor


@pytest.fixture
def listed(visit: Callable[..., Any], answers_of: Any) -> dict[str, str]:
    """A job in hand for which a correction list was issued."""
    visitor = visit("installer")
    job = visitor.begin(place="model_upc_2024")
    visitor.fill(job, answers_of("gas_storage_to_fix"))
    assert visitor.sign(job).status_code == 302
    return {"job": job, "number": "L-000001"}


@pytest.mark.parametrize("who", WHO)
def test_every_route_by_everybody_of_the_firm(
    visit: Callable[..., Any], another: Any, listed: dict[str, str], who: str
) -> None:
    visitors = [visit("installer"), another, visit("owner"), visit("office")]
    for (route, method), expected in TABLE.items():
        answer = _send(visitors[WHO.index(who)], route.format(**listed), method)
        assert answer.status_code == expected[WHO.index(who)], f"{method} {route} as {who}"


@pytest.mark.parametrize("role", ["installer", "owner", None])
def test_another_firm_s_job_and_nobody_s_job_are_the_same_nothing(
    visit: Callable[..., Any], listed: dict[str, str], store: Any, role: str | None
) -> None:
    stranger = visit(role, firm="b")
    before = store.jobs.get(1, listed["job"])
    nowhere = {"job": "3f0c0000-0000-4000-8000-000000000000", "number": listed["number"]}
    for route, method in TABLE:
        if "{job}" in route:
            there, none = (_send(stranger, route.format(**ids), method) for ids in (listed, nowhere))
            assert there.status_code == none.status_code == (GONE if role else IN), f"{method} {route}"
            if role:
                assert re.sub(r'"[^"]{40,}"', "", there.text) == re.sub(r'"[^"]{40,}"', "", none.text)
    assert store.jobs.get(1, listed["job"]) == before


def test_the_table_names_every_route_of_the_installer_s_pages(app: Any) -> None:
    def bare(rule: str) -> str:
        return re.sub(
            r"<any[^>]*>|water",
            "{}",
            re.sub(r"<job_id>|<number>|<name>|\{\w+\}|correction-list\.pdf", "{}", rule),
        )

    named = {(bare(route), method) for route, method in TABLE}
    for rule in app.url_map.iter_rules():
        if rule.endpoint.split(".")[0] in {"accepted", "jobs", "live", "signing", "starting"}:
            for method in rule.methods - {"HEAD", "OPTIONS"}:
                assert (bare(rule.rule), method) in named, f"{method} {rule.rule}"


def test_no_form_works_without_its_secret(
    visit: Callable[..., Any], listed: dict[str, str], store: Any
) -> None:
    visitor = visit("installer")
    before = store.jobs.get(1, listed["job"])
    for route, method in TABLE:
        if method == "POST":
            answer = visitor.post(route.format(**listed), {"house_pressure_psi": "61"}, without=True)
            assert answer.status_code == 400, route
            assert "nothing was changed" in answer.text
    sent = visitor.post_json(f"/jobs/{listed['job']}/answers", {"changes": {}}, without=True)
    assert sent.status_code == 400
    assert store.jobs.get(1, listed["job"]) == before


@pytest.mark.parametrize(
    ("name", "number"),
    [("gas_storage_us_ca", "C-"), ("electric_storage_irc", "C-"), ("gas_storage_to_fix", "L-")],
)
def test_a_whole_job_through_plain_forms(
    visit: Callable[..., Any], store: Any, answers_of: Any, name: str, number: str
) -> None:
    visitor, answers = visit("installer"), answers_of(name)
    job = visitor.begin(heater_kind=answers["heater_kind"], place=answers["place"])
    visitor.fill(job, answers)
    signed = visitor.sign(job)
    assert signed.location == f"/jobs/{job}/issued"
    assert f"{number}000001" in visitor.get(signed.location).text
    record = store.records.by_number(1, f"{number}000001")
    kept, typed = json.loads(record.job), Job(answers).canonical()
    on_the_form = [q.name for section in SECTIONS for q in questions_of(section) if q.name in typed]
    assert len(on_the_form) > 120
    assert {n: kept.get(n) for n in on_the_form} == {n: typed[n] for n in on_the_form}
    assert json.loads(record.signature)["signatures"][0]["name"] == "Riley Okafor"
    assert store.jobs.get(1, job).state == ("draft" if number == "L-" else "issued")


def test_looking_over_somebody_else_s_work_never_ends_in_a_certificate(
    visit: Callable[..., Any], store: Any, answers_of: Any
) -> None:
    visitor = visit("installer")
    job = visitor.begin(job_kind="existing")
    visitor.fill(job, {**answers_of("gas_storage_us_ca"), "job_kind": "existing", "install_year": 2012})
    page = visitor.get(f"/jobs/{job}/sign").text
    assert "This paper certifies nothing about their work." in page
    assert "I installed this water heater" not in page
    visitor.sign(job)
    assert [h.kind for h in store.records.of_job(1, job)] == ["findings_report"]
    assert visitor.get(f"/jobs/{job}/issued").status_code == 200


def test_an_issued_job_is_changed_by_no_route(visit: Callable[..., Any], store: Any, answers_of: Any) -> None:
    visitor = visit("installer")
    job = visitor.begin()
    visitor.fill(job, answers_of("gas_storage_us_ca"))
    wish = visitor.wish(job)
    visitor.sign(job)
    before, record = store.jobs.get(1, job), store.records.by_number(1, "C-000001")
    assert before.state == "issued"
    taken = {"check": "pan.depth", "by": "Inspector Vance", "on": "2026-11-25", "why": "seen"}
    assert visitor.post(f"/jobs/{job}/water", {"house_pressure_psi": "62"}).status_code == 409
    assert visitor.post(f"/jobs/{job}/water", {"go": "usual"}).status_code in (302, 409)
    assert visitor.post(f"/jobs/{job}/accept", taken).status_code == 409
    assert visitor.post(f"/jobs/{job}/sign", {**wish, "name": "Somebody Else"}).status_code == 302
    told = visitor.post_json(f"/jobs/{job}/answers", {"changes": {"house_pressure_psi": "62"}})
    assert (told.status_code, "nothing was changed" in told.get_json()["error"]) == (409, True)
    for path in ("", "/water", "/sign"):
        assert visitor.get(f"/jobs/{job}{path}").location == f"/jobs/{job}/issued"
    assert store.jobs.get(1, job) == before
    assert store.records.by_number(1, "C-000001") == record
    assert len(store.records.of_job(1, job)) == 1


def test_another_place_judges_by_its_own_books_and_keeps_every_answer(
    visit: Callable[..., Any], store: Any, answers_of: Any
) -> None:
    visitor = visit("installer")
    job = visitor.begin()
    visitor.fill(job, answers_of("gas_storage_us_ca"))
    before = store.jobs.get(1, job).answers
    page = visitor.get(f"/jobs/{job}/place").text
    moved = visitor.post(f"/jobs/{job}/job", {"place": "model_irc_2021", "go": "stay"})
    assert moved.location == f"/jobs/{job}/job"
    after = store.jobs.get(1, job).answers
    assert after == {**before, "place": "model_irc_2021"}
    assert visitor.get(f"/jobs/{job}/place").text != page
    refused = visitor.post(f"/jobs/{job}/job", {"place": "atlantis", "owner_name": "Dana Whitlock"})
    titles = "; ".join(place(name).title for name in sorted(set(place_names().values())))
    assert f"expected one of these: {titles}" in html.unescape(refused.text)
    assert store.jobs.get(1, job).answers["place"] == "model_irc_2021"


def test_two_devices_show_both_values_and_lose_none(visit: Callable[..., Any], store: Any) -> None:
    visitor = visit("installer")
    job = visitor.begin()
    first = {"house_pressure_psi": "60", "revision": "1", "seen": "{}"}
    assert visitor.post(f"/jobs/{job}/water", first).status_code == 302
    late = visitor.post(f"/jobs/{job}/water", {**first, "house_pressure_psi": "70", "cold_inlet_f": "45"})
    assert late.status_code == 422
    assert "meanwhile 60 psi was saved from another device" in late.text
    assert 'value="70"' in late.text
    kept = store.jobs.get(1, job).answers
    assert (kept["house_pressure_psi"], kept["cold_inlet_f"]) == ("60", "45")


def test_a_new_job_names_what_it_needs_and_keeps_what_was_typed(
    visit: Callable[..., Any], store: Any
) -> None:
    visitor = visit("installer")
    typed = {
        "address_street": "9 Net Loft Ln",
        "heater_kind": "steam",
        "place": "atlantis",
        "address_city": "x" * 300,
    }
    refused = visitor.post("/jobs/new", typed)
    assert refused.status_code == 422
    for name in ("heater_kind", "place", "address_city"):
        assert f"{CATALOGUE[name].label}: expected" in refused.text
    assert f"{CATALOGUE['job_kind'].label}: choose one" in refused.text
    assert 'value="9 Net Loft Ln"' in refused.text
    assert store.jobs.all(1) == []


def test_what_one_starts_with_is_sent_once(visit: Callable[..., Any], store: Any) -> None:
    twice = {"heater_kind": ["gas_storage", "electric_storage"], "job_kind": "same_place"}
    refused = visit("installer").post("/jobs/new", twice)
    assert (refused.status_code, "one answer, sent once" in refused.text) == (422, True)
    assert store.jobs.all(1) == []


@pytest.mark.parametrize(
    "revision", [None, "", "0", "-1", "999", "x", "9" * 5000, ["1", "1"], "\u0661", "1.0"], ids=str
)
def test_a_form_that_does_not_say_what_it_was_made_of_saves_nothing_and_keeps_what_was_typed(
    visit: Callable[..., Any], store: Any, revision: Any
) -> None:
    visitor = visit("installer")
    job = visitor.begin()
    visitor.post(f"/jobs/{job}/water", {"house_pressure_psi": "62"})
    before = store.jobs.get(1, job)
    typed = {"house_pressure_psi": "71", "cold_inlet_f": "45", "csrf_token": visitor.secret()}
    refused = visitor.client.post(
        f"/jobs/{job}/water", data=typed if revision is None else {**typed, "revision": revision}
    )
    assert refused.status_code == 422
    assert store.jobs.get(1, job) == before
    assert "did not say which answers it was made of" in refused.text
    assert re.search(r'name="house_pressure_psi" value="71"', refused.text)
    assert re.search(r"Saved now as [^:]+: 62 psi", refused.text)
    fields = {name: hidden(refused.text, name) for name in ("revision", "seen")}
    again = {**fields, "house_pressure_psi": "71", "cold_inlet_f": "45"}
    assert visitor.post(f"/jobs/{job}/water", again).status_code == 302
    assert store.jobs.get(1, job).answers["house_pressure_psi"] == "71"


def test_a_firm_that_chose_no_codes_has_none_chosen_for_it(visit: Callable[..., Any], store: Any) -> None:
    store.organisations.save_settings(1, {"place": None})
    visitor = visit("installer")
    assert re.search(r'<select[^>]*id="place".*?<option value=""', visitor.get("/jobs/new").text, re.S)
    start = {"job_kind": "same_place", "heater_kind": "gas_storage", "address_street": "1 Quay Road"}
    for chosen in ({}, {"place": ""}):
        refused = visitor.post("/jobs/new", {**start, **chosen})
        assert refused.status_code == 422
        assert "Adopted codes: choose one" in refused.text
    assert store.jobs.all(1) == []
