"""A backup is whole or not there, comes back row for row, and the numbers go on."""

import json
import shutil
import stat
import threading
from dataclasses import replace

import pytest
from sqlalchemy import text

from heaterapp import archive
from heaterapp.archive import backups, soak_writer
from heaterapp.archive.backups import engines
from heaterapp.archive.database import newest_revision

WRITERS = 4


def compared(one, other):
    places = [backups.open_place(str(named)) for named in (one, other)]
    try:
        return [str(found) for found in backups.differences(*places)]
    finally:
        for place in places:
            place.close()


def filled(store, place):
    """Six records, a session and a key file."""
    organisation = store.organisations.default().id
    person = store.people.add(organisation, "soak", "Zoë Ångström", "installer", "soak soak soak").id
    place.mkdir(exist_ok=True)
    (place / "secret-key").write_text("the key of the cookies")
    # The last one's key sorts first by bytes and last by English.
    for key in (*(f"writer0-{turn}" for turn in range(5)), "Writer0-5"):
        soak_writer.submit(store, organisation, person, key)
    store.token, _ = store.sessions.start(organisation, person, "a phone")
    return store


@pytest.fixture(params=["sqlite", "postgresql"])
def lived_in(request, folder):
    """An archive with a few records on either database."""
    url = request.getfixturevalue("postgres_url") if request.param == "postgresql" else None
    store = filled(archive.open_store(url=url, data_dir=folder, upgrade=False), folder)
    store.named, store.folder = url or folder, folder
    yield store
    store.close()


@pytest.fixture(scope="module")
def made_once(tmp_path_factory, empty_archive):
    place = tmp_path_factory.mktemp("once")
    shutil.copy(empty_archive, place)
    store = filled(archive.open_store(data_dir=place, upgrade=False), place)
    made = store.backups.make(place / "backups", place / "secret-key")
    head = store.log.head(1)
    store.close()
    return made, head


@pytest.fixture
def kept(made_once, tmp_path):
    """A backup of six records, to be damaged as one likes."""
    made, _ = made_once
    return replace(made, path=shutil.copytree(made.path, tmp_path / "backups" / made.path.name))


def test_a_backup_is_one_folder_that_nobody_else_can_read(made_once):
    kept, _ = made_once
    beside = kept.path.parent / backups.later.NAME
    assert {path.name for path in kept.path.parent.iterdir()} == {kept.path.name, beside.name}
    assert stat.S_IMODE(beside.stat().st_mode) == 0o600
    assert sorted(path.name for path in kept.path.iterdir()) == [
        "archive.sqlite3", "manifest.json", "secret-key",
    ]  # fmt: skip
    assert {stat.S_IMODE(path.stat().st_mode) for path in kept.path.iterdir()} == {0o600}
    assert stat.S_IMODE(kept.path.stat().st_mode) == 0o700
    assert kept.path.name == "heaterapp-" + kept.made_at.replace("-", "").replace(":", "")


def test_the_manifest_tells_heads_and_counts(made_once):
    kept, head = made_once
    said = backups.check(kept.path)
    assert said["organisations"][0]["head"] == head
    assert said["counts"]["record"] == said["verified"]["records"] == 6
    assert said["schema"] == newest_revision()
    assert set(said["files"]) == {"archive.sqlite3", "secret-key"}


def test_it_comes_back_row_for_row_the_sign_ins_end_and_the_numbers_go_on(lived_in, tmp_path):
    kept = lived_in.backups.make(tmp_path / "backups", lived_in.folder / "secret-key")
    backups.restore(kept.path, tmp_path / "again")
    assert compared(lived_in.named, kept.path) == []
    assert compared(kept.path, tmp_path / "again") == []
    assert (tmp_path / "again" / "secret-key").read_text() == "the key of the cookies"
    again = archive.open_store(data_dir=tmp_path / "again", upgrade=False)
    try:
        assert again.verify().ok
        assert lived_in.sessions.find(lived_in.token)
        assert again.sessions.find(lived_in.token) is None
        before = {hit.number for hit in again.find(1).hits}
        fresh = soak_writer.submit(again, 1, 1, "writer0-77").number
        same_kind = [int(number[2:]) for number in before if number[0] == fresh[0]]
        assert int(fresh[2:]) == max(same_kind, default=0) + 1
    finally:
        again.close()


