"""A whole export whose rows no writer of ours would have kept: refused in one sentence, by member and field."""

import io
import json
import random

import pytest

from heaterapp import archive, rules
from heaterapp.archive import tables
from heaterapp.archive.canonical import canonical, sha256
from heaterapp.archive.moving import ImportRefused, form
from tests.archive.test_moving_bad import member, repacked, row_changed


def settings(held):
    return lambda body: row_changed(body, "organisation", settings=json.dumps(held))


def desk(**changes):
    return lambda body: row_changed(body, "desk", **changes)


def added(body, table, row, **members):
    name = f"tables/{table}.jsonl"
    more = member(body, name) + canonical({"organisation": 1, **row}).encode() + b"\n"
    whole = repacked(body, {name: more, **members})
    said = json.loads(member(whole, form.MANIFEST))
    said["counts"][table] += 1
    return repacked(whole, {form.MANIFEST: json.dumps(said).encode()}, sums=False)


def visit(**changes):
    row = {
        "id": 1, "booked_for": "2026-03-14", "result": "failed", "result_on": "2026-03-14", "open_items": 1,
        "revision": 1, "facts": "{}", "asked": "[]", "created_at": "2026-03-14T12:00:00Z", "created_by": 1,
        "updated_at": "2026-03-14T12:00:00Z",
    }  # fmt: skip

    def spoil(body):
        job = json.loads(member(body, "tables/desk.jsonl").splitlines()[0])["job_id"]
        return added(body, "inspection", {**row, "job_id": job, **changes})

    return spoil


def with_body(table, row, held):
    name = f"{table}/{sha256(held)}"
    return lambda body: added(body, table, {**row, "body": name}, **{name: held})


PAGE = b"<html>" + random.Random(7).randbytes(1_000_000)
JUNK = {"digest": rules.digest(), "version": "1"}
LOGO = {"digest": "a" * 64, "kept_at": "2026-03-14T12:00:00Z"}
HOSTILE = {
    "prefixes": (settings({"prefixes": 5}), r"organisation\.jsonl line 1, settings: prefixes: an object"),
    "a prefix": (settings({"prefixes": {"certificate": 5}}), r"organisation\.jsonl line 1, settings: prefixes: 1 to 8"),
    "mail": (settings({"mail": [1]}), "settings: mail: an object"),
    "imported": (settings({"imported": {"upto": "x"}}), "settings: imported: the number"),
    "places": (settings({"places_served": 5}), "settings: places_served: a list"),
    "another": (settings({"time_zone": {"a": 1}}), "settings: time_zone: a number or a text"),
    "changes": (desk(changes="[1]"), r"desk\.jsonl line 1, changes: at most 100"),
    "names": (desk(changes='[{"revision":1,"at":"","by":1,"names":{"a":1}}]'), "changes: at most"),
    "facts": (desk(facts='{"permit_issued_on":5}'), "permit_issued_on: text"),
    "no fact": (desk(facts='{"anything":"x"}'), "anything: a fact that the desk keeps"),
    "asked": (visit(asked="[1]"), r"inspection\.jsonl line 1, asked: at most 40 items"),
    "result": (visit(result="king"), "result: one of booked"),
    "day": (visit(booked_for="tomorrow"), "booked_for: a date"),
    "visit's facts": (visit(facts='{"note":[1]}'), "note: text"),
    "junk rules": (with_body("ruleset", JUNK, b"junk"), r"ruleset\.jsonl line \d, digest: the digest of the very"),
    "a page as logo": (with_body("logo", LOGO, PAGE), r"logo\.jsonl line 1, body: at most 60000 bytes"),
    "a small page": (with_body("logo", LOGO, b"<html>"), r"logo\.jsonl line 1, body: a JPEG"),
    "a mail": (lambda b: row_changed(b, "mail", state="lost"), r"mail\.jsonl line 1, state: one of waiting"),
    "a mail's address": (lambda b: row_changed(b, "mail", address="a@b\r\nBcc: c@d"), "address: no line breaks"),
    "an upload": (lambda b: row_changed(b, "upload", size=5), r"upload\.jsonl line 1, size: 11 was"),
}  # fmt: skip


def test_a_row_that_no_writer_keeps_is_refused_by_member_and_field(left, folder, empty_place):
    store = archive.open_store(data_dir=folder)
    for name, (spoil, says) in HOSTILE.items():
        with pytest.raises(ImportRefused) as refused:
            store.moving.bring(io.BytesIO(spoil(left[2])))
        assert refused.match(says), name
        assert "\n" not in str(refused.value), name
        assert empty_place(store), name
    store.close()


def test_no_other_firm_s_fault_is_looked_for_or_quoted(left, folder):
    store = archive.open_store(data_dir=folder)
    store.organisations.default()
    beside = store.organisations.add("beside", "Beside")
    with store.database.write() as connection:
        this = tables.log_head.c.organisation == beside.id
        connection.execute(tables.log_head.update().where(this).values(seq=5))
    assert [one.row for one in store.verify().faults] == [f"organisation {beside.id}"]
    assert store.moving.bring(io.BytesIO(left[2])).records == 5
    assert [one.row for one in store.verify().faults] == [f"organisation {beside.id}"]
    store.close()
