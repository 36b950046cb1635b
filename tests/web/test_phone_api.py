"""Every answer of the phone's calls: its status, its code, a sentence; and that nothing hostile gets in or breaks it."""

from __future__ import annotations

import hashlib
import json
import random
import uuid
from collections.abc import Callable
from typing import Any

import pytest

from heaterapp import photo as pictures
from heaterapp.archive import TooManyTries, uploads
from heaterapp.filling.signed import STATEMENTS
from heaterapp.rules import CATALOGUE, Job
from tests.web.sent import AT, Phone, listed, photo, receipt, signed

GAS = "gas_storage_us_ca"
Change = Callable[[dict[str, Any]], Any]


@pytest.fixture
def phone(visit: Any) -> Phone:
    return Phone(visit("installer"))


@pytest.fixture
def answers(answers_of: Any) -> dict[str, Any]:
    return dict(answers_of(GAS))


def told(answer: Any) -> tuple[int, str]:
    assert answer.is_json, answer.text[:200]
    assert answer.headers["Cache-Control"] == "no-store"
    said = answer.json["error"]
    assert said[0].isupper()
    assert said.endswith(".")
    return answer.status_code, answer.json["code"]


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
    assert said["firm"] == {"name": "Harborlight Plumbing", "licence": "C36 000000", "phone": "555-0100"}
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
    assert got == {"id": mine.id, "answers": Job(answers).canonical(), "revision": 1, "state": "draft"}
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


def installer(one: dict[str, Any]) -> dict[str, Any]:
    held: dict[str, Any] = one["signatures"][0]
    return held


