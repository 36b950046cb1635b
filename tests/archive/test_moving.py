"""An organisation taken along whole, and brought into an empty place: to the row, verified, or not at all."""

import io
import json
import zipfile

import pytest
from sqlalchemy import select

from heaterapp import archive
from heaterapp.archive import WrongPassword, faults
from heaterapp.archive.errors import BlobsFailed
from heaterapp.archive.mail_queue import BROUGHT
from heaterapp.archive.moving import ImportRefused, form
from tests.archive.conftest import NOON, taken_along


def rows(store, organisation: int) -> dict[str, list]:
    found = {}
    with store.database.read() as connection:
        for table in form.moved():
            query = select(table).where(table.c.organisation == organisation)
            found[table.name] = [dict(row._mapping) for row in connection.execute(query)]
    for person in found["person"]:
        person["password_hash"] = ""
    for firm in found["organisation"]:
        held = json.loads(firm["settings"])
        held.pop("imported", None)
        held.get("mail", {}).pop("password", None)
        firm["settings"] = held
    return {name: sorted(some, key=str) for name, some in found.items()}


def test_what_was_taken_along_stands_in_an_empty_place_row_for_row(left, store):
    old, firm, body = left
    told = store.moving.bring(io.BytesIO(body))
    assert (told.name, told.organisation, told.records, told.here_already) == (
        "Harborlight Plumbing", firm.id, 5, False,
    )  # fmt: skip
    assert rows(store, firm.id) == rows(old, firm.id)
    assert store.verify().ok
    assert store.log.head(firm.id) == old.log.head(firm.id)
    assert [hit.number for hit in store.find(firm.id, "oak").hits] == [
        hit.number for hit in old.find(firm.id, "oak").hits
    ]
    assert store.shares.lookup(firm.token) is not None
    assert whole_of(taken_along(store, firm.id)) == whole_of(body)


def whole_of(body: bytes) -> dict[str, bytes]:
    """Every member but those in which an import leaves its own mark."""
    with zipfile.ZipFile(io.BytesIO(body)) as packed:
        own = ("tables/organisation.jsonl", form.SUMS, form.MANIFEST)
        return {name: packed.read(name) for name in packed.namelist() if name not in own}


def test_the_same_file_again_changes_nothing(left, store):
    _, firm, body = left
    store.moving.bring(io.BytesIO(body))
    before = rows(store, firm.id)
    again = store.moving.bring(io.BytesIO(body))
    assert again.here_already
    store.people.add(firm.id, "new", "Somebody New", "office", "a long password")
    assert store.moving.bring(io.BytesIO(body)).here_already
    before["person"] = rows(store, firm.id)["person"]
    assert rows(store, firm.id) == before


def test_issuing_goes_on_with_the_next_number(left, store, papers):
    _, firm, body = left
    store.moving.bring(io.BytesIO(body))
    assert len(store.finish_pending(papers).finished) == 1
    job = store.jobs.create(firm.id, firm.installer.id)
    made = store.issue_and_finish(firm.wish(job_id=job.id, key="after-the-move"), papers)
    assert made.number == "C-000005"
    assert store.verify().ok


def test_no_secret_goes_along(left):
    _, firm, body = left
    with zipfile.ZipFile(io.BytesIO(body)) as packed:
        everything = b"".join(packed.read(name) for name in packed.namelist())
        names = packed.namelist()
    for secret in (b"argon2", b"hush", firm.token.encode(), b"Larkin Heat"):
        assert secret not in everything, secret
    assert not {"tables/session.jsonl", "tables/passkey.jsonl", "tables/invite.jsonl"} & set(names)


def test_nobody_signs_in_by_an_old_password_but_who_could_sign_in_there_still_can(left, store):
    _, firm, body = left
    place = store.organisations.default()
    store.people.add(place.id, "boss", "Bo Ss", "owner", "the boss's words")
    store.people.add(place.id, "olu", "Olu Grant", "owner", "olu's new words")
    store.moving.bring(io.BytesIO(body), in_place_of=place.id)
    with pytest.raises(WrongPassword):
        store.people.sign_in(firm.id, "ana", "a long password", "::1")
    assert store.people.sign_in(firm.id, "boss", "the boss's words", "::1").role == "owner"
    back = store.people.sign_in(firm.id, "olu", "olu's new words", "::1")
    assert (back.id, back.role) == (firm.office.id, "owner")
    with pytest.raises(WrongPassword):
        store.people.sign_in(firm.id, "olu", "another password", "::1")
    assert store.organisations.default().id == firm.id
    assert store.verify().ok


