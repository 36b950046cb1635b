"""What the office sees of phones: who sent what, what was judged otherwise, photos of a record, a job from a file."""

from __future__ import annotations

import base64
import hashlib
import io
import json
from typing import Any

import pytest

from heaterapp import photo as pictures
from heaterapp.rules import CATALOGUE, Job
from heaterapp.web import sent_from_phones
from tests.web.sent import Phone, listed, photo, signed

PAGE = "/office/phone"


def job_file(parcel: dict[str, Any] | None, answers: dict[str, Any], *pictures: bytes, **draft: Any) -> bytes:
    """A job as the phone saves it to a file."""
    text = json.dumps(parcel) if parcel else None
    held = {
        "id": parcel["draft"] if parcel else "0b0e9c52-7c1d-4f41-9a44-3f1a2b3c4d5e", "form": 1, "job": None,
        "base": None, "answers": answers, "typed": {}, "boxes": {}, "who": None, "parcel": text, "tries": 1.5,
        "parcel_sha256": hashlib.sha256(text.encode()).hexdigest() if text else None,
    } | draft  # fmt: skip
    rows = [
        {"sha256": hashlib.sha256(one).hexdigest(), "kind": "plate", "type": "image/jpeg",
         "base64": base64.b64encode(one).decode()} for one in pictures
    ]  # fmt: skip
    return json.dumps({"heaterapp_job_file": 1, "draft": held, "photos": rows}).encode()


def give(visitor: Any, body: bytes, **fields: str) -> Any:
    data = {"file": (io.BytesIO(body), "job.heaterjob.json"), "csrf_token": visitor.secret(), **fields}
    return visitor.client.post(PAGE, data=data, content_type="multipart/form-data")


def test_a_difference_is_shown_with_both_digests(
    phone: Phone, answers: dict[str, Any], visit: Any, caplog: Any
) -> None:
    other = {"version": "0.0.9", "digest": "ab" * 32}
    sent = phone.send(signed(answers, report_sha256="cd" * 32, ruleset=other))
    assert sent.json["same_report"] is False
    page = visit("office").get(PAGE).text
    for said in ("cd" * 32, sent.json["report_sha256"], "ab" * 32, "0.0.9", sent.json["number"], "Installer of"):
        assert said in page
    logged = [json.loads(one.getMessage()) for one in caplog.records if "phone_judged_otherwise" in one.getMessage()]
    assert [one["number"] for one in logged] == [sent.json["number"]]
    assert logged[0]["report"] == {"phone": "cd" * 32, "here": sent.json["report_sha256"]}
    record = visit("office").get(f"/office/records/{sent.json['number']}").text
    assert "judged it otherwise" in record


def test_what_is_alike_is_shown_as_alike(phone: Phone, answers: dict[str, Any], visit: Any) -> None:
    sent = phone.send(signed(answers)).json
    page = visit("office").get(PAGE).text
    assert "every phone came to the same report" in page
    assert f"/office/records/{sent['number']}" in page
    assert "Sent from phones" in visit("office").get("/office").text


def test_photos_are_for_the_office_and_never_on_the_check_page(
    phone: Phone, answers: dict[str, Any], visit: Any, store: Any
) -> None:
    pictures = [photo(1), photo(2)]
    for one in pictures:
        assert phone.photo(one).status_code == 200
    rows = [listed(pictures[0], kind="plate", note="Serial"), listed(pictures[1], kind="house", chosen=False)]
    number = phone.send(signed(answers, photos=rows)).json["number"]
    office = visit("office")
    page = office.get(f"/office/records/{number}").text
    assert "Data plate" in page
    assert "Serial" in page
    assert "not on the paper" in page
    got = office.get(f"/office/records/{number}/file/photo-2.jpg")
    assert (got.status_code, got.mimetype) == (200, "image/jpeg")
    assert got.data[:2] == b"\xff\xd8"
    record = store.records.by_number(phone.visitor.person.organisation, number)
    assert got.data == record.photos[1].body
    assert store.records.file_names(record.organisation, record.id) == ("certificate.pdf",)
    public = store.records.check(number, record.check_code)
    assert set(public.files) == {"certificate.pdf"}
    assert visit("office", firm="b").get(f"/office/records/{number}/file/photo-1.jpg").status_code == 404


def test_a_signed_job_from_a_file_is_the_very_same_acceptance(
    phone: Phone, answers: dict[str, Any], visit: Any, store: Any
) -> None:
    picture = photo(3)
    parcel = signed(answers, photos=[listed(picture)], person=phone.visitor.person.id)
    office = visit("office")
    first = give(office, job_file(parcel, answers, picture))
    assert first.status_code == 200, first.text
    again = give(office, job_file(parcel, answers, picture))
    sent = phone.send(json.dumps(parcel).encode())
    assert sent.json["repeated"] is True
    assert f"is issued as {sent.json['number']}" in first.text
    assert f"was issued before as {sent.json['number']}" in again.text
    organisation = phone.visitor.person.organisation
    assert len(store.records.of_job(organisation, parcel["draft"])) == 1
    record = store.records.get(organisation, sent.json["record"])
    assert record.issued_by["id"] == phone.visitor.person.id
    assert len(record.photos) == 1