REFUSED: dict[str, tuple[Change, str]] = {
    "another form": (lambda p: p.update(form=0), "old_form"),
    "a form of true": (lambda p: p.update(form=True), "old_form"),
    "a part more": (lambda p: p.update(more=1), "bad_parcel"),
    "a part less": (lambda p: p.pop("device"), "bad_parcel"),
    "another draft": (lambda p: p.update(draft=str(uuid.uuid4())), "bad_parcel"),
    "a draft in capitals": (lambda p: p.update(draft=p["draft"].upper()), "bad_parcel"),
    "a job that is none": (lambda p: p.update(job="../etc"), "bad_parcel"),
    "a base of text": (lambda p: p.update(base="x"), "bad_parcel"),
    "a base of true": (lambda p: p.update(base={"revision": True, "answers": {}}), "bad_parcel"),
    "answers in a list": (lambda p: p.update(answers=[]), "bad_parcel"),
    "an unknown kind": (lambda p: p.update(kind="diploma"), "bad_parcel"),
    "a kind in a list": (lambda p: p.update(kind=[]), "bad_parcel"),
    "a report that is no digest": (lambda p: p.update(report_sha256="ZZ"), "bad_parcel"),
    "a ruleset by half": (lambda p: p["ruleset"].pop("digest"), "bad_parcel"),
    "a person of text": (lambda p: p.update(person="1"), "bad_parcel"),
    "a person of true": (lambda p: p.update(person=True), "bad_parcel"),
    "a person too large": (lambda p: p.update(person=2**40), "bad_parcel"),
    "a device without end": (lambda p: p["device"].update(agent="x" * 501), "bad_parcel"),
    "a photo by half": (lambda p: p.update(photos=[{"sha256": "0" * 64}]), "bad_parcel"),
    "a photo twice": (lambda p: p.update(photos=[listed(b"x"), listed(b"x")]), "bad_parcel"),
    "a photo of a strange kind": (lambda p: p.update(photos=[listed(b"x", kind="../a")]), "bad_parcel"),
    "a photo's note of two lines": (lambda p: p.update(photos=[listed(b"x", note="a\nb")]), "bad_parcel"),
    "a photo chosen by 1": (lambda p: p.update(photos=[listed(b"x", chosen=1)]), "bad_parcel"),
    "a photo of no time": (lambda p: p.update(photos=[listed(b"x", taken_at="noon")]), "bad_parcel"),
    "too many photos": (lambda p: p.update(photos=[listed(bytes([n])) for n in range(41)]), "bad_parcel"),
    "photos not sent": (lambda p: p.update(photos=[listed(b"x")]), "photos_missing"),
    "no signature": (lambda p: p.update(signatures=[]), "unsigned"),
    "the homeowner alone": (lambda p: p.update(signatures=[receipt(p["answers"])]), "unsigned"),
    "the installer twice": (lambda p: p["signatures"].append(installer(p)), "unsigned"),
    "three signatures": (lambda p: p["signatures"].extend([receipt(p["answers"])] * 2), "unsigned"),
    "a role nobody has": (lambda p: installer(p).update(role="mayor"), "unsigned"),
    "a role in a list": (lambda p: installer(p).update(role=[]), "unsigned"),
    "a method in a list": (lambda p: installer(p).update(method=[]), "unsigned"),
    "a statement of our own making": (lambda p: installer(p).update(statement="I did nothing."), "unsigned"),
    "another paper's statement": (
        lambda p: installer(p).update(statement=STATEMENTS["correction_list"]), "unsigned",
    ),
    "another consent": (lambda p: installer(p).update(consent="No."), "unsigned"),
    "other answers": (lambda p: p["answers"].update(owner_name="Other"), "unsigned"),
    "no name": (lambda p: installer(p).update(name=" "), "unsigned"),
    "a name of two lines": (lambda p: installer(p).update(name="a\nb"), "unsigned"),
    "no time": (lambda p: installer(p).update(at="yesterday"), "unsigned"),
    "drawn with nothing drawn": (lambda p: installer(p).update(method="drawn"), "unsigned"),
    "typed with strokes": (lambda p: installer(p).update(strokes=[[[1, 2, 3], [4, 5, 6]]]), "unsigned"),
    "strokes out of the pad": (
        lambda p: installer(p).update(method="drawn", strokes=[[[1, 20_000, 3]]]), "unsigned",
    ),
    "strokes of text": (lambda p: installer(p).update(method="drawn", strokes="<svg>"), "unsigned"),
    "a declined installer": (lambda p: installer(p).update(method="declined"), "unsigned"),
    "a homeowner's own statement": (
        lambda p: p["signatures"].append(receipt(p["answers"], statement="All is well.")), "unsigned",
    ),
    "a homeowner of other answers": (
        lambda p: p["signatures"].append(receipt(p["answers"], answers_sha256="0" * 64)), "unsigned",
    ),
    "another kind than ours": (
        lambda p: (p.update(kind="correction_list"), installer(p).update(statement=STATEMENTS["correction_list"])),
        "judged_otherwise",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", REFUSED)
def test_a_parcel_that_is_not_as_it_should_be_changes_nothing(
    phone: Phone, answers: dict[str, Any], store: Any, name: str
) -> None:
    change, code = REFUSED[name]
    parcel = signed(dict(answers))
    draft = parcel["draft"]
    change(parcel)
    assert told(phone.send(json.dumps(parcel).encode(), draft)) == (422, code)
    assert not store.jobs.all(phone.visitor.person.organisation)


FIELDS: dict[str, tuple[dict[str, Any], str]] = {
    "no such question": ({"never_asked": "x"}, "never_asked"),
    "an unreadable answer": ({"house_pressure_psi": "lots"}, "house_pressure_psi"),
    "no place": ({"place": None}, "place"),
    "no address": ({"address_street": None}, "address_street"),
    "no serial number": ({"heater_serial": None}, "heater_serial"),
    "no date of work": ({"work_date": None}, "work_date"),
    "work still to come": ({"work_date": "2099-01-01"}, "work_date"),
}


@pytest.mark.parametrize("name", FIELDS)
def test_answers_that_cannot_be_issued_are_named_by_question(
    phone: Phone, answers: dict[str, Any], name: str
) -> None:
    parcel = signed(answers)
    changes, question = FIELDS[name]
    given = {key: value for key, value in {**answers, **changes}.items() if value is not None}
    parcel["answers"] = given
    if name.startswith(("no address", "no serial", "no date", "work still")):
        parcel |= {k: v for k, v in signed(given, parcel["draft"]).items() if k == "signatures"}
    refused = phone.send(parcel)
    assert told(refused) == (422, "fields")
    assert list(refused.json["fields"]) == [question]


def test_something_still_to_answer_is_judged_otherwise(phone: Phone, answers: dict[str, Any]) -> None:
    whole = signed(answers)
    less = {name: value for name, value in answers.items() if name != "house_pressure_psi"}
    installer(whole)["answers_sha256"] = hashlib.sha256(
        json.dumps(Job(less).canonical(), sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode()
    ).hexdigest()
    whole["answers"] = less
    assert told(phone.send(whole)) == (422, "judged_otherwise")


@pytest.mark.parametrize(
    "body",
    [
        b"", b"{", b"[]", b"null", b'"x"', b"\xff\xfe", b"[" * 200_000, b'{"form":1,"form":1}', b'{"form":NaN}',
        b'{"form":1e400}', b'{"form":0.5}', b'{"form":' + b"9" * 5000 + b"}", b'{"form":"\\ud800"}',
        b'{"a":' * 20 + b"1" + b"}" * 20, b"<html>",
    ],
    ids=range(15),
)  # fmt: skip
def test_what_is_no_strict_json_is_refused(phone: Phone, body: bytes) -> None:
    status, code = told(phone.send(body, str(uuid.uuid4())))
    assert status == 422
    assert code in {"bad_parcel", "old_form"}


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


WILD: list[Any] = [
    None, True, False, 0, -1, 1, 2**31, 10**400, "", " ", "x", "x" * 3000, "\x00", "\u202e", "é" * 50, "-0", "1e9",
    "NaN", "<script>", "../..", AT, [], [[]], [None], {}, {"": 1}, {"could_not_measure": 1}, {"__proto__": {}}, [{}],
]  # fmt: skip


def _spoilt(value: Any, chance: random.Random) -> Any:
    """The same value with one part of it, at any depth, made wild."""
    if isinstance(value, dict) and value and chance.random() < 0.8:
        key = chance.choice(list(value))
        act = chance.random()
        if act < 0.1:
            return {name: one for name, one in value.items() if name != key}
        if act < 0.2:
            return {**value, chance.choice(["more", "role", "", "x" * 200]): chance.choice(WILD)}
        return {**value, key: _spoilt(value[key], chance)}
    if isinstance(value, list) and value and chance.random() < 0.8:
        at = chance.randrange(len(value))
        return [*value[:at], _spoilt(value[at], chance), *value[at + 1 :]]
    if isinstance(value, str) and value and chance.random() < 0.3:
        at = chance.randrange(len(value))
        return value[:at] + chance.choice("\x00\n\u2028é9 ") + value[at + 1 :]
    return chance.choice(WILD)


def test_thousands_of_hostile_parcels_break_nothing_and_issue_nothing_unsigned(
    phone: Phone, answers: dict[str, Any], store: Any
) -> None:
    chance = random.Random(20261126)
    usual = signed(answers, base={"revision": 1, "answers": answers}, person=phone.visitor.person.id)
    usual["signatures"].append(receipt(answers))
    codes: dict[str, int] = {}
    for number in range(3000):
        parcel = {**usual, "draft": str(uuid.UUID(int=number, version=4))}
        draft = parcel["draft"]
        for _ in range(chance.choice((1, 1, 1, 2, 5))):
            parcel = _spoilt(parcel, chance)
        answer = phone.send(json.dumps(parcel).encode(), draft)
        if answer.status_code == 200:
            codes["issued"] = codes.get("issued", 0) + 1
            kept = json.loads(store.records.get(phone.visitor.person.organisation, answer.json["record"]).job)
            assert kept == {**Job(answers).canonical(), "place": "us_ca_2022"}
        else:
            status, code = told(answer)
            assert status in (403, 422), (status, parcel)
            codes[code] = codes.get(code, 0) + 1
    assert {"bad_parcel", "unsigned", "old_form", "fields", "issued"} <= set(codes), codes
    assert len(store.jobs.all(phone.visitor.person.organisation, limit=500)) == min(500, codes["issued"])
    assert store.verify().ok
