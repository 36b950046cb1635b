"""Keys of the seal in the archive: made and retired in one act, held by verify, and the private one stays."""

import io
import json
import zipfile

import pytest
from sqlalchemy import delete, select, update

from heaterapp.archive import Invalid, NotFound, faults, seal_tables
from heaterapp.archive.canonical import sha256
from heaterapp.archive.moving import ImportRefused
from tests.archive.conftest import NOON, taken_along
from tests.archive.test_moving_bad import row_changed

FIRST, KEY = b"a certificate", b"a private key of 32 random bytes"
SECOND, OTHER_KEY = b"another certificate", b"another private key"


class Struck(Exception):
    """Raised at a fault point."""


@pytest.fixture
def first(store, firm):
    return store.seals.make(firm.id, firm.office.id, FIRST, KEY)


def acts(store, firm):
    entries = store.log.entries(firm.id, limit=1000)
    return [(one.act, one.actor, json.loads(one.body)) for one in entries if one.act.startswith("seal")]


def test_a_key_is_made_once_and_another_one_takes_its_place(store, firm, first):
    assert store.seals.with_key(firm.id) == (first, KEY)
    assert store.seals.make(firm.id, None, SECOND, OTHER_KEY) == first, "none was to be replaced"
    second = store.seals.make(firm.id, None, SECOND, OTHER_KEY, first.fingerprint)
    assert second.fingerprint == sha256(SECOND)
    assert store.seals.make(firm.id, None, FIRST, KEY, first.fingerprint) == second, "the form of a page gone by"
    assert store.seals.with_key(firm.id) == (second, OTHER_KEY)
    assert [one.certificate for one in store.seals.all_of(firm.id)] == [SECOND, FIRST]
    assert store.seals.all_of(firm.id)[1].retired_at == second.made_at
    with store.database.read() as connection:
        assert connection.execute(select(seal_tables.seal_key.c.body)).scalars().all() == [OTHER_KEY]
    assert [(act, actor) for act, actor, _ in acts(store, firm)] == [
        ("seal", firm.office.id), ("seal_retired", None), ("seal", None),
    ]  # fmt: skip
    assert store.verify().ok


def test_the_log_says_nothing_of_a_key_but_its_digest(store, firm, first):
    (_, _, body), *_ = acts(store, firm)
    assert body == {"fingerprint": first.fingerprint, "made_at": first.made_at, "key_sha256": sha256(KEY)}


def test_what_is_no_certificate_or_too_large_is_refused(store, firm):
    for certificate, key, field in ((b"", KEY, "certificate"), (FIRST, b"x" * 4001, "key"), (None, KEY, "certificate")):
        with pytest.raises(Invalid) as refused:
            store.seals.make(firm.id, None, certificate, key)
        assert refused.value.field == field
    with pytest.raises(NotFound):
        store.seals.make(999, None, FIRST, KEY)
    assert store.seals.current(firm.id) is None


def test_a_change_of_keys_that_breaks_off_leaves_the_old_one(store, firm, first, monkeypatch):
    for point in faults.SEALING:

        def strike(at, point=point):
            if at == point:
                raise Struck

        monkeypatch.setattr(faults, "hook", strike)
        with pytest.raises(Struck):
            store.seals.make(firm.id, firm.office.id, SECOND, OTHER_KEY, first.fingerprint)
        monkeypatch.setattr(faults, "hook", faults._nothing)
        held, key = store.seals.with_key(firm.id)
        done = point == "seal_committed"
        assert (held.certificate, key) == ((SECOND, OTHER_KEY) if done else (FIRST, KEY)), point
        assert store.verify().ok, point
    assert faults.SEALING[-1] == "seal_committed"


KEYS, SEALS = seal_tables.seal_key, seal_tables.seal
CHANGED = {
    "another key": (update(KEYS).values(body=KEY[:-1] + b"\x00"), "seal_key", "body", "does not match its digest"),
    "no key": (delete(KEYS), "seal_key", "fingerprint", "missing"),
    "another certificate": (update(SEALS).values(certificate=SECOND), "seal", "certificate", "does not match"),
    "another day": (update(SEALS).values(made_at="2020-01-01T00:00:00Z"), "seal", "made_at", "differs from the log"),
    "retired by nobody": (
        update(SEALS).values(retired_at="2026-03-14T12:00:00Z"), "seal", "retired_at", "differs from the log",
    ),
}  # fmt: skip


