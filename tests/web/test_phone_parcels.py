"""A signed job from a phone: issued once, answered alike, kept to the byte, never half."""

from __future__ import annotations

import hashlib
import json
import re
import threading
from pathlib import Path
from typing import Any

import pytest

from heaterapp import rules
from heaterapp.archive import faults
from heaterapp.filling import door
from heaterapp.filling.signed import RECEIPT
from heaterapp.web.parcel import FORM
from tests.web.sent import Phone, listed, photo, receipt, signed


@pytest.fixture
def struck() -> Any:
    yield lambda point, act: setattr(faults, "hook", lambda at: act() if at == point else None)
    faults.hook = faults._nothing


def test_a_signed_job_becomes_one_paper(phone: Phone, answers: dict[str, Any], store: Any) -> None:
    picture = photo(1)
    assert phone.photo(picture).json["width"] == 64
    parcel = signed(answers, photos=[listed(picture, note="Plate")], person=phone.visitor.person.id)
    parcel["signatures"].append(receipt(answers))
    body = json.dumps(parcel).encode()
    told = phone.send(body)
    assert told.status_code == 200, told.json
    said = told.json
    assert said["content_sha256"] == hashlib.sha256(body).hexdigest()
    assert (said["kind"], said["repeated"], said["same_report"]) == (parcel["kind"], False, True)
    assert said["report_sha256"] == parcel["report_sha256"]
    record = store.records.by_number(phone.visitor.person.organisation, said["number"])
    assert record.job_id == parcel["draft"]
    (kept,) = record.photos
    assert (kept.kind, kept.note, kept.chosen, kept.width) == ("plate", "Plate", True, 64)
    assert store.records.file(record.organisation, record.id, "parcel.json") == body
    assert [one["role"] for one in json.loads(record.signature)["signatures"]] == ["installer", "homeowner"]
    assert store.verify().ok
    assert phone.visitor.get(said["link"]).status_code == 200
    assert not store.uploads.held(record.organisation, [listed(picture)["sha256"]])


def test_the_same_parcel_again_gets_the_first_answer(phone: Phone, answers: dict[str, Any], store: Any) -> None:
    picture = photo(2)
    phone.photo(picture)
    body = json.dumps(signed(answers, photos=[listed(picture)])).encode()
    first = phone.send(body).json
    phone.photo(picture)
    for _ in range(4):
        again = phone.send(body)
        assert again.status_code == 200
        assert again.json == first | {"repeated": True}
    organisation = phone.visitor.person.organisation
    assert not store.uploads.held(organisation, [listed(picture)["sha256"]])
    assert phone.wanted(listed(picture)["sha256"], draft=json.loads(body)["draft"]).json == {"missing": []}
    assert phone.wanted(listed(picture)["sha256"]).json == {"missing": [listed(picture)["sha256"]]}
    assert len(store.find(organisation).hits) == 1


@pytest.mark.parametrize("times", [2, 5])
def test_several_at_once_make_one(phone: Phone, answers: dict[str, Any], store: Any, visit: Any, times: int) -> None:
    body = json.dumps(signed(answers)).encode()
    phones = [Phone(visit("installer")) for _ in range(times)]
    told: list[Any] = []
    started = threading.Barrier(times)

    def send(one: Phone) -> None:
        started.wait()
        told.append(one.send(body))

    threads = [threading.Thread(target=send, args=(one,)) for one in phones]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert [one.status_code for one in told] == [200] * times, [one.json for one in told]
    assert len({one.json["number"] for one in told}) == 1
    assert sorted(one.json["repeated"] for one in told) == [False] + [True] * (times - 1)
    assert len(store.find(phone.visitor.person.organisation).hits) == 1
    assert store.verify().ok


