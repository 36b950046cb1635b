"""Parcels that are not as they should be: each is refused by its code, and nothing of it is kept.

Random ones are the first thousand of a fixed sequence; `HOSTILE_PARCELS=3000` before pytest sends more of it.
"""

from __future__ import annotations

import hashlib
import json
import os
import random
import uuid
from collections.abc import Callable
from typing import Any

import pytest

from heaterapp.filling.signed import STATEMENTS
from heaterapp.rules import Job
from tests.web.sent import AT, Phone, installer, listed, receipt, signed, told

Change = Callable[[dict[str, Any]], Any]


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
    "read in the language it was signed in": (lambda p: installer(p).update(read_in="en"), "unsigned"),
    "read in a list": (lambda p: installer(p).update(read_in=["es"]), "unsigned"),
    "nothing signed, and read": (
        lambda p: p["signatures"].append(receipt(p["answers"], name="", statement="", method="declined", read_in="es")), "unsigned",
    ),
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


HOSTILE_PARCELS = int(os.environ.get("HOSTILE_PARCELS", "1000"))


def test_hostile_parcels_by_the_thousand_break_nothing_and_issue_nothing_unsigned(
    phone: Phone, answers: dict[str, Any], store: Any
) -> None:
    chance = random.Random(20261126)
    usual = signed(answers, base={"revision": 1, "answers": answers}, person=phone.visitor.person.id)
    usual["signatures"].append(receipt(answers))
    codes: dict[str, int] = {}
    for number in range(HOSTILE_PARCELS):
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
