"""Every answer of the phone's calls: its status, its code, a sentence."""

from __future__ import annotations

import hashlib
import json
import uuid
from collections.abc import Callable
from typing import Any

import pytest

from heaterapp import photo as pictures
from heaterapp.archive import TooManyTries, uploads
from heaterapp.rules import CATALOGUE, Job
from tests.web.sent import Phone, installer, listed, photo, receipt, signed, told

Change = Callable[[dict[str, Any]], Any]


PATHS = [
    ("get", "account"), ("get", "jobs"), ("get", "jobs/none"), ("get", "models"), ("post", "photos/wanted"),
    ("put", f"photos/{'0' * 64}"), ("put", "parcels/none"),
]  # fmt: skip


@pytest.mark.parametrize(("method", "path"), PATHS)
def test_nobody_signed_in_is_told_to_sign_in(visit: Any, method: str, path: str) -> None:
    assert told(getattr(visit(None).client, method)(f"/phone/api/{path}")) == (401, "sign_in")


@pytest.mark.parametrize(("method", "path"), PATHS)
def test_the_office_does_not_work_on_a_phone(visit: Any, method: str, path: str) -> None:
    office = visit("office")
    headers = {"X-CSRFToken": office.secret()}
    assert told(getattr(office.client, method)(f"/phone/api/{path}", headers=headers)) == (403, "not_yours")


@pytest.mark.parametrize(("method", "path"), [one for one in PATHS if one[0] != "get"])
def test_a_stale_proof_and_another_website_are_told_apart(phone: Phone, method: str, path: str) -> None:
    call = getattr(phone.visitor.client, method)
    assert told(call(f"/phone/api/{path}", headers={"X-CSRFToken": "stale"})) == (403, "proof")
    assert told(call(f"/phone/api/{path}")) == (403, "proof")
    foreign = {"X-CSRFToken": phone.csrf, "Sec-Fetch-Site": "cross-site"}
    assert told(call(f"/phone/api/{path}", headers=foreign)) == (403, "not_yours")


def test_unknown_addresses_and_methods_are_told_as_json(phone: Phone) -> None:
    client = phone.visitor.client
    assert told(client.get("/phone/api/nothing")) == (404, "not_found")
    assert told(client.get("/phone/api/jobs/none")) == (404, "not_found")
    assert told(client.post("/phone/api/account", headers={"X-CSRFToken": phone.csrf})) == (405, "not_possible")
    assert told(phone.put("photos/short", b"x")) == (404, "not_found")


def test_what_broke_and_too_many_tries_are_told_as_json(phone: Phone, monkeypatch: Any, store: Any) -> None:
    def breaks(*given: Any, **named: Any) -> None:
        raise RuntimeError

    def throttled(*given: Any, **named: Any) -> None:
        raise TooManyTries(7)

    monkeypatch.setattr(store.jobs, "jobs_for", breaks)
    assert told(phone.visitor.client.get("/phone/api/jobs")) == (500, "broken")
    monkeypatch.setattr(store.jobs, "jobs_for", throttled)
    answer = phone.visitor.client.get("/phone/api/jobs")
    assert told(answer) == (429, "too_many")
    assert answer.headers["Retry-After"] == "7"


def test_too_much_at_once_is_told_as_json_and_the_limits_are_the_phone_s_own(phone: Phone) -> None:
    assert told(phone.put(f"photos/{'0' * 64}", b"x" * 14_999_999)) == (422, "damaged")
    assert told(phone.put(f"photos/{'0' * 64}", b"x" * 15_000_001)) == (413, "too_large")
    draft = str(uuid.uuid4())
    assert told(phone.put(f"parcels/{draft}", b" " * 1_999_999)) == (422, "bad_parcel")
    assert told(phone.put(f"parcels/{draft}", b" " * 2_000_001)) == (413, "too_large")


def test_account_says_who_for_whom_and_by_which_codes(phone: Phone) -> None:
    said = phone.visitor.get("/phone/api/account").json
    assert said["person"]["id"] == phone.visitor.person.id
    assert set(said["person"]) == {"id", "name", "role", "licence"}
    assert said["firm"] == {"id": 1, "name": "Harborlight Plumbing", "licence": "C36 000000", "phone": "555-0100", "time_zone": ""}
    assert said["default_code"] == "us_ca_2022"
    assert {"key": "us_ca_2022", "answers": {"place": "us_ca_2022"}} in [
        {"key": one["key"], "answers": one["answers"]} for one in said["codes"]
    ]
    assert said["now"].endswith("Z")


def test_jobs_to_take_along_are_one_s_own_drafts(phone: Phone, answers: dict[str, Any], store: Any, people: Any) -> None:
    person = phone.visitor.person
    mine = store.jobs.create(person.organisation, person.id, answers)
    other = store.jobs.create(person.organisation, people["a", "owner"].id, answers)
    listed_jobs = phone.visitor.get("/phone/api/jobs").json["jobs"]
    assert [one["id"] for one in listed_jobs] == [mine.id]
    assert set(listed_jobs[0]) == {"id", "address", "heater", "changed", "revision"}
    got = phone.visitor.get(f"/phone/api/jobs/{mine.id}").json
    assert got == {"id": mine.id, "answers": Job(answers).canonical(), "revision": 1, "state": "draft", "inspected": None, "photos": []}
    assert told(phone.visitor.client.get(f"/phone/api/jobs/{other.id}")) == (404, "not_found")