def test_a_retired_key_is_trusted_no_longer_by_one_logged_act(store, firm, first, monkeypatch):
    with pytest.raises(Invalid):
        store.seals.distrust(firm.id, firm.office.id, first.fingerprint)
    with pytest.raises(NotFound):
        store.seals.distrust(firm.id, firm.office.id, "f" * 64)
    store.seals.make(firm.id, None, SECOND, OTHER_KEY, first.fingerprint)
    for point in faults.DISTRUSTING[:-1]:

        def strike(at, point=point):
            if at == point:
                raise Struck

        monkeypatch.setattr(faults, "hook", strike)
        with pytest.raises(Struck):
            store.seals.distrust(firm.id, firm.office.id, first.fingerprint)
        monkeypatch.setattr(faults, "hook", faults._nothing)
        assert store.seals.all_of(firm.id)[1].distrusted_at is None, point
    done = store.seals.distrust(firm.id, firm.office.id, first.fingerprint)
    assert store.seals.distrust(firm.id, None, first.fingerprint) == done == store.seals.all_of(firm.id)[1]
    assert done.public.distrusted_on == done.distrusted_at[:10]
    assert [act for act, _, _ in acts(store, firm)].count("seal_distrusted") == 1
    assert store.verify().ok


def test_a_changed_row_is_named_by_verify(store, firm, first):
    assert store.verify().ok
    with store.database.read() as connection:
        rows = [(table, [dict(row) for row in connection.execute(select(table)).mappings()]) for table in (SEALS, KEYS)]
    for what, (change, table, field, said) in CHANGED.items():
        with store.database.write() as connection:
            connection.execute(change)
        (fault,) = store.verify().faults
        assert (fault.table, fault.row, fault.field) == (table, f"organisation {firm.id} {first.fingerprint}", field), what
        assert said in str(fault), what
        with store.database.write() as connection:
            for held in (KEYS, SEALS):
                connection.execute(delete(held))
            for held, before in rows:
                connection.execute(held.insert(), before)
    assert store.verify().ok


def test_rows_that_the_log_never_named_and_a_key_kept_after_its_time_are_faults(store, firm, first):
    store.seals.make(firm.id, None, SECOND, OTHER_KEY, first.fingerprint)
    with store.database.write() as connection:
        connection.execute(KEYS.insert().values(organisation=firm.id, fingerprint=first.fingerprint, body=KEY))
        own = {"organisation": firm.id, "fingerprint": "0" * 64}
        connection.execute(SEALS.insert().values(**own, certificate=b"x", made_at="2026-03-14T12:00:00Z"))
    assert [(one.table, one.what) for one in store.verify().faults] == [
        ("seal", "is not in the log"), ("seal_key", "is no key in use by the log"),
    ]  # fmt: skip


def test_certificates_go_along_and_the_private_key_stays(store, firm, first, tmp_path):
    from heaterapp import archive

    second = store.seals.make(firm.id, None, SECOND, OTHER_KEY, first.fingerprint)
    body = taken_along(store, firm.id)
    with zipfile.ZipFile(io.BytesIO(body)) as packed:
        for name in packed.namelist():
            held = packed.read(name)
            assert not any(key in held or key.hex().encode() in held for key in (KEY, OTHER_KEY)), name
            assert "seal_key" not in name
    new = archive.open_store(data_dir=tmp_path / "new", clock=lambda: NOON)
    new.moving.bring(io.BytesIO(body))
    assert new.seals.all_of(firm.id) == store.seals.all_of(firm.id)
    assert new.seals.current(firm.id) == second
    assert new.seals.with_key(firm.id) is None
    assert new.verify().ok, "the key that stayed behind is no fault"
    third = new.seals.make(firm.id, None, b"made here", b"its key", second.fingerprint)
    assert new.seals.with_key(firm.id) == (third, b"its key")
    assert new.verify().ok
    with new.database.write() as connection:
        connection.execute(delete(KEYS))
    assert [one.table for one in new.verify().faults] == ["seal_key"], "a key that was made here is missed"
    new.close()


def test_a_backup_has_the_key_and_what_is_restored_seals_on(store, firm, first, folder, tmp_path):
    from heaterapp import archive
    from heaterapp.archive import backups

    made = store.backups.make(tmp_path / "backups")
    backups.restore(made.path, tmp_path / "again")
    again = archive.open_store(data_dir=tmp_path / "again", clock=lambda: NOON)
    assert again.seals.with_key(firm.id) == (first, KEY)
    assert again.verify().ok
    again.close()


def test_an_import_whose_certificate_is_not_the_one_named_is_refused(store, firm, first, folder, tmp_path):
    from heaterapp import archive

    new = archive.open_store(data_dir=tmp_path / "new", clock=lambda: NOON)
    body = row_changed(taken_along(store, firm.id), "seal", certificate=SECOND.hex())
    with pytest.raises(ImportRefused, match=r"seal\.jsonl line 1, fingerprint: the SHA-256"):
        new.moving.bring(io.BytesIO(body))
    assert new.seals.all_of(firm.id) == []
    new.close()