def test_every_point_of_a_crash_leaves_nothing_half_and_a_retry_finishes_it(
    phone: Phone, answers: dict[str, Any], store: Any, struck: Any
) -> None:
    class Crash(BaseException):
        """As hard as Python can: no handler of the app catches it."""

    def crash() -> None:
        raise Crash

    organisation = phone.visitor.person.organisation
    points = [*faults.ARRIVING, *faults.POINTS]
    for number, point in enumerate(points):
        picture = photo(number + 10)
        phone.photo(picture)
        own = {**answers, "address_street": f"{number + 1} Quay Rd"}
        body = json.dumps(signed(own, photos=[listed(picture)])).encode()
        draft = json.loads(body)["draft"]
        struck(point, crash)
        with pytest.raises(Crash):
            phone.send(body)
        faults.hook = faults._nothing
        kept = store.arrivals.by_draft(organisation, draft)
        held = store.uploads.held(organisation, [listed(picture)["sha256"]])
        assert bool(held) == (kept is None), point
        assert store.verify().ok, point
        again = phone.send(body)
        assert again.status_code == 200, (point, again.json)
        record = store.records.get(organisation, again.json["record"])
        assert record.photos[0].sha256 == listed(picture)["sha256"], point
        assert store.records.file_names(organisation, record.id) == ("certificate.pdf",)
        assert again.json["content_sha256"] == hashlib.sha256(body).hexdigest()
        assert again.json["repeated"] == (kept is not None)
    assert len(store.find(organisation, limit=100).hits) == len(points)
    numbers = sorted(hit.number for hit in store.find(organisation, limit=100).hits)
    assert numbers == [f"C-{at:06d}" for at in range(1, len(points) + 1)]
    assert store.verify().ok


def test_erasing_takes_photos_and_parcel_and_the_digest_of_it(
    phone: Phone, answers: dict[str, Any], store: Any, people: Any
) -> None:
    picture = photo(3)
    phone.photo(picture)
    body = json.dumps(signed(answers, photos=[listed(picture)])).encode()
    said = phone.send(body).json
    organisation = phone.visitor.person.organisation
    store.erase(organisation, said["record"], people["a", "owner"].id, "asked for")
    assert store.verify().ok
    for name in ("photo-1.jpg", "parcel.json", "photos.json"):
        with pytest.raises(Exception, match="erased"):
            store.records.file(organisation, said["record"], name)
    assert store.arrivals.by_draft(organisation, json.loads(body)["draft"]).content_sha256 == ""
    again = phone.send(body)
    assert (again.status_code, again.json["code"]) == (409, "other_content")
    assert "erased" in again.json["error"]


def test_a_damaged_photo_in_the_archive_is_named(phone: Phone, answers: dict[str, Any], store: Any) -> None:
    phone.photo(photo(4))
    phone.send(signed(answers, photos=[listed(photo(4))]))
    with store.database.write() as connection:
        connection.exec_driver_sql("DROP TRIGGER keep_payload_update")
        connection.exec_driver_sql("UPDATE payload SET body = x'00' WHERE name = 'photo-1.jpg'")
    assert any("photo-1.jpg" in str(fault) for fault in store.verify().faults)


def test_the_same_draft_in_two_firms_is_two_jobs(phone: Phone, answers: dict[str, Any], store: Any, visit: Any) -> None:
    parcel = signed(answers)
    other = Phone(visit("installer", firm="b"))
    told = [one.send(parcel).json for one in (phone, other)]
    assert [one["repeated"] for one in told] == [False, False]
    assert told[0]["record"] != told[1]["record"]
    organisation = other.visitor.person.organisation
    assert store.arrivals.of_record(organisation, told[0]["record"]) is None
    assert [one.number for one in store.arrivals.last_of_each(organisation).values()] == [told[1]["number"]]


def test_other_content_under_the_same_draft_is_refused_with_the_number(
    phone: Phone, answers: dict[str, Any]
) -> None:
    parcel = signed(answers)
    number = phone.send(parcel).json["number"]
    other = phone.send(signed({**answers, "owner_name": "Somebody Else"}, parcel["draft"]))
    assert (other.status_code, other.json["code"], other.json["number"]) == (409, "other_content", number)


