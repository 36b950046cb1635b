"""A whole export that is damaged, foreign, huge or forged: refused in one sentence, nothing half-done."""

import hashlib
import io
import json
import re
import zipfile

import pytest
from sqlalchemy import event

from heaterapp.archive import WrongPassword, people
from heaterapp.archive.moving import ImportRefused, form


def repacked(body: bytes, changes: dict[str, bytes | None], sums: bool = True, **more: bytes) -> bytes:
    """The same ZIP with members changed or gone, and its sums and manifest made right for that."""
    with zipfile.ZipFile(io.BytesIO(body)) as packed:
        held = {name: packed.read(name) for name in packed.namelist()}
    held |= {name: new for name, new in changes.items() if new is not None}
    held = {name: one for name, one in held.items() if changes.get(name, b"") is not None}
    if sums:
        listed = [name for name in held if name not in (form.SUMS, form.MANIFEST)]
        held[form.SUMS] = "".join(
            f"{hashlib.sha256(held[name]).hexdigest()}  {name}\n" for name in listed
        ).encode()
        said = json.loads(held[form.MANIFEST])
        held[form.MANIFEST] = json.dumps(
            {**said, "sums": hashlib.sha256(held[form.SUMS]).hexdigest()}
        ).encode()
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, one in {**held, **more}.items():
            packed.writestr(name, one)
    return out.getvalue()


def member(body: bytes, name: str) -> bytes:
    with zipfile.ZipFile(io.BytesIO(body)) as packed:
        return packed.read(name)


def manifest(body: bytes, **changes) -> bytes:
    return repacked(
        body, {form.MANIFEST: json.dumps({**json.loads(member(body, form.MANIFEST)), **changes}).encode()}
    )


def row_changed(body: bytes, table: str, /, **changes) -> bytes:
    name = f"tables/{table}.jsonl"
    first, *rest = member(body, name).splitlines(keepends=True)
    return repacked(
        body, {name: json.dumps({**json.loads(first), **changes}).encode() + b"\n" + b"".join(rest)}
    )


def flipped(body: bytes, name: str) -> bytes:
    with zipfile.ZipFile(io.BytesIO(body)) as packed:
        one = packed.getinfo(name)
    at = one.header_offset + 30 + len(name) + one.compress_size // 2
    return body[:at] + bytes([body[at] ^ 4]) + body[at + 1 :]


def payload_of(body: bytes) -> str:
    with zipfile.ZipFile(io.BytesIO(body)) as packed:
        return next(name for name in packed.namelist() if name.startswith("payload/"))


def bomb(body: bytes) -> bytes:
    return repacked(body, {"tables/log.jsonl": b" " * 50_000_000}, sums=False)


def twice(body: bytes) -> bytes:
    out = io.BytesIO(body)
    with zipfile.ZipFile(out, "a") as packed, pytest.warns(UserWarning, match="Duplicate"):
        packed.writestr("tables/log.jsonl", b"")
    return out.getvalue()


