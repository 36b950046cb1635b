"""Any one flipped bit of any stored row is found and named."""

import random
import sqlite3

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from heaterapp.archive import tables
from heaterapp.archive.canonical import salted
from heaterapp.archive.dialect import guards, word_index

VOUCHED = (*tables.RECORDED, "share", "pending", "log_head", "counter")


class Tamperer:
    """Somebody who owns the file: takes the guards away, flips one bit, puts the guards back."""

    def __init__(self, path):
        self.raw = sqlite3.connect(path, isolation_level=None)
        self.raw.text_factory = bytes
        self.raw.execute("PRAGMA synchronous=OFF")
        self.guards = guards("sqlite", tables.RECORDED)
        self.index = {name: sql for name, sql in word_index("sqlite").items() if "TRIGGER" in sql}

    def rows(self, table):
        return [row[0] for row in self.raw.execute(f"SELECT rowid FROM {table} ORDER BY rowid")]

    def columns(self, table):
        return [row[1].decode() for row in self.raw.execute(f"PRAGMA table_info({table})")]

    def value(self, table, row, column):
        return self.raw.execute(f"SELECT {column} FROM {table} WHERE rowid = ?", (row,)).fetchone()[0]

    def write(self, table, row, column, value):
        """Write as the type the value had: bytes stand for text except in blob columns."""
        blob = (table, column) in {("payload", "body"), ("payload", "salt"), ("ruleset", "body")}
        shown = "?" if blob or not isinstance(value, bytes) else "CAST(? AS TEXT)"
        own = {name: sql for name, sql in (self.guards | self.index).items() if f" ON {table} " in sql}
        self.raw.execute("BEGIN IMMEDIATE")
        for name in own:
            self.raw.execute(f"DROP TRIGGER {name}")
        try:
            self.raw.execute(f"UPDATE {table} SET {column} = {shown} WHERE rowid = ?", (value, row))
        finally:
            for statement in own.values():
                self.raw.execute(statement)
            self.raw.execute("COMMIT")

    def close(self):
        self.raw.close()


def flipped(value, bit):
    if isinstance(value, int):
        return value ^ (1 << bit % 8)
    at = bit // 8 % len(value)
    return value[:at] + bytes([value[at] ^ (1 << bit % 8)]) + value[at + 1 :]


@pytest.fixture
def filled(store, firm, other):
    """Two firms, each kind, a superseded record, an erased one, shares, and one unfinished."""
    first = firm.issued()
    firm.issued(reason="serial read again")
    firm.issued(kind="correction_list", job_id=firm.new_job().id)
    gone = firm.issued(job_id=firm.new_job().id, ruleset_digest="ruleset-2", ruleset_zip=b"newer rules")
    other.issued(kind="findings_report")
    store.shares.make(firm.id, first.record, firm.office.id)
    _, share = store.shares.make(other.id, 5, None, store.database.clock())
    store.shares.revoke(other.id, share.id)
    store.erase(firm.id, gone.record, firm.office.id, "owner asked")
    store.issue(other.wish(job_id=other.new_job().id))
    return store


@pytest.fixture
def tamperer(filled, folder):
    made = Tamperer(folder / "archive.sqlite3")
    yield made
    made.close()


def _named(store, table):
    return [fault for fault in store.verify().faults if fault.table == table]


def test_an_untouched_archive_has_no_fault(filled):
    verified = filled.verify()
    assert verified.faults == ()
    assert verified.ok
    assert (verified.records, verified.rulesets, verified.shares) == (6, 3, 2)
    assert verified.entries == len(filled.log.entries(1)) + len(filled.log.entries(2))


def test_every_column_of_every_vouched_table(filled, tamperer):
    """One bit in each column, of the first and the last row that has something in it; then whole again.

    `python tests/archive/bit_flips.py` does so in thousands of rows.
    """
    draw, tried = random.Random(1), {}
    for table in VOUCHED:
        for column in tamperer.columns(table):
            said = [row for row in tamperer.rows(table) if tamperer.value(table, row, column) not in (None, b"")]
            tried[table, column] = sum(
                _flip_and_look(filled, tamperer, table, column, row, draw.randrange(10**6))
                for row in dict.fromkeys(said[:1] + said[-1:])
            )
    assert all(tried.values()), [column for column, count in tried.items() if not count]
    assert filled.verify().ok


def _flip_and_look(store, tamperer, table, column, row, bit):
    value = tamperer.value(table, row, column)
    if value is None or value == b"":
        return 0
    try:
        tamperer.write(table, row, column, flipped(value, bit))
    except sqlite3.IntegrityError:
        return 0  # the flip would make two rows with one key: not a state the file can be in
    moved = tamperer.raw.execute(f"SELECT 1 FROM {table} WHERE rowid = ?", (row,)).fetchone() is None
    now_at = flipped(row, bit) if moved else row
    faults = _named(store, table)
    tamperer.write(table, now_at, column, value)
    assert faults, f"{table}.{column} of row {row}, bit {bit}, was not found"
    return 1