def test_a_job_that_another_draft_issued_is_refused_with_the_number(
    phone: Phone, answers: dict[str, Any], store: Any
) -> None:
    first = signed(answers)
    number = phone.send(first).json["number"]
    other = phone.send(signed(answers, job=first["draft"]))
    assert (other.status_code, other.json["code"], other.json["number"]) == (409, "issued_already", number)
    phone.visitor.post(f"/jobs/{first['draft']}/again")
    second = phone.send(signed(answers, job=first["draft"], base={"revision": 1, "answers": answers}))
    assert second.status_code == 200, second.json
    assert second.json["number"] != number


def test_a_correction_list_leaves_the_job_open_for_the_next_draft(phone: Phone, answers: dict[str, Any]) -> None:
    wrong = {**answers, "house_pressure_psi": "95"}
    first = signed(wrong)
    assert first["kind"] == "correction_list"
    assert phone.send(first).json["kind"] == "correction_list"
    base = {"revision": 1, "answers": wrong}
    second = phone.send(signed(answers, job=first["draft"], base=base))
    assert (second.status_code, second.json["kind"]) == (200, "certificate")


def test_a_job_that_is_not_here_is_made_again(phone: Phone, answers: dict[str, Any], store: Any) -> None:
    person = phone.visitor.person
    gone = "6f1b1c52-0f0e-4a55-9d8e-2f7f35c0a001"
    sent = phone.send(signed(answers, job=gone, base={"revision": 4, "answers": answers}))
    assert sent.status_code == 200
    assert store.records.get(person.organisation, sent.json["record"]).job_id == gone


def test_the_shell_shows_the_receipt_that_the_server_takes(phone: Phone) -> None:
    page = re.sub(r"\s+", " ", phone.visitor.get("/phone/").text)
    assert RECEIPT in page
    assert phone.visitor.get("/phone/api/account").json["receipt"] == RECEIPT


def test_the_phone_writes_the_form_that_the_server_takes(app: Any) -> None:
    drafts = (Path(app.static_folder) / "phone" / "drafts.js").read_text(encoding="utf-8")
    assert re.findall(r"export const FORM = (\d+);", drafts) == [str(FORM)]


def test_a_paper_of_a_plain_job_has_nothing_of_a_phone(issue: Any, store: Any) -> None:
    """A record without photos stays what it was: no new content, nothing in its context."""
    record = issue("a")
    assert record.photos == ()
    with store.database.read() as connection:
        names = set(connection.exec_driver_sql("SELECT name FROM payload").scalars())
    assert names == {"job", "report", "signature", "facts", "context", "certificate.pdf"}
    assert store.arrivals.of_record(record.organisation, record.id) is None


def test_what_the_authority_accepted_on_the_phone_is_issued_with_the_paper(
    phone: Phone, answers_of: Any, store: Any
) -> None:
    held = {name: one for name, one in answers_of("gas_storage_to_fix").items() if name != "acceptances"}
    failed = [f for f in rules.assess(held).as_json()["findings"] if f["verdict"] == "fails" and f["kind"] == "rule"]
    assert failed
    assert signed(held)["kind"] == "correction_list"
    for one in failed:
        said = {"by": "Port Larkin inspector", "on": "2026-11-25", "why": "Agreed on site", "of": rules.mark_of(one)}
        held = json.loads(door.call(json.dumps({"do": "accept", "answers": held, "check": one["check"], **said})))["answers"]
    told = phone.send(signed(held))
    assert (told.status_code, told.json["kind"], told.json["same_report"]) == (200, "certificate", True), told.json
    record = store.records.by_number(phone.visitor.person.organisation, told.json["number"])
    assert set(json.loads(record.job)["acceptances"]) == {one["check"] for one in failed}
