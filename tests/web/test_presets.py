"""What "As usual" fills in, as the owner sets it: read by the question, refused by name, alike on line and on phones."""

from __future__ import annotations

import json
from typing import Any

import pytest
from bs4 import BeautifulSoup

from heaterapp.filling import door
from heaterapp.rules import CATALOGUE

from .conftest import hidden

USUAL = "/office/firm/usual"


def _save(owner: Any, **fields: str) -> Any:
    return owner.post(USUAL, {"of": hidden(owner.get(USUAL).text, "of"), **fields})


def test_a_firm_s_own_presets_are_filled_in_on_line_and_on_the_phone_alike_and_change_no_answer_given(
    visit: Any, store: Any, firms: Any
) -> None:
    owner, installer = visit("owner"), visit("installer")
    old = installer.begin()
    installer.post(f"/jobs/{old}/relief", {"relief_fitted": "yes", "relief_end": "outdoors", "go": "usual"})
    before = store.jobs.get(1, old).answers
    assert before["relief_pipe_material"] == "copper"
    sent = _save(
        owner, relief_pipe_material="cpvc", relief_pipe_in="1", relief_trap="", gas_connector_in="1/2 in"
    )
    assert sent.location == "/office/firm?said=presets"
    own = {"relief_pipe_material": "cpvc", "relief_pipe_in": "1", "relief_trap": ""}
    assert store.organisations.get(firms["a"].id).settings["presets"] == own
    assert "3 of these are this firm's own" in owner.get("/office/firm").text

    assert store.jobs.get(1, old).answers == before
    job = installer.begin()
    page = BeautifulSoup(installer.get(f"/jobs/{job}/relief").text, "html.parser")
    assert page.select_one("[data-usual-button]")
    live = installer.post_json(
        f"/jobs/{job}/answers",
        {"changes": {"relief_fitted": "yes", "relief_end": "outdoors"}, "section": "relief"},
    ).get_json()
    account = installer.get("/phone/api/account").get_json()
    assert account["presets"] == own
    answers = store.jobs.get(1, job).answers
    wish = {"answers": answers, "section": "relief", "presets": account["presets"]}
    told = json.loads(door.call(json.dumps(wish | {"do": "told", "changes": {}})))
    assert told["usual"] == live["usual"]
    assert [CATALOGUE["relief_pipe_material"].label, "CPVC"] in told["usual"]
    filled = json.loads(door.call(json.dumps(wish | {"do": "usual"})))
    installer.post(f"/jobs/{job}/relief", {"relief_fitted": "yes", "relief_end": "outdoors", "go": "usual"})
    kept = store.jobs.get(1, job).answers
    assert filled["answers"] == kept
    assert kept["relief_pipe_material"] == "cpvc"
    assert "relief_trap" not in kept
    assert "relief_pipe_material" in kept["accepted_as_usual"]


def test_a_change_of_presets_is_an_act_told_question_by_question(visit: Any, store: Any, firms: Any) -> None:
    owner = visit("owner")
    _save(owner, relief_pipe_material="cpvc", strap_width_in="1 1/2", listed_mark="yes")
    entry = store.log.newest(firms["a"].id, act="settings", limit=1)[0]
    body = {"strap_width_in": [None, "1.5"], "relief_pipe_material": [None, "cpvc"]}
    assert json.loads(entry.body) == {"keys": ["presets"], "presets": body}
    assert entry.actor == owner.person.id
    log = owner.get("/office/log").text
    assert "Relief pipe material from Copper to CPVC" in log
    assert "Strap width from asked to 1 1/2 in" in log
    fields = BeautifulSoup(owner.get(USUAL).text, "html.parser").find("form", id="top")
    whole = {one["name"]: one.get("value", "") for one in fields.find_all("input", type="text")}
    for one in fields.find_all("select"):
        chosen = one.find("option", selected=True)
        whole[one["name"]] = chosen["value"] if chosen else ""
    head = store.log.head(firms["a"].id)
    assert len(whole) > 75
    assert _save(owner, **whole).status_code == 303
    _save(owner, relief_pipe_material="cpvc", strap_width_in="1.5")
    assert store.log.head(firms["a"].id) == head, "what did not change is no act"
    _save(owner, act="program")
    assert "presets" not in store.organisations.get(firms["a"].id).settings


WRONG = (
    ("relief_pipe_in", "wide"),
    ("relief_pressure_psi", "-5"),
    ("relief_pipe_material", "chewing gum"),
    ("relief_trap", "unknown"),
    ("forced_inlet_distance_ft", "nearly"),
)


