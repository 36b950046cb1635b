"""Bodies outside the database: the same archive, and nothing half-done when their place fails."""

from datetime import timedelta
from pathlib import Path

import pytest
from sqlalchemy import select

from heaterapp import archive
from heaterapp.archive import BlobsFailed, Photo, blobs, faults, tables
from heaterapp.archive.bodies import SMALLEST
from heaterapp.archive.canonical import sha256
from tests.archive.conftest import NOON, a_firm

LARGE = b"%PDF " + b"x" * SMALLEST


class Struck(Exception):
    pass


def render(record):
    return {"certificate.pdf": LARGE + record.number.encode(), "small.txt": b"small"}


@pytest.fixture(params=["folder", "bucket"])
def where(request, tmp_path):
    if request.param == "folder":
        return f"file://{tmp_path}/blobs", None
    return request.getfixturevalue("s3_bucket")


@pytest.fixture
def place(where):
    """The place itself, looked at beside the archive, with all digests that were ever put or deleted."""

    class Watched:
        def __init__(self, inner):
            self.inner, self.put_digests, self.failing = inner, [], False

        def put(self, digest, body):
            if self.failing:
                raise BlobsFailed("The place for blobs did not take a file: it is full")
            self.inner.put(digest, body)
            self.put_digests.append(digest)

        def __getattr__(self, name):
            return getattr(self.inner, name)

        def held(self):
            return {digest for digest in self.put_digests if self.inner.size(digest) is not None}

    return Watched(blobs.opened(*where))


@pytest.fixture
def store(folder, place):
    clock = {"at": NOON}
    opened = archive.open_store(data_dir=folder, clock=lambda: clock["at"], blobs=place)
    opened.clock_at = clock
    yield opened
    opened.close()


@pytest.fixture
def firm(store):
    return a_firm(store, "harborlight", "Harborlight Plumbing")


def _issued(store, firm, **changes):
    return store.issue_and_finish(firm.wish(report=b"r" * SMALLEST, **changes), render)


def _away(store):
    with store.database.read() as connection:
        rows = connection.execute(select(tables.payload)).all()
    return {row.digest for row in rows if row.salt is not None and row.body is None}


def test_large_bodies_lie_outside_and_every_reader_finds_them(store, firm, place):
    picture = Photo("heater", "", True, "", "a" * 64, 10, 10, b"\xff" * SMALLEST)
    answer = _issued(store, firm, photos=(picture,), parcel=b"p" * 5000)
    assert len(_away(store)) == 4
    assert place.held() == _away(store)
    record = store.records.get(firm.id, answer.record)
    assert record.report == b"r" * SMALLEST
    assert record.photos[0].body == picture.body
    paper = LARGE + answer.number.encode()
    assert store.records.file(firm.id, answer.record, "certificate.pdf") == paper
    assert store.records.file_sizes(firm.id, answer.record) == {"certificate.pdf": len(paper), "small.txt": 5}
    public = store.records.check(answer.number, record.check_code)
    assert public.files["certificate.pdf"] == sha256(paper)
    with store.exports.moment(firm.id, archive.Wanted()) as moment:
        assert [taken.report for taken in moment.records()] == [record.report]
        assert paper in {one.body for one in moment.papers()}
    assert store.verify().ok
    assert store.verify_recent().ok
    assert store.sweep_blobs() == 0


def test_a_missing_and_a_changed_file_are_named_and_never_handed_out(store, firm, place):
    first, second = _issued(store, firm), _issued(store, firm, job_id=firm.new_job().id)
    with store.database.read() as connection:
        papers = dict(
            connection.execute(
                select(tables.payload.c.record, tables.payload.c.digest).where(
                    tables.payload.c.name == "certificate.pdf"
                )
            ).all()
        )
    place.delete(papers[first.record])
    place.inner.put(papers[second.record], b"y" + (LARGE + second.number.encode())[1:])
    for checked in (store.verify(), store.verify_recent()):
        assert [(fault.table, fault.row, fault.what) for fault in checked.faults] == [
            ("payload", f"record {first.record} certificate.pdf", "is missing from the place for blobs"),
            ("payload", f"record {second.record} certificate.pdf", "was changed in the place for blobs"),
        ]
    for record, said in ((first.record, "missing"), (second.record, "changed")):
        with pytest.raises(BlobsFailed, match=said):
            store.records.file(firm.id, record, "certificate.pdf")


def test_a_job_with_a_lost_body_or_without_its_place_is_erased_all_the_same(store, firm, place, folder):
    picture = Photo("heater", "", True, "", "a" * 64, 10, 10, b"\xff" * SMALLEST)
    store.uploads.hold(firm.id, firm.installer.id, picture.sha256, b"again", 10, 10)
    answer = _issued(store, firm, photos=(picture,), parcel=b"p" * 5000)
    store.uploads.hold(firm.id, firm.installer.id, picture.sha256, b"again", 10, 10)
    other = firm.new_job().id
    _issued(store, firm, job_id=other)
    for digest in _away(store):
        place.delete(digest)
    store.erase_job(firm.id, store.records.hit(firm.id, answer.number).job_id, firm.office.id, "asked for")
    assert store.uploads.held(firm.id, [picture.sha256]) == set()
    bare = archive.open_store(data_dir=folder)
    bare.erase_job(firm.id, other, firm.office.id, "asked for")
    bare.close()
    assert store.verify().ok


