"""A signed job from a phone: issued once, answered alike, kept to the byte, never half."""

from __future__ import annotations

import hashlib
import json
from typing import Any

import pytest

from tests.web.sent import Phone, listed, photo, receipt, signed

GAS = "gas_storage_us_ca"


@pytest.fixture
def phone(visit: Any) -> Phone:
    return Phone(visit("installer"))


@pytest.fixture
def answers(answers_of: Any) -> dict[str, Any]:
    return dict(answers_of(GAS))


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
    assert (kept.kind, kept.note, kept.chosen, kept.width) == ("nameplate", "Plate", True, 64)
    assert store.records.file(record.organisation, record.id, "parcel.json") == body
    assert [one["role"] for one in json.loads(record.signature)["signatures"]] == ["installer", "homeowner"]
    assert store.verify().ok
    assert phone.visitor.get(said["link"]).status_code == 200