def test_it_comes_back_into_an_empty_postgresql_where_every_id_goes_on(kept, postgres_server, tmp_path):
    url = postgres_server.empty()
    try:
        backups.restore(kept.path, tmp_path / "again", url)
        assert compared(kept.path, url) == []
        assert (tmp_path / "again" / "secret-key").is_file()
        again = archive.open_store(url=url, upgrade=False)
        assert again.verify().ok
        person = again.people.add(1, "next", "Next One", "office", "another password")
        assert person.id == 2
        soak_writer.submit(again, 1, 1, "writer0-77")
        assert max(hit.record for hit in again.find(1).hits) == 7
        again.close()
        with pytest.raises(backups.BackupRefused, match="not empty"):
            backups.restore(kept.path, tmp_path / "third", url)
    finally:
        postgres_server.drop(url)


def test_two_restores_at_once_into_one_database_are_one(kept, postgres_url, tmp_path, at_once, monkeypatch):
    usual, begin = backups.restoring._must_be_none_of_ours, threading.Barrier(2)

    def both(target):
        usual(target)
        begin.wait(30)

    monkeypatch.setattr(backups.restoring, "_must_be_none_of_ours", both)
    answers, errors = at_once(2, lambda at: backups.restore(kept.path, tmp_path / str(at), postgres_url))
    assert len(answers) == 1
    assert [("is not empty" in str(error)) for error in errors] == [True]
    assert compared(kept.path, postgres_url) == []


def test_a_restore_closes_every_open_invitation(store, firm, tmp_path):
    owner = store.people.add(firm.id, "owen", "Owen Moss", "owner", "another password")
    token, _ = store.invites.make(firm.id, owner.id, "Cy Yard", "office")
    made = store.backups.make(tmp_path / "backups")
    backups.restore(made.path, tmp_path / "again")
    again = archive.open_store(data_dir=tmp_path / "again", clock=lambda: store.database.moment(), upgrade=False)
    try:
        assert store.invites.lookup(token)
        assert again.invites.lookup(token) is None
        assert again.verify().ok
    finally:
        again.close()


def test_compare_names_table_row_and_field(kept, tmp_path):
    backups.restore(kept.path, tmp_path / "again")
    with engines.opened(f"sqlite:///{tmp_path / 'again' / 'archive.sqlite3'}").write() as connection:
        connection.execute(text("UPDATE person SET name = 'Somebody else'"))
        connection.execute(text("DELETE FROM job WHERE id = (SELECT max(id) FROM job WHERE id NOT IN"
                                " (SELECT job_id FROM record))"))  # fmt: skip
        connection.execute(text("INSERT INTO organisation SELECT 2, 'b', name, licence, phone, address,"
                                " settings FROM organisation"))  # fmt: skip
    found = compared(kept.path, tmp_path / "again")
    assert "person id 1 name: differs" in found
    assert f"organisation organisation 2: is only in {tmp_path / 'again'}" in found
    assert len(found) == 2
    assert [line.replace(str(tmp_path / "again"), "?") for line in compared(tmp_path / "again", kept.path)] == [
        "organisation organisation 2: is only in ?", "person id 1 name: differs",
    ]  # fmt: skip


