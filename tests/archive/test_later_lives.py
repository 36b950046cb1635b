"""The list of later erasures over more than one restore, beside a wrong list, and after an unreadable log."""

import threading

import pytest
from sqlalchemy import event
from sqlalchemy.exc import TimeoutError as PoolTimeout

from heaterapp import archive, backing_up
from heaterapp.archive import backups, faults, log
from heaterapp.archive.backups import folders, later, listing
from heaterapp.commands.restore import told
from heaterapp.drilling import drill


@pytest.fixture
def beside(tmp_path):
    return tmp_path / "backups"


@pytest.fixture
def put_back(tmp_path):
    """Restore a backup and open the place; all are closed at the end."""
    opened = []

    def restored(made, **how):
        place = tmp_path / f"place-{len(opened)}"
        said = backups.restore(made.path, place, **how)
        opened.append(archive.open_store(data_dir=place, upgrade=False))
        return opened[-1], said["again"], "\n".join(told(said["again"], said["made_at"]))

    yield restored
    for one in opened:
        one.close()


def _entry(store, firm, act, body, record=None):
    with store.database.write() as connection:
        log.lock(connection, firm.id)
        log.append(connection, firm.id, act, store.database.now(), None, record, body)


UNREADABLE = [
    ("person", {"what": "closed"}), ("person", {"what": "closed", "person": 10**30}),
    ("person", {"what": "role", "person": 1, "to": ["owner"]}), ("person", [1]), ("share_revoked", {}),
    ("passkey", {"what": "removed", "passkey": "x"}), ("passkey", {"what": "added", "passkey": [1]}),
    ("erase", {}), ("erase_job", {"job": "\0"}), ("void", {}), ("hold", {"hold": 1, "job_id": {}}),
    ("hold_lifted", {"hold": True}), ("share_revoked", {"share": "7" * 5000}),
]  # fmt: skip


def test_what_cannot_be_read_in_a_log_is_passed_over_and_the_list_goes_on(store, firm, beside):
    beside.mkdir()
    for act, body in UNREADABLE:
        _entry(store, firm, act, body)
    _entry(store, firm, "void", {"voided_by": "x"}, firm.issued().record)
    _entry(store, firm, "hold", {"hold": 1, "job_id": firm.job.id, "placed_by": None})
    store.people.save(firm.id, firm.office.id, disabled=True)
    assert later.note(store.database, beside) == 1
    assert [one.act for one in later.read(beside / later.NAME).lines] == ["closed"]


def test_backups_go_on_whatever_the_list_runs_into(store, firm, beside, monkeypatch, capfd):
    beside.mkdir()
    looked, looks = threading.Event(), []

    def refuse(*_):
        raise PoolTimeout("no connection was free")

    def look(*_):
        looks.append(1)
        if len(looks) == 2:
            looked.set()

    monkeypatch.setattr(later.Noting, "note", refuse)
    monkeypatch.setattr(backing_up, "LOOK_EVERY_S", 0.01)
    monkeypatch.setattr(backing_up, "run_if_due", look)
    rounds = backing_up.Rounds(store, backing_up.Wanted(beside, 24, 1, beside / "none"))
    assert looked.wait(10)
    rounds.end()
    assert "Later erasures: TimeoutError: no connection was free" in capfd.readouterr().err
    thinned = []
    monkeypatch.setattr(folders, "thin", lambda *_: thinned.append(1))
    made = store.backups.make(beside, keep=1)
    assert "later-erasures.jsonl could not be brought up to date" in made.unnoted
    assert thinned
    assert backups.check(made.path)