@pytest.mark.parametrize(("name", "typed"), WRONG)
def test_a_preset_that_its_question_cannot_take_is_named_and_what_was_typed_is_kept(
    visit: Any, store: Any, firms: Any, name: str, typed: str
) -> None:
    owner = visit("owner")
    answer = _save(owner, **{"gas_connector_length_in": "36", name: typed})
    page = BeautifulSoup(answer.text, "html.parser")
    assert answer.status_code == 400
    assert page.find(class_="error-summary").a["href"] == f"#{name}"
    assert "expected" in page.find(class_="error-summary").text
    field = page.find(id=name)
    kept = field.find("option", selected=True) if field.name == "select" else field
    assert kept["value"] == typed
    assert page.find(id="gas_connector_length_in")["value"] == "36"
    assert field.find_parent("details").has_attr("open")
    assert "presets" not in store.organisations.get(firms["a"].id).settings


def test_what_another_owner_changed_meanwhile_is_not_written_over(visit: Any, store: Any, firms: Any) -> None:
    owner = visit("owner")
    seen = hidden(owner.get(USUAL).text, "of")
    _save(owner, relief_pipe_in="1")
    late = owner.post(USUAL, {"of": seen, "relief_pipe_in": "3/4", "gas_connector_length_in": "36"})
    assert late.status_code == 409
    assert "after this page was opened" in late.text
    assert BeautifulSoup(late.text, "html.parser").find(id="gas_connector_length_in")["value"] == "36"
    assert store.organisations.get(firms["a"].id).settings["presets"] == {"relief_pipe_in": "1"}
    assert _save(owner, forced_inlet_distance_ft="Not here").status_code == 303


def test_of_two_owners_in_one_moment_the_second_is_told_and_neither_change_is_lost(
    visit: Any, store: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    owner = visit("owner")
    change, acts = store.organisations.change, len(store.log.newest(1, act="settings"))

    def a_moment_later(*given: Any, **named: Any) -> Any:
        # The other one is written between the look at what stands and the change.
        monkeypatch.setattr(store.organisations, "change", change)
        change(1, None, settings={"presets": {"relief_pipe_in": "1"}})
        return change(*given, **named)

    monkeypatch.setattr(store.organisations, "change", a_moment_later)
    late = _save(owner, gas_connector_length_in="36")
    assert late.status_code == 409
    page = BeautifulSoup(late.text, "html.parser")
    assert "after this page was opened" in page.text
    assert page.find(id="gas_connector_length_in")["value"] == "36"
    assert page.find(id="relief_pipe_in")["value"].startswith("1")
    assert store.organisations.get(1).settings["presets"] == {"relief_pipe_in": "1"}
    assert len(store.log.newest(1, act="settings")) == acts + 1
    # What the page that came back carries can be saved.
    fields = {"of": hidden(late.text, "of"), "gas_connector_length_in": "36"}
    assert owner.post(USUAL, fields).status_code == 303
    assert store.organisations.get(1).settings["presets"] == {
        "gas_connector_length_in": "36",
        "relief_pipe_in": "1",
    }


def test_what_a_check_for_danger_hangs_on_is_no_firm_s_on_line_or_on_a_phone(
    visit: Any, store: Any, firms: Any
) -> None:
    owner, installer = visit("owner"), visit("installer")
    page = BeautifulSoup(owner.get(USUAL).text, "html.parser")
    assert page.find(attrs={"name": "relief_trap"})
    assert not page.find(attrs={"name": "draft_kind"})
    assert "one tap fills in Draft: Draft hood alone" in page.text
    assert "Draft hood" in owner.get("/office/firm").text
    # As an import, or a version that let it be chosen, may have left it.
    store.organisations.save_settings(1, {"presets": {"draft_kind": "power_vent", "relief_pipe_in": "1"}})
    presets = installer.get("/phone/api/account").get_json()["presets"]
    assert presets == {"relief_pipe_in": "1"}
    job = installer.begin()
    held = store.jobs.get(1, job).answers
    installer.post(f"/jobs/{job}/plate", {"go": "usual"})
    assert store.jobs.get(1, job).answers["draft_kind"] == "draft_hood"
    # A phone that holds them from before judges alike.
    wish = {"answers": held, "section": "plate", "presets": {"draft_kind": "power_vent"}, "do": "usual"}
    assert json.loads(door.call(json.dumps(wish)))["answers"]["draft_kind"] == "draft_hood"
    _save(owner, draft_kind="power_vent", relief_pipe_in="1 1/4")
    assert store.organisations.get(1).settings["presets"] == {"relief_pipe_in": "1.25"}


def test_presets_of_a_question_that_has_none_are_not_kept(visit: Any, store: Any, firms: Any) -> None:
    _save(visit("owner"), house_pressure_psi="60", relief_fitted="yes")
    assert "presets" not in store.organisations.get(firms["a"].id).settings
