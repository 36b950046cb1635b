"""A log made anew from scratch fits together; only the heads that papers carry tell that it is another one."""

import json
import shutil

import pytest
from sqlalchemy import select, update

from heaterapp import archive
from heaterapp.__main__ import main
from heaterapp.archive import Facts, log, tables
from heaterapp.archive.canonical import EMPTY_HEAD, canonical, check_code, salted, sha256
from heaterapp.archive.dialect import guards
from heaterapp.archive.find import words_of

OUT_OF_RECORD = ("id", "content_digest", "check_code")


def attack(store, firm, record, report):
    """Change a record's report, and make every digest and the whole chain anew, as an owner of the file can."""
    with store.database.write() as connection:
        lifted = guards("sqlite", tables.RECORDED)
        for name in lifted:
            connection.exec_driver_sql(f"DROP TRIGGER IF EXISTS {name}")
        payload, own = tables.payload, (tables.payload.c.record == record, tables.payload.c.name == "report")
        salt = connection.execute(select(payload.c.salt).where(*own)).scalar()
        fresh = salted(salt, "report", report)
        connection.execute(update(payload).where(*own).values(body=report, digest=fresh))
        rows = connection.execute(select(tables.log).where(tables.log.c.organisation == firm.id).order_by(tables.log.c.seq))
        previous = EMPTY_HEAD
        for row in rows.mappings().all():
            entry = {**row, "previous": previous, "body": canonical(_body(connection, row, record, fresh, previous))}
            previous = log.entry_digest(entry)
            this = (tables.log.c.organisation == firm.id, tables.log.c.seq == row["seq"])
            connection.execute(update(tables.log).where(*this).values(**{**entry, "digest": previous}))
        connection.execute(update(tables.log_head).where(tables.log_head.c.organisation == firm.id).values(digest=previous))
        for statement in lifted.values():
            connection.exec_driver_sql(statement)


def _body(connection, row, record, fresh, previous):
    body = json.loads(row["body"])
    if row["act"] != "issue":
        return body
    if row["record"] == record:
        body["payload"]["report"] = fresh
    told = {**body["record"], "previous_head": previous}
    whole = {name: value for name, value in told.items() if name not in OUT_OF_RECORD}
    told["content_digest"] = sha256(canonical({**whole, "payload": body["payload"]}))
    told["check_code"] = check_code(told["content_digest"])
    changed = {name: told[name] for name in ("previous_head", "content_digest", "check_code")}
    connection.execute(update(tables.record).where(tables.record.c.id == row["record"]).values(changed))
    finding = tables.finding
    facts = connection.execute(select(finding.c.facts).where(finding.c.record == row["record"])).scalar()
    words = words_of(told, Facts(**json.loads(facts)), body["installer"])
    connection.execute(update(finding).where(finding.c.record == row["record"]).values(words=words))
    return {**body, "record": told}


@pytest.fixture
def printed(store, firm, other):
    """Three papers' heads, as they were printed."""
    other.issued()
    return [store.records.get(firm.id, firm.issued().record) for _ in range(3)]


def test_a_printed_head_stands_in_the_log_it_was_printed_from(store, firm, printed):
    for record in printed:
        (entry,) = store.log.standing(record.previous_head)
        assert (entry.organisation, entry.digest) == (firm.id, record.previous_head)
    spaced = f" {printed[1].previous_head[:10].upper()} {printed[1].previous_head[10:20]}"
    assert [entry.digest for entry in store.log.standing(spaced)] == [printed[1].previous_head]
    assert store.log.standing("f" * 64) == []


@pytest.mark.parametrize("typed", ["", "abc", "0123456789abcdeg", "a" * 65, "%" * 20])
def test_what_is_no_head_is_refused(store, firm, typed):
    with pytest.raises(archive.Invalid, match="head: 16 to 64"):
        store.log.standing(typed)


def test_a_chain_made_anew_verifies_and_its_printed_heads_stand_no_more(store, firm, printed):
    attack(store, firm, printed[1].id, b'{"outcome":"better"}')
    _mend_word_index(store)
    assert store.verify().faults == (), "the attack fits together: that is its point"
    assert store.records.get(firm.id, printed[1].id).report == b'{"outcome":"better"}'
    stands = [bool(store.log.standing(record.previous_head)) for record in printed]
    assert stands == [True, True, False]


def _mend_word_index(store):
    with store.database.write() as connection:
        connection.exec_driver_sql("INSERT INTO finding_words(finding_words) VALUES ('rebuild')")


def test_the_command_says_whether_a_head_stands(store, firm, printed, folder, monkeypatch, capsys):
    monkeypatch.setenv("HEATERAPP_DATA", str(folder))
    monkeypatch.delenv("HEATERAPP_DATABASE_URL", raising=False)
    head = printed[2].previous_head
    assert main(["verify", "--head", head]) == 0
    assert "This head stands: entry" in capsys.readouterr().out
    attack(store, firm, printed[1].id, b'{"outcome":"better"}')
    _mend_word_index(store)
    assert main(["verify", "--head", head]) == 1
    said = capsys.readouterr()
    assert "no fault" in said.out
    assert "stands NOWHERE in the log" in said.err
    assert main(["verify", "--head", "twelve"]) == 2


def test_a_copy_from_before_the_attack_still_knows_the_head(store, firm, printed, folder, tmp_path):
    with store.database.engine.connect() as connection:
        connection.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)").all()
    (tmp_path / "copy").mkdir()
    shutil.copy(folder / "archive.sqlite3", tmp_path / "copy" / "archive.sqlite3")
    attack(store, firm, printed[0].id, b'{"outcome":"better"}')
    kept = archive.open_store(data_dir=tmp_path / "copy", upgrade=False)
    assert [bool(kept.log.standing(record.previous_head)) for record in printed] == [True] * 3
    kept.close()