@pytest.mark.parametrize("as_it_was", [False, True])
def test_the_next_restore_leaves_what_was_decided_after_the_first(
    store, firm, beside, put_back, monkeypatch, as_it_was
):
    boss, one, two = (
        store.people.add(firm.id, login, login, role, "copper-kettle-47").id
        for login, role in (("boss", "owner"), ("one", "office"), ("two", "office"))
    )
    record = firm.issued().record
    first = store.backups.make(beside)
    for _ in range(9):
        # The first life's log is the longer one: numbers of entries tell nothing over two lives.
        _entry(store, firm, "facts", {})
    store.people.save(firm.id, one, role="owner", by=boss)
    store.people.save(firm.id, two, disabled=True, by=boss)
    store.erase(firm.id, record, firm.office.id, "asked")
    later.note(store.database, beside)
    second, _, _ = put_back(first, as_it_was=as_it_was)
    if not as_it_was:
        assert second.people.get(firm.id, one).role == "owner"
        second.people.save(firm.id, one, role="installer", by=boss)
        second.people.save(firm.id, two, disabled=False, by=boss)

    def write_on(point):
        if point == "backup_copied":
            _entry(second, firm, "facts", {})

    with monkeypatch.context() as meanwhile:
        meanwhile.setattr(faults, "at", write_on)
        made = second.backups.make(beside)
    third, again, _ = put_back(made)
    # Left as it was, nothing stands in the new log: that it is another one is told by the list itself.
    assert third.people.get(firm.id, one).role == ("office" if as_it_was else "installer")
    assert not third.people.get(firm.id, two).disabled
    assert dict(again.acts) == ({"erase": 1} if as_it_was else {})
    with pytest.raises(archive.Erased):
        third.records.get(firm.id, record)
    lives = [one for one in later.read(beside / later.NAME).lines if one.act == listing.LIFE]
    assert len(lives) == 1


def test_a_later_act_of_the_second_log_is_done_again(store, firm, beside, put_back):
    first = store.backups.make(beside)
    store.people.save(firm.id, firm.office.id, disabled=True)
    later.note(store.database, beside)
    second, _, _ = put_back(first)
    made = second.backups.make(beside)
    second.people.save(firm.id, firm.office.id, disabled=False)
    second.people.save(firm.id, firm.installer.id, role="office")
    later.note(second.database, beside)
    third, again, _ = put_back(made)
    assert dict(again.acts) == {"opened": 1, "role": 1}
    assert not third.people.get(firm.id, firm.office.id).disabled
    # From the first backup too the last word on each thing holds.
    _, again, _ = put_back(first)
    assert dict(again.acts) == {"role": 1}


def test_a_list_that_tells_less_than_the_backups_own_log_is_refused(store, firm, beside, put_back, tmp_path):
    record = firm.issued().record
    none_yet = store.backups.make(beside)
    store.people.save(firm.id, firm.office.id, role="owner")
    path = beside / later.NAME
    stale = path.read_text()
    store.erase(firm.id, record, firm.office.id, "asked")
    made = backups.Backup(beside / "moved", "", 0, {})
    store.backups.make(tmp_path / "other").path.rename(made.path)
    (tmp_path / "sound").write_text((tmp_path / "other" / later.NAME).read_text())
    for wrong in (stale, stale.splitlines()[0] + "\n"):
        path.write_text(wrong)
        with pytest.raises(
            backups.BackupRefused, match=r"does not tell of 2 acts .* --later, or .*--as-it-was"
        ):
            put_back(made)
        said = []
        assert not drill(made.path, 0, place=tmp_path, say=said.append)
        assert "a restore REFUSES it" in "".join(said)
    _, _, words = put_back(made, as_it_was=True)
    assert "back as the backup has it" in words
    _, _, words = put_back(made, later_list=tmp_path / "sound")
    assert "tells all until 2026-03-14T12:00:00Z." in words
    assert "done again after 2026-03-14T12:00:00Z: nothing." in words
    _, _, words = put_back(none_yet)
    assert "does not say until when" in words


def test_a_list_of_a_moment_before_the_backup_and_one_of_another_archive_say_so(
    firm, beside, put_back, tmp_path
):
    _entry(firm.store, firm, "facts", {})
    made = firm.store.backups.make(beside)
    _, again, _ = put_back(made)
    assert again.reaches == made.made_at
    words = "\n".join(told(again, "2026-03-15T12:00:00Z"))
    assert "before this backup was made: what came after that moment is not known" in words
    stranger = archive.open_store(data_dir=tmp_path / "stranger")
    stranger.organisations.add("quay", "Quay Plumbing", "C36 0002", "555-0101", "2 Quay Street, Port Larkin")
    (beside / later.NAME).unlink()
    later.note(stranger.database, beside)
    stranger.close()
    _, again, words = put_back(made)
    assert again.reaches == ""
    assert "it may be cut short, or another archive's" in words