@pytest.mark.parametrize("name", ["archive.sqlite3", "manifest.json", "secret-key"])
@pytest.mark.parametrize("damage", ["flip", "cut", "gone"])
def test_a_damaged_backup_is_refused_by_the_name_of_the_file(kept, tmp_path, name, damage):
    file = kept.path / name
    whole = file.read_bytes()
    if damage == "gone":
        file.unlink()
    elif damage == "cut":
        file.write_bytes(whole[: len(whole) // 2])
    else:
        at = whole.index(b"organisation") if name != "secret-key" else 3
        file.write_bytes(whole[:at] + bytes([whole[at] ^ 1]) + whole[at + 1 :])
    with pytest.raises(backups.BackupRefused, match=name) as refused:
        backups.restore(kept.path, tmp_path / "again")
    assert ("missing" if damage == "gone" else "damaged" if damage == "flip" else "") in str(refused.value)
    assert not (tmp_path / "again").exists()


@pytest.mark.parametrize("there", ["archive.sqlite3", "archive.sqlite3-wal"])
def test_a_place_that_is_not_empty_is_refused_by_name(kept, tmp_path, there):
    (tmp_path / "again").mkdir()
    (tmp_path / "again" / there).write_bytes(b"something")
    with pytest.raises(backups.BackupRefused, match=f"again/{there} is there already"):
        backups.restore(kept.path, tmp_path / "again")
    assert [path.name for path in (tmp_path / "again").iterdir()] == [there]


def test_a_place_with_a_stray_file_is_refused_and_a_key_alone_is_none(kept, tmp_path):
    place = tmp_path / "again"
    (place / ".heaterapp-0123456789ab.part").mkdir(parents=True)
    shutil.copy(kept.path / "secret-key", place / "secret-key")
    (place / "letter.odt").write_bytes(b"something else")
    with pytest.raises(backups.BackupRefused, match=r"again/letter.odt is there: .* empty place only"):
        backups.restore(kept.path, place)
    assert not (place / "archive.sqlite3").exists()
    (place / "letter.odt").unlink()
    backups.restore(kept.path, place)
    assert (place / "archive.sqlite3").exists()


def test_a_place_that_is_filled_meanwhile_keeps_what_came_first(kept, tmp_path, monkeypatch):
    monkeypatch.setattr(
        backups.restoring,
        "_put_key",
        lambda place, inside: (place / "archive.sqlite3").write_bytes(b"first"),
    )
    with pytest.raises(backups.BackupRefused, match="appeared meanwhile"):
        backups.restore(kept.path, tmp_path / "again")
    assert (tmp_path / "again" / "archive.sqlite3").read_bytes() == b"first"


def test_a_backup_of_a_newer_program_is_refused(kept, tmp_path):
    said = json.loads((kept.path / "manifest.json").read_text())
    (kept.path / "manifest.json").unlink()
    facts = {key: said[key] for key in ("made_at", "program_version", "organisations", "counts", "verified")}
    backups.manifest.write(kept.path, {**facts, "schema": "0999", "source": "sqlite"})
    with pytest.raises(backups.BackupRefused, match="newer program"):
        backups.restore(kept.path, tmp_path / "again")


def test_thinning_goes_by_the_log_and_spares_the_new_one_and_another_archive_s(store, firm, tmp_path, kept):
    folder = kept.path.parent
    other = kept.path.name
    names = []
    for name in ("20991231T000000Z", "20260313T000000Z"):
        firm.issued()
        names.append(f"heaterapp-{name}")
        store.backups.make(folder).path.rename(folder / names[-1])
    firm.issued()
    made = store.backups.make(folder, keep=2)
    assert {path.name for path in folder.iterdir()} == {other, names[1], made.path.name, backups.later.NAME}
    (folder / names[1]).rename(folder / names[0])
    (folder / made.path.name).rename(folder / names[1])
    assert store.backups.make(folder, keep=1).path.is_dir()
    assert {path.name for path in folder.iterdir()} == {other, made.path.name, backups.later.NAME}


def test_four_writers_go_on_while_it_is_made_and_it_is_of_one_moment(lived_in, tmp_path):
    ended, told, errors = threading.Event(), [[] for _ in range(WRITERS)], []

    def write(writer):
        turn = 0
        try:
            while not ended.is_set() and turn < 500:
                told[writer].append(soak_writer.submit(lived_in, 1, 1, f"writer{writer + 1}-{turn}").number)
                turn += 1
        except Exception as error:
            errors.append(error)

    threads = [threading.Thread(target=write, args=(writer,)) for writer in range(WRITERS)]
    for thread in threads:
        thread.start()
    try:
        made = lived_in.backups.make(tmp_path / "backups")
    finally:
        ended.set()
        for thread in threads:
            thread.join()
    assert errors == []
    said = backups.restore(made.path, tmp_path / "again")
    again = archive.open_store(data_dir=tmp_path / "again")
    try:
        found = again.verify()
        assert found.ok
        assert (found.records, found.entries) == (said["counts"]["record"], said["counts"]["log"])
        assert 6 <= found.records <= 6 + sum(map(len, told))
        done = again.finish_pending(soak_writer.render)
        assert done.failed == ()
        numbers = sorted(hit.number for hit in again.find(1, limit=5000).hits)
        fresh = soak_writer.submit(again, 1, 1, "writer9-0").number
        assert fresh == f"{fresh[0]}-{sum(number[0] == fresh[0] for number in numbers) + 1:06}"
        assert again.verify().ok
    finally:
        again.close()
    assert lived_in.verify().ok