def test_models_hold_the_plate_and_nothing_of_a_homeowner(
    phone: Phone, answers: dict[str, Any], store: Any
) -> None:
    person = phone.visitor.person
    for number in range(45):
        store.jobs.create(person.organisation, person.id, {**answers, "heater_model": f"M{number}"})
    store.jobs.create(person.organisation, person.id, {**answers, "heater_model": "m44"})
    models = phone.visitor.get("/phone/api/models").json["models"]
    assert len(models) == 40
    assert len({one["heater_model"].casefold() for one in models}) == 40
    for one in models:
        assert "heater_serial" not in one
        assert all(CATALOGUE[name].section == "plate" for name in one)


def test_photos_are_made_anew_once_and_asked_for_by_what_they_hold(phone: Phone, store: Any) -> None:
    one, two = photo(5), photo(6)
    names = [hashlib.sha256(body).hexdigest() for body in (one, two)]
    assert phone.wanted(*names).json == {"missing": names}
    assert phone.photo(one).json == {"sha256": names[0], "width": 64, "height": 48}
    assert phone.photo(one).status_code == 200
    assert phone.wanted(*names).json == {"missing": names[1:]}
    held = store.uploads.photos(phone.visitor.person.organisation, names)
    assert list(held) == names[:1]
    assert b"Exif" not in held[names[0]].body
    assert told(phone.photo(one, names[1])) == (422, "damaged")
    assert told(phone.photo(b"GIF89a no photo")) == (415, "not_a_photo")
    assert told(phone.photo(one[: len(one) // 3])) == (415, "not_a_photo")
    for wrong in ({}, {"sha256": "x"}, {"sha256": ["x"]}, {"sha256": [names[0]] * 41}, []):
        sent = phone.visitor.client.post(
            "/phone/api/photos/wanted", json=wrong, headers={"X-CSRFToken": phone.csrf}
        )
        assert told(sent) == (422, "bad_parcel")


def test_one_firm_s_photos_are_not_another_s(phone: Phone, visit: Any) -> None:
    body = photo(7)
    phone.photo(body)
    other = Phone(visit("installer", firm="b"))
    assert other.wanted(hashlib.sha256(body).hexdigest()).json["missing"]


def test_held_photos_are_bounded_and_go_after_thirty_days(phone: Phone, monkeypatch: Any, store: Any) -> None:
    monkeypatch.setattr(uploads, "MOST_HELD", 2)
    assert [phone.photo(photo(n)).status_code for n in range(3)] == [200, 200, 503]
    answer = phone.photo(photo(3))
    assert told(answer) == (503, "full")
    assert int(answer.headers["Retry-After"]) > 0
    with store.database.write() as connection:
        connection.exec_driver_sql("UPDATE upload SET created_at = '2020-01-01T00:00:00Z'")
    assert phone.photo(photo(3)).status_code == 200
    assert len(store.uploads.held(phone.visitor.person.organisation, [listed(photo(n))["sha256"] for n in range(4)])) == 1
    assert store.uploads.sweep() == 0


def test_a_darkroom_that_does_not_start_is_tried_again_later(phone: Phone, monkeypatch: Any) -> None:
    def dark(body: bytes) -> None:
        raise pictures.DarkroomFailed("no process")

    monkeypatch.setattr(pictures, "tidied", dark)
    assert told(phone.photo(photo(8))) == (503, "busy")


def test_somebody_else_s_parcel_names_both(phone: Phone, answers: dict[str, Any], people: Any, store: Any) -> None:
    owner = people["a", "owner"]
    refused = phone.send(signed(answers, person=owner.id))
    assert told(refused) == (403, "not_yours")
    assert owner.name in refused.json["error"]
    assert phone.visitor.person.name in refused.json["error"]
    theirs = store.jobs.create(owner.organisation, owner.id, answers)
    refused = phone.send(signed(answers, job=theirs.id, base={"revision": 1, "answers": answers}))
    assert told(refused) == (403, "not_yours")
    assert told(phone.send(signed(answers, person=people["b", "owner"].id))) == (403, "not_yours")


@pytest.mark.parametrize("method", ["declined", "not_home"])
def test_a_homeowner_who_did_not_sign_is_kept_as_such(
    phone: Phone, answers: dict[str, Any], store: Any, method: str
) -> None:
    parcel = signed(answers)
    parcel["signatures"].append(receipt(answers, name="", relation="", statement="", method=method))
    said = phone.send(parcel).json
    record = store.records.get(phone.visitor.person.organisation, said["record"])
    assert json.loads(record.signature)["signatures"][1]["method"] == method


def test_a_phone_whose_clock_is_wrong_by_a_day_still_sends(phone: Phone, answers: dict[str, Any], store: Any) -> None:
    parcel = signed(answers)
    for at in ("made_at", "signed_at"):
        parcel["device"][at] = "2031-01-01T00:00:00Z"
    installer(parcel)["at"] = "2031-01-01T00:00:00Z"
    said = phone.send(parcel).json
    record = store.records.get(phone.visitor.person.organisation, said["record"])
    assert json.loads(record.signature)["signatures"][0]["at"] == "2031-01-01T00:00:00Z"
    assert record.issued_at < "2031"


