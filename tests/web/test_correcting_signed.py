"""What a correction may say without a new signature: never another signer, never nothing, never what is no ZIP."""

from __future__ import annotations

import json
from typing import Any

import pytest

from heaterapp import correcting, rules
from heaterapp.filling.typed import read_one
from heaterapp.rules import CATALOGUE, BadAnswer
from heaterapp.rules.postal import badly_written

from .conftest import Visitor
from .sent import signed
from .test_history import looked, made

ANOTHER = "Another person or license needs a new signature."


@pytest.fixture(autouse=True)
def quick_judge(monkeypatch: pytest.MonkeyPatch) -> None:
    """Judged again in this process, for speed."""
    monkeypatch.setattr(correcting, "judge_with", lambda _, answers: rules.assess(answers).to_bytes())


def test_another_installer_or_license_is_signed_anew_and_the_signer_s_own_name_is_a_slip(
    visit: Any, issue: Any, store: Any, people: Any
) -> None:
    me, signer = people["a", "office"], people["a", "installer"].name
    first = issue(installer_name=signer.replace("Installer", "Instaler"))

    def slipped(**changes: str) -> Any:
        return correcting.slip(me, first, changes, "misspelt", "key", b"", lambda name, said: str(said))

    for changes in ({"installer_name": "Owner of main"}, {"installer_licence": "C36 999999"}):
        with pytest.raises(correcting.NeedsSignature, match=ANOTHER):
            slipped(**changes)
    assert slipped(installer_name=signer).supersedes == slipped(contractor_licence="1").supersedes == first.id
    other = looked(visit("office"), first.number, installer_name="Owner of main")
    assert "The job opens again for Owner of main" in other.text
    assert made(visit("office"), first.number, other).location == f"/office/records/{first.number}"
    job = store.jobs.get(first.organisation, first.job_id)
    assert (job.state, job.installer) == ("draft", people["a", "owner"].id)


def test_what_a_paper_is_found_by_is_not_emptied_and_a_bad_zip_is_refused(visit: Any, issue: Any) -> None:
    clerk: Visitor = visit("office")
    # Stored before anybody asked for a ZIP's five digits: kept, and no hindrance to another correction.
    first = issue(address_zip="9599", address_state="Cal")
    preview = looked(clerk, first.number, owner_name="Dana Whitlocke")
    assert "No new signature is needed" in preview.text
    wrong = {
        "address_street": "",
        "owner_name": "",
        "heater_serial": "",
        "address_zip": "abc",
        "address_state": "Kal",
    }
    answer = looked(clerk, first.number, **wrong)
    assert answer.status_code == 422
    for name in ("address_street", "owner_name", "heater_serial"):
        assert f"{CATALOGUE[name].label}: expected {correcting.NOT_EMPTY}" in answer.text
    assert "ZIP code: expected 5 digits" in answer.text
    assert "two letters, such as CA" in answer.text
    for changes in ({"owner_name": None}, {"address_zip": "abc"}):
        refused = made(clerk, first.number, preview, changes=json.dumps(changes))
        assert (refused.status_code, "Nothing was changed" in refused.text) == (400, True), changes


def test_the_question_itself_refuses_what_is_no_zip_or_state_and_keeps_what_is_stored() -> None:
    assert [read_one("address_state", text) for text in ("ca", "New York", "")] == ["CA", "NY", None]
    for name, wrong in (("address_zip", "abc"), ("address_zip", "9599"), ("address_state", "Cal")):
        with pytest.raises(BadAnswer, match="expected"):
            pytest.fail(f"{name} took {read_one(name, wrong)}")
        flagged = rules.assess({"place": "us_ca_2022", name: wrong}).as_json()["flags"]
        assert [(one["question"], "Kept as given" in one["says"]) for one in flagged] == [(name, True)]
    assert badly_written({"address_zip": "95991-0142", "address_state": "CA"}) == {}
    assert {one.name for one in CATALOGUE.values() if one.written} == {"address_zip", "address_state"}


def test_a_stored_zip_stays_in_its_box_and_a_phone_s_new_one_is_refused(
    visit: Any, store: Any, phone: Any, answers: Any
) -> None:
    riley = visit("installer")
    job = riley.begin()
    riley.told(job, {"address_zip": "9599"})
    page = riley.get(f"/jobs/{job}/job").text
    assert 'value="9599"' in page
    sent = riley.post(f"/jobs/{job}/job", {"address_zip": "9599", "owner_name": "Dana", "go": "next"})
    assert sent.status_code == 302
    assert riley.post(f"/jobs/{job}/job", {"address_zip": "95"}).status_code == 422
    refused = phone.send(signed({**answers, "address_zip": "abc"}))
    assert (refused.status_code, refused.json["fields"].keys()) == (422, {"address_zip"})