def test_an_archive_that_has_been_begun_is_left_alone(left, store, firm):
    _, _, body = left
    before = rows(store, firm.id)
    with pytest.raises(ImportRefused, match="has been begun"):
        store.moving.bring(io.BytesIO(body))
    assert rows(store, firm.id) == before


def test_another_firm_beside_is_not_touched_and_its_ids_are_not_taken(left, store):
    _, firm, body = left
    store.organisations.default()
    beside = store.organisations.add("beside", "Beside")
    with pytest.raises(ImportRefused, match="is not that of your firm"):
        store.moving.bring(io.BytesIO(body), in_place_of=beside.id)
    store.people.add(beside.id, "sam", "Sam", "owner", "a long password")
    with pytest.raises(ImportRefused, match=r"tables/person.jsonl: a row stands twice, is taken here"):
        store.moving.bring(io.BytesIO(body))
    assert store.organisations.get(firm.id).name == ""
    assert store.verify().ok


def test_rules_that_came_along_are_not_taken_for_released(left, store, papers):
    old, firm, body = left
    record = old.find(firm.id, "oak").hits[-1].record
    assert old.origins.of(firm.id, record).ruleset_in_log
    store.moving.bring(io.BytesIO(body))
    assert not store.origins.of(firm.id, record).ruleset_in_log
    job = store.jobs.create(firm.id, firm.installer.id)
    wish = firm.wish(job_id=job.id, key="own-rules", ruleset_digest="ruleset-2", ruleset_zip=b"our own")
    made = store.issue_and_finish(wish, papers)
    assert store.origins.of(firm.id, made.record).ruleset_in_log


def test_a_fault_on_the_way_leaves_the_place_as_it_was(left, store, empty_place, monkeypatch):
    for point in faults.IMPORTING:
        assert empty_place(store)
        monkeypatch.setattr(faults, "hook", struck_at(point))
        with pytest.raises(OSError, match="disk full"):
            store.moving.bring(io.BytesIO(left[2]))
    assert not empty_place(store)
    monkeypatch.undo()
    assert store.moving.bring(io.BytesIO(left[2])).here_already


def struck_at(point):
    def strike(at):
        if at == point:
            raise OSError("disk full")

    return strike


def test_bodies_that_lie_elsewhere_go_along_or_are_missed_by_name(store, firm, tmp_path):
    place = f"file://{tmp_path / 'blobs'}"
    url = store.database.engine.url.render_as_string(hide_password=False)
    away = archive.open_store(url=url, clock=lambda: NOON, blobs=place)
    firm.store = away
    made = firm.issued(report=b'{"outcome":"ready","long":"' + b"x" * 5000 + b'"}')
    with zipfile.ZipFile(io.BytesIO(taken_along(away, firm.id))) as packed:
        bodies = [packed.read(name) for name in packed.namelist() if name.startswith("payload/")]
    assert away.records.get(firm.id, made.record).report in bodies
    for blob in (tmp_path / "blobs").rglob("*"):
        if blob.is_file():
            blob.unlink()
    with pytest.raises(BlobsFailed, match="of record 1 is missing"):
        taken_along(away, firm.id)
    away.close()


def test_an_erased_job_goes_along(store, firm, tmp_path):
    firm.issued()
    store.erase_job(firm.id, firm.job.id, firm.office.id, "asked for")
    there = archive.open_store(data_dir=tmp_path / "new")
    try:
        there.moving.bring(io.BytesIO(taken_along(store, firm.id)))
        assert there.jobs.get(firm.id, firm.job.id).state == "erased"
        assert there.verify().ok
    finally:
        there.close()


def test_the_mails_come_along_and_none_is_sent_from_there(left, store):
    theirs, firm, body = left
    store.moving.bring(io.BytesIO(body))
    brought = store.mails.in_state(firm.id, "waiting")
    assert len(brought) == 1
    assert brought == theirs.mails.in_state(firm.id, "waiting")
    assert store.mail_queue.take(brought[0]) is None, "it may have been sent where it came from"
    assert store.mails.in_state(firm.id, "given_up")[0].said == BROUGHT