BAD = {
    "no zip": (lambda b: b"no zip at all", "no ZIP"),
    "empty": (lambda b: b"", "no ZIP"),
    "cut off": (lambda b: b[: len(b) // 2], "no ZIP"),
    "a bit in rows": (lambda b: flipped(b, "tables/log.jsonl"), r"tables/log\.jsonl: it is damaged"),
    "a bit in a body": (lambda b: flipped(b, payload_of(b)), "payload/[0-9a-f]{64}: it is damaged"),
    "a bit in the sums": (lambda b: flipped(b, form.SUMS), "SHA256SUMS: it is damaged"),
    "bomb": (bomb, r"tables/log\.jsonl: it would unpack to 50,000,000 bytes"),
    "path": (lambda b: repacked(b, {}, **{"../../etc/passwd": b"x"}), r"\.\./\.\./etc/passwd: no member"),
    "absolute": (lambda b: repacked(b, {}, **{"/etc/passwd": b"x"}), "/etc/passwd: no member"),
    "twice": (twice, r"tables/log\.jsonl: it stands twice"),
    "one too many": (lambda b: repacked(b, {}, **{"payload/" + "0" * 64: b"x"}), "payload/0+: SHA256SUMS does not"),
    "no manifest": (lambda b: repacked(b, {form.MANIFEST: None}, sums=False), "manifest.json: it is missing"),
    "no rows": (lambda b: repacked(b, {"tables/job.jsonl": None}, sums=False), r"job\.jsonl: it is missing"),
    "manifest no json": (lambda b: repacked(b, {form.MANIFEST: b"{"}, sums=False), "manifest.json: JSON"),
    "foreign": (lambda b: manifest(b, format="a backup"), "manifest.json: this is no whole export"),
    "newer": (lambda b: manifest(b, version=2), "manifest.json: version 2 of the format"),
    "other tables": (lambda b: manifest(b, tables="0004"), "manifest.json: its tables are of revision 0004"),
    "counts": (lambda b: manifest(b, counts={"record": 1}), "rows, and the manifest counts"),
    "head": (lambda b: manifest(b, log={"entries": 3, "head": "0" * 64}), "the log ends otherwise"),
    "other firm's row": (lambda b: row_changed(b, "job", organisation=2), r"job\.jsonl line 1: organisation 1"),
    "column gone": (
        lambda b: repacked(b, {"tables/job.jsonl": b"{}\n"}), r"job\.jsonl line 1: exactly the columns",
    ),
    "no json line": (lambda b: repacked(b, {"tables/job.jsonl": b"{\n"}), r"job\.jsonl line 1: JSON"),
    "cut line": (lambda b: repacked(b, {"tables/job.jsonl": b"{}"}), r"job\.jsonl line 1: it is cut off"),
    "kind of value": (lambda b: row_changed(b, "job", revision="1"), r"job\.jsonl line 1, revision: another kind"),
    "too long": (lambda b: row_changed(b, "person", login="x" * 101), r"login: text of at most 100"),
    "no such role": (lambda b: row_changed(b, "person", role="king"), r"role: one of installer, office, owner"),
    "answers no json": (lambda b: row_changed(b, "job", answers="[1]"), r"answers: JSON"),
    "null": (lambda b: row_changed(b, "record", number=None), r"number: something must stand there"),
    "body's name": (lambda b: row_changed(b, "payload", body="../x"), r"body: the name of a member under payload/"),
    "no such body": (lambda b: row_changed(b, "payload", body="payload/" + "0" * 64), "payload/0+: it is missing"),
    "salt": (lambda b: row_changed(b, "payload", salt="zz"), r"salt: hex digits"),
    "points nowhere": (lambda b: row_changed(b, "submission", record=999), "names what is not there"),
    "a fact": (lambda b: row_changed(b, "record", issued_at="2026-03-15T00:00:00Z"), "does not verify: record"),
    "a log entry": (lambda b: row_changed(b, "log", act="ruleset2"), "does not verify: log organisation 1 entry 1"),
    "a word": (lambda b: row_changed(b, "finding", words="x"), "does not verify: finding"),
}  # fmt: skip


def test_a_bad_file_is_refused_by_name_and_nothing_is_half_done(left, store, empty_place):
    for name, (spoil, says) in BAD.items():
        spoiled = spoil(left[2])
        with pytest.raises(ImportRefused) as refused:
            store.moving.bring(io.BytesIO(spoiled))
        assert refused.match(says), name
        assert str(refused.value).count("\n") == 0, name
        assert empty_place(store), name
    assert store.moving.bring(io.BytesIO(left[2])).records == 5


def test_a_bit_of_any_member_is_noticed_and_the_member_named(left, store, empty_place):
    with zipfile.ZipFile(io.BytesIO(left[2])) as packed:
        names = [one.filename for one in packed.infolist() if one.compress_size > 2]
    assert len(names) > 30
    for name in names:
        with pytest.raises(ImportRefused) as refused:
            store.moving.bring(io.BytesIO(flipped(left[2], name)))
        assert refused.match(re.escape(name)), name
    assert empty_place(store)


def test_a_list_of_too_many_members_is_not_even_read(left, store):
    with pytest.raises(ImportRefused, match="far too many members"):
        store.moving.bring(io.BytesIO(left[2]), largest_list=100)


def test_a_password_that_somebody_put_into_the_file_opens_nothing(left, store):
    forged = row_changed(left[2], "person", password_hash=people.hasher.hash(b"let me in please"))
    assert store.moving.bring(io.BytesIO(forged)).records == 5
    with pytest.raises(WrongPassword):
        store.people.sign_in(left[1].id, "ana", "let me in please", "::1")


def test_a_disk_that_fills_leaves_the_place_as_it_was(left, store, empty_place):
    def small(connection, *_):
        connection.execute(f"PRAGMA max_page_count={pages}")

    with store.database.read() as connection:
        pages = connection.exec_driver_sql("PRAGMA page_count").scalar() + 5
    event.listen(store.database.engine, "checkout", small)
    with pytest.raises(ImportRefused, match=r"The database could not keep it \(database or disk is full\)"):
        store.moving.bring(io.BytesIO(left[2]))
    pages = 2**31
    assert empty_place(store)
    assert store.moving.bring(io.BytesIO(left[2])).records == 5