@given(data=st.data())
@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_random_bits_of_random_rows(filled, tamperer, data):
    table = data.draw(st.sampled_from(VOUCHED))
    column = data.draw(st.sampled_from(tamperer.columns(table)))
    row = data.draw(st.sampled_from(tamperer.rows(table)))
    _flip_and_look(filled, tamperer, table, column, row, data.draw(st.integers(0, 10**5)))


@pytest.mark.parametrize("name", ["job", "report", "signature", "facts", "context", "certificate.pdf"])
@pytest.mark.parametrize("column", ["body", "salt"])
def test_content_is_named_by_record_and_part(filled, tamperer, name, column):
    row = tamperer.raw.execute("SELECT rowid FROM payload WHERE record = 2 AND name = ?", (name,)).fetchone()[
        0
    ]
    for bit in (0, 77, 4096):
        value = tamperer.value("payload", row, column)
        tamperer.write("payload", row, column, flipped(value, bit))
        assert [(fault.row, fault.field) for fault in _named(filled, "payload")] == [
            (f"record 2 {name}", "body or salt")
        ]
        tamperer.write("payload", row, column, value)


@pytest.mark.parametrize("column", ["number", "job_id", "issued_at", "issued_by", "revision", "check_code"])
def test_a_record_s_field_is_named(filled, tamperer, column):
    tamperer.write("record", 1, column, flipped(tamperer.value("record", 1, column), 9))
    assert [(fault.row, fault.field) for fault in _named(filled, "record")] == [("record 1", column)]


def test_a_ruleset_is_named(filled, tamperer):
    tamperer.write("ruleset", 1, "body", flipped(tamperer.value("ruleset", 1, "body"), 5))
    assert [str(fault) for fault in filled.verify().faults] == [
        "ruleset organisation 1 ruleset-1 body: does not match its digest in the log"
    ]


@pytest.mark.parametrize("column", ["at", "act", "body"])
def test_a_log_entry_is_named(filled, tamperer, column):
    tamperer.write("log", 2, column, flipped(tamperer.value("log", 2, column), 3))
    assert ("organisation 1 entry 2", "entry") in [
        (fault.row, fault.field) for fault in _named(filled, "log")
    ]


def test_a_removed_entry_breaks_the_chain_by_name(filled, tamperer):
    tamperer.raw.execute("DROP TRIGGER keep_log_delete")
    tamperer.raw.execute("DELETE FROM log WHERE organisation = 1 AND seq = 3")
    tamperer.raw.execute(tamperer.guards["keep_log_delete"])
    found = {(fault.row, fault.field) for fault in _named(filled, "log")}
    assert found == {("organisation 1 entry 4", "seq"), ("organisation 1 entry 4", "previous")}


def test_a_cut_off_tail_is_found(filled, tamperer):
    tamperer.raw.execute("DROP TRIGGER keep_log_delete")
    tamperer.raw.execute(
        "DELETE FROM log WHERE organisation = 2 AND seq = (SELECT max(seq) FROM log WHERE organisation = 2)"
    )
    tamperer.raw.execute(tamperer.guards["keep_log_delete"])
    assert {fault.field for fault in _named(filled, "log_head")} == {"seq", "digest"}
    assert _named(filled, "record")[0].what == "no such record in this organisation's log"


@pytest.mark.parametrize(
    ("table", "where"),
    [("record", "id = 2"), ("payload", "record = 2 AND name = 'job'"), ("submission", "record = 2"),
     ("finding", "record = 2"), ("ruleset", "organisation = 1"), ("share", "id = 1"), ("pending", "1"),
     ("counter", "organisation = 1"), ("log_head", "organisation = 1")],
)  # fmt: skip
def test_a_removed_row_is_found(filled, tamperer, table, where):
    for name in (*tamperer.guards, *tamperer.index):
        tamperer.raw.execute(f"DROP TRIGGER {name}")
    tamperer.raw.execute(f"DELETE FROM {table} WHERE {where}")
    for statement in (*tamperer.guards.values(), *tamperer.index.values()):
        tamperer.raw.execute(statement)
    assert _named(filled, table)


def test_an_added_row_is_found(filled, tamperer):
    tamperer.raw.execute(
        "INSERT INTO payload SELECT organisation, record, 'extra.pdf', salt, body, digest"
        " FROM payload LIMIT 1"
    )
    assert [(fault.row, fault.what) for fault in _named(filled, "payload")] == [
        ("record 1 extra.pdf", "is not in the log")
    ]


def test_a_word_index_that_differs_from_its_rows_is_found(filled, tamperer):
    tamperer.raw.execute(
        "INSERT INTO finding_words(finding_words, rowid, words)"
        " SELECT 'delete', record, words FROM finding LIMIT 1"
    )
    assert _named(filled, "finding_words")


def test_a_rebuilt_chain_is_betrayed_by_a_printed_head(filled):
    """Whoever rebuilds the whole log cannot rebuild the heads printed on papers."""
    printed = filled.records.get(1, 2).previous_head
    assert printed in {entry.digest for entry in filled.log.entries(1)}


def test_an_id_that_is_no_text_any_more_has_a_digest_of_its_own():
    damaged = b"\xb3x".decode("utf-8", "surrogateescape")
    assert salted(b"salt", damaged, b"") not in {salted(b"salt", "3x", b""), salted(b"salt", "", b"")}