def test_a_void_and_a_legal_hold_are_made_again(store, firm, beside, put_back):
    one, two = firm.issued(), firm.issued(job_id=firm.new_job().id)
    job, other = (store.records.get(firm.id, each.record).job_id for each in (one, two))
    old = store.holds.place(firm.id, other, firm.office.id, "claim 76")
    made = store.backups.make(beside)
    new = store.people.add(firm.id, "new", "New One", "office", "copper-kettle-47")
    store.void(firm.id, one.record, firm.office.id, "wrong heater")
    store.void(firm.id, two.record, new.id, "wrong heater")
    store.holds.place(firm.id, job, firm.office.id, "claim 77")
    settled = store.holds.place(firm.id, job, firm.office.id, "claim 78")
    store.holds.lift(firm.id, settled.id, firm.office.id, "settled")
    store.holds.lift(firm.id, old.id, firm.office.id, "settled")
    later.note(store.database, beside)
    again, done, words = put_back(made)
    assert dict(done.acts) == {"void": 1, "hold": 1, "hold_lifted": 1}
    # Who voided it is not in the backup, and nobody else is named for it.
    assert done.by_hand == {"void": [two.number]}
    assert "1 legal hold placed, 1 legal hold lifted, 1 record voided" in words
    assert f"do it by hand: records voided, {two.number}." in words
    assert again.records.status(firm.id, one.record).state == "void"
    assert again.records.status(firm.id, two.record).state == "current"
    (held,) = again.holds.of_job(firm.id, job)
    assert (held.lifted_at, held.placed_by) == (None, firm.office.id)
    (freed,) = again.holds.of_job(firm.id, other)
    assert freed.lifted_at is not None
    with pytest.raises(archive.UnderHold):
        again.erase_job(firm.id, job, firm.office.id, "asked")
    assert again.verify().ok
    # Nor is somebody else who has the number of that person by now.
    assert again.people.add(firm.id, "other", "Other One", "office", "copper-kettle-47").id == new.id
    third, done, _ = put_back(again.backups.make(beside))
    assert (dict(done.acts), done.by_hand) == ({}, {"void": [two.number]})
    assert len(third.holds.of_job(firm.id, job)) == 1


def test_the_last_owner_goes_after_the_next_one_is_made(store, firm, beside, put_back):
    a, b, d = (
        store.people.add(firm.id, login, login, role, "copper-kettle-47").id
        for login, role in (("a", "owner"), ("b", "office"), ("d", "office"))
    )
    made = store.backups.make(beside)
    store.people.save(firm.id, b, role="owner")
    store.people.save(firm.id, a, disabled=True)
    store.people.save(firm.id, d, role="owner")
    store.people.save(firm.id, b, role="installer")
    later.note(store.database, beside)
    again, done, _ = put_back(made)
    assert not done.by_hand
    assert again.people.get(firm.id, a).disabled
    assert (again.people.get(firm.id, b).role, again.people.get(firm.id, d).role) == ("installer", "owner")


def test_a_look_reads_only_what_is_new_and_what_was_lost_comes_again(store, firm, beside, monkeypatch):
    beside.mkdir()
    path = beside / later.NAME
    keys = [store.passkeys.add(firm.id, firm.office.id, f"c{n}", b"key", 0, "a phone").id for n in range(3)]
    for key in keys:
        store.passkeys.remove(firm.id, firm.office.id, key, firm.office.id)
    asked, read = [], []
    event.listen(store.database.engine, "before_cursor_execute", lambda *told: asked.append(told[2]))
    parsed = later.parsed
    monkeypatch.setattr(later, "parsed", lambda body, *last: read.append(len(body)) or parsed(body, *last))
    noting = later.Noting(store.database, beside)
    assert noting.note() == 3
    assert sum("act" in one and "ORDER BY log.seq DESC" in one for one in asked) == 1
    asked.clear(), read.clear()
    as_of = len(path.read_bytes().splitlines()[-1]) + 1
    assert noting.note() == 0
    assert read == [as_of]
    assert not [one for one in asked if "FROM log " in one.replace("\n", " ")]
    # Another process adds one in between, and this one takes it for known.
    store.people.save(firm.id, firm.office.id, disabled=True)
    assert later.note(store.database, beside) == 1
    assert noting.note() == 0
    read.clear()
    whole = path.read_bytes()
    path.write_bytes(whole[: len(whole) - as_of - 100])
    assert noting.note() == 1
    assert len(later.read(path).lines) == 4
    # A line changed in the middle is found by whoever reads it whole, as each backup does.
    path.write_bytes(path.read_bytes().replace(b'"act":"passkey"', b'"act":"passkex"', 1))
    assert later.note(store.database, beside) == 4
    assert [one.target for one in later.read(path).lines] == [*keys, firm.office.id]