def test_without_the_setting_the_reader_says_what_to_set(store, firm, folder):
    answer = _issued(store, firm)
    bare = archive.open_store(data_dir=folder)
    with pytest.raises(BlobsFailed, match="HEATERAPP_BLOBS"):
        bare.records.file(firm.id, answer.record, "certificate.pdf")
    assert bare.records.file(firm.id, answer.record, "small.txt") == b"small"
    bare.close()


def test_a_place_that_takes_nothing_uses_up_no_number(store, firm, place):
    wish = firm.wish(report=b"r" * SMALLEST)
    place.failing = True
    with pytest.raises(BlobsFailed, match="it is full"):
        store.issue(wish)
    assert store.records.by_key(firm.id, wish.key) is None
    assert store.verify().ok
    place.failing = False
    answer = store.issue(wish)
    place.failing = True
    with pytest.raises(BlobsFailed):
        store.finish(firm.id, answer.record, render)
    assert not store.records.status(firm.id, answer.record).finished
    place.failing = False
    assert store.finish_pending(render).finished == (answer.record,)
    assert answer.number == "C-000001"
    assert place.held() == _away(store)


@pytest.mark.parametrize("point", ["blobs_noted", "blob_put", "after_payloads", "after_issue_log"])
def test_what_a_crash_leaves_is_swept_a_day_later_and_nothing_else(store, firm, place, monkeypatch, point):
    kept = _issued(store, firm)

    def strike(at):
        if at == point:
            raise Struck

    monkeypatch.setattr(faults, "hook", strike)
    wish = firm.wish(report=b"s" * SMALLEST, job_id=firm.new_job().id)
    with pytest.raises(Struck):
        store.issue(wish)
    monkeypatch.setattr(faults, "hook", lambda at: None)
    left = place.held() - _away(store)
    assert bool(left) == (point != "blobs_noted")
    assert store.sweep_blobs() == 0
    assert place.held() - _away(store) == left
    store.clock_at["at"] = NOON + timedelta(days=1)
    assert store.sweep_blobs() == 1
    assert place.held() == _away(store)
    assert store.records.file(firm.id, kept.record, "certificate.pdf")
    assert store.verify().ok


def test_a_refusal_and_a_repeat_leave_no_file(store, firm, place):
    wish = firm.wish(report=b"r" * SMALLEST)
    first = store.issue_and_finish(wish, render)
    held = place.held()
    assert store.issue_and_finish(wish, render).number == first.number
    with pytest.raises(archive.JobIssued):
        store.issue(firm.wish(report=b"t" * SMALLEST))
    assert place.held() == held
    assert store.sweep_blobs() == 0


def test_of_two_who_finish_at_once_the_second_leaves_no_file(store, firm, place):
    answer = store.issue(firm.wish())

    def slow(record):
        store.finish(firm.id, answer.record, render)
        return {"certificate.pdf": LARGE + b"later"}

    stored = store.finish(firm.id, answer.record, slow)
    assert stored == render(store.records.get(firm.id, answer.record))
    assert place.held() == _away(store)


def test_an_erasure_takes_the_files_away_after_it_is_committed(store, firm, place, monkeypatch):
    answer = _issued(store, firm)
    assert len(place.held()) == 2
    store.erase(firm.id, answer.record, firm.office.id, "owner asked")
    assert place.held() == set()
    assert store.verify().ok
    with pytest.raises(archive.Erased):
        store.records.file(firm.id, answer.record, "certificate.pdf")


def test_files_that_an_erasure_could_not_reach_go_at_the_next_sweep(store, firm, place, monkeypatch):
    answer = _issued(store, firm)

    def unreachable(digest):
        raise BlobsFailed("The place for blobs did not let a file go")

    monkeypatch.setattr(place, "delete", unreachable, raising=False)
    store.erase(firm.id, answer.record, firm.office.id, "owner asked")
    assert len(place.held()) == 2
    monkeypatch.undo()
    assert store.sweep_blobs() == 2
    assert place.held() == set()


def test_a_backup_holds_the_files_and_comes_back_without_their_place(store, firm, tmp_path):
    answer = _issued(store, firm)
    made = store.backups.make(tmp_path / "backups")
    from heaterapp.archive import backups

    backups.restore(Path(made.path), data_dir=tmp_path / "restored")
    again = archive.open_store(data_dir=tmp_path / "restored")
    assert again.records.file(firm.id, answer.record, "certificate.pdf") == LARGE + answer.number.encode()
    assert again.verify().ok
    again.close()


@pytest.mark.parametrize(
    "place",
    ["", "blobs", "http://x/y", "s3://", "s3://UPPER/x", "file://host/x", "file:///", "s3://ab/x?y=1"],
)
def test_a_place_that_is_none_is_refused_in_words(place):
    with pytest.raises(BlobsFailed, match="was expected"):
        blobs.opened(place)


def test_a_service_that_is_not_there_is_said(monkeypatch):
    for name in ("AWS_ACCESS_KEY_ID", "AWS_SECRET_ACCESS_KEY"):
        monkeypatch.setenv(name, "testing")
    monkeypatch.setattr(blobs, "TRIES", 1)
    nobody = blobs.opened("s3://bucket/x", "http://127.0.0.1:8179")
    with pytest.raises(BlobsFailed, match="did not take a file"):
        nobody.put("0" * 64, b"x")
    with pytest.raises(BlobsFailed, match="no digest"):
        nobody.get("../secret")