def test_an_unsigned_job_from_a_file_becomes_a_draft_once(
    phone: Phone, answers: dict[str, Any], visit: Any, store: Any
) -> None:
    person = phone.visitor.person
    body = job_file(None, answers, photo(1), typed={"house_pressure_psi": "abt 60"})
    for _ in range(2):
        page = give(visit("office"), body, installer=str(person.id))
        assert page.status_code == 200, page.text
        assert "a draft of Installer of" in page.text
        assert f"to be answered again: {CATALOGUE['house_pressure_psi'].label}." in page.text
        assert "photos stay in the file" in page.text
    job = store.jobs.get(person.organisation, "0b0e9c52-7c1d-4f41-9a44-3f1a2b3c4d5e")
    assert (job.installer, job.state, job.revision) == (person.id, "draft", 1)
    assert dict(job.answers) == Job(answers).canonical()


def test_a_file_that_the_office_s_answers_contradict_changes_nothing(
    phone: Phone, answers: dict[str, Any], visit: Any, store: Any
) -> None:
    person = phone.visitor.person
    job = store.jobs.create(person.organisation, person.id, {**answers, "house_pressure_psi": "71"})
    page = give(visit("office"), job_file(None, answers, job=job.id), installer=str(person.id))
    assert page.status_code == 409
    assert "office: 71 psi" in page.text
    assert store.jobs.get(person.organisation, job.id).revision == 1
    base = {"revision": 1, "answers": dict(job.answers)}
    page = give(visit("office"), job_file(None, answers, job=job.id, base=base), installer=str(person.id))
    assert page.status_code == 200
    assert Job(store.jobs.get(person.organisation, job.id).answers).canonical() == Job(answers).canonical()


def damaged(name: str, body: bytes) -> bytes:
    held = json.loads(body)
    if name == "cut":
        return body[:-20]
    if name == "none":
        return b""
    if name == "another":
        return b'{"jobs": []}'
    if name == "no answers":
        held["draft"]["answers"] = []
    if name == "form":
        held["draft"]["form"] = 2
    if name == "parcel":
        held["draft"]["parcel"] += " "
    if name == "photo":
        held["photos"][0]["base64"] = held["photos"][0]["base64"][4:]
    if name == "photo gone":
        held["photos"] = []
    if name == "no photo":
        sum_of = hashlib.sha256(b"no picture").hexdigest()
        held["photos"] = [{"sha256": sum_of, "kind": "plate", "type": "", "base64": base64.b64encode(b"no picture").decode()}]
        parcel = json.loads(held["draft"]["parcel"])
        parcel["photos"][0]["sha256"] = sum_of
        held["draft"]["parcel"] = json.dumps(parcel)
        held["draft"]["parcel_sha256"] = hashlib.sha256(held["draft"]["parcel"].encode()).hexdigest()
    return json.dumps(held).encode()


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("cut", "it is cut off"), ("none", "Choose the file"), ("another", "it is no saved job"),
        ("no answers", "the answers in it are missing"), ("form", "another version of the page"),
        ("parcel", "the signed job in it is damaged"), ("photo", "photo 1 (plate) is damaged"),
        ("photo gone", "the photo of the plate is not in it"), ("no photo", "the photo of the plate cannot be used"),
    ],
)  # fmt: skip
def test_a_damaged_file_is_refused_by_name_and_nothing_is_half_done(
    phone: Phone, answers: dict[str, Any], visit: Any, store: Any, name: str, says: str
) -> None:
    person, picture = phone.visitor.person, photo(4)
    parcel = signed(answers, photos=[listed(picture, kind="plate")], person=person.id)
    page = give(visit("office"), damaged(name, job_file(parcel, answers, picture)))
    assert page.status_code == 422
    assert says in page.text
    assert not store.jobs.all(person.organisation)
    assert not store.uploads.held(person.organisation, [listed(picture)["sha256"]])


def test_a_darkroom_that_does_not_start_takes_nothing(
    phone: Phone, answers: dict[str, Any], visit: Any, store: Any, monkeypatch: Any
) -> None:
    def dark(body: bytes) -> None:
        raise pictures.DarkroomFailed("no process")

    monkeypatch.setattr(pictures, "tidied", dark)
    parcel = signed(answers, photos=[listed(photo(9))], person=phone.visitor.person.id)
    page = give(visit("office"), job_file(parcel, answers, photo(9)))
    assert page.status_code == 503
    assert "cannot be looked at just now" in page.text
    assert not store.jobs.all(phone.visitor.person.organisation)


def test_a_file_too_large_is_told_by_its_own_limit(visit: Any, monkeypatch: Any) -> None:
    monkeypatch.setattr(sent_from_phones, "LARGEST_FORM", 2_000_000)
    announced = {"CONTENT_LENGTH": "2100000", "CONTENT_TYPE": "multipart/form-data; boundary=b"}
    page = visit("office").client.post(PAGE, environ_overrides=announced)
    assert page.status_code == 413
    assert "larger than 2 MB" in page.text


def test_a_file_of_somebody_unknown_asks_whose_it_is(answers: dict[str, Any], visit: Any) -> None:
    page = give(visit("office"), job_file(None, answers))
    assert page.status_code == 422
    assert "Choose whose job this is" in page.text
    assert give(visit("office"), job_file(None, answers), installer="999").status_code == 422
    assert visit("installer").get(PAGE).status_code == 403


def test_a_file_signed_on_a_phone_may_be_taken_as_a_draft_only(
    phone: Phone, answers: dict[str, Any], visit: Any, store: Any
) -> None:
    parcel = signed(answers, person=phone.visitor.person.id)
    assert give(visit("office"), job_file(parcel, answers), as_draft="yes").status_code == 200
    job = store.jobs.get(phone.visitor.person.organisation, parcel["draft"])
    assert (job.state, job.installer) == ("draft", phone.visitor.person.id)
    assert phone.send(parcel).status_code == 200
