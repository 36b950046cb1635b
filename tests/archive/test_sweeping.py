"""What a sweep looks up is written with the record, held by verify, and goes with an erasure."""

import json
import sqlite3
from contextlib import closing

import pytest
from sqlalchemy import delete, select, update

from heaterapp.archive import dialect, office_tables
from heaterapp.archive.sweeping import amiss_of, marks_of

JOB = {
    "heater_maker": "Acme Heat", "heater_model": "WH-40 T", "heater_serial": "AB-0012345",
    "expansion_device": "tank", "expansion_tank_gal": "4.4", "place": "us_ca_2022", "work_date": "2026-03-13",
}  # fmt: skip
REPORT = {
    "outcome": "fix",
    "findings": [
        {"check": "pan.depth", "kind": "rule", "verdict": "fails"},
        {"check": "pan.depth", "kind": "advice", "verdict": "fails"},
        {"check": "gas.shutoff", "kind": "rule", "verdict": "meets"},
        {"check": "seismic.gap_blocked", "kind": "rule", "verdict": "authority"},
        {"check": "relief.air_gap", "kind": "rule", "verdict": "silent"},
    ],
}
SWEPT = ("sweep", "sweep_finding")


def packed(content):
    return json.dumps(content).encode()


@pytest.fixture
def record(firm):
    return firm.issued(job=packed(JOB), report=packed(REPORT)).record


def rows(store, table):
    with store.database.read() as connection:
        return [tuple(row) for row in connection.execute(select(table).order_by(*table.primary_key))]


def altered(store, statement):
    """Run a statement past the guards, as damage would."""
    with store.database.write() as connection:
        for drop in dialect.drop_guards("sqlite", SWEPT):
            connection.exec_driver_sql(drop)
        connection.execute(statement)
        for guard in dialect.guards("sqlite", SWEPT).values():
            connection.exec_driver_sql(guard)


def test_the_rows_are_written_with_the_record(store, firm, record):
    (row,) = rows(store, office_tables.sweep)
    assert row == (record, firm.id, "ACMEHEAT", "WH40T", "AB0012345", "4.4", "us_ca_2022", "2026-03-13")
    assert [(check, verdict) for _, check, verdict, _ in rows(store, office_tables.sweep_finding)] == [
        ("pan.depth", "advice"), ("pan.depth", "fails"), ("seismic.gap_blocked", "authority"),
    ]  # fmt: skip
    assert store.verify().ok


def test_content_that_says_nothing_gives_empty_marks(store, firm):
    firm.issued(job=b"no json", report=b"[1]")
    assert rows(store, office_tables.sweep)[0][2:] == ("", "", "", "", "", "")
    assert rows(store, office_tables.sweep_finding) == []
    assert store.verify().ok


@pytest.mark.parametrize("column", ["maker", "model", "serial", "expansion_tank", "place", "worked_on"])
def test_a_changed_mark_is_found(store, record, column):
    altered(store, update(office_tables.sweep).values({column: "X"}))
    assert [str(one) for one in store.verify().faults] == [
        f"sweep record {record} {column}: is not that of the record's content"
    ]


@pytest.mark.parametrize("column", ["check_name", "verdict"])
def test_a_changed_finding_is_found(store, record, column):
    table = office_tables.sweep_finding
    altered(store, update(table).where(table.c.verdict == "authority").values({column: "X"}))
    assert {(one.table, one.row) for one in store.verify().faults} == {("sweep_finding", f"record {record}")}


def test_a_row_that_is_gone_is_found(store, record):
    altered(store, delete(office_tables.sweep))
    assert [str(one) for one in store.verify().faults] == [f"sweep record {record} record: missing"]


def test_a_row_of_no_record_is_found(store, firm, record, folder):
    with closing(sqlite3.connect(folder / "archive.sqlite3")) as past:
        past.execute("INSERT INTO sweep_finding VALUES (?, 'pan.depth', 'fails', 99)", (firm.id,))
        past.commit()
    assert [(one.table, one.row) for one in store.verify().faults] == [("sweep_finding", "record 99")]


def test_an_erasure_takes_the_rows_along_and_a_left_one_is_found(store, firm, record):
    kept = rows(store, office_tables.sweep)
    store.erase(firm.id, record, firm.office.id, "asked for")
    assert rows(store, office_tables.sweep) == rows(store, office_tables.sweep_finding) == []
    assert store.verify().ok
    columns = [column.name for column in office_tables.sweep.c]
    altered(store, office_tables.sweep.insert().values(dict(zip(columns, kept[0], strict=True))))
    assert [one.what for one in store.verify().faults] == ["is still there after the erasure"]


def test_rows_are_never_changed_by_the_way(store, record):
    for statement in (update(office_tables.sweep).values(model="X"), delete(office_tables.sweep_finding)):
        with pytest.raises(Exception, match="never changed"), store.database.write() as connection:
            connection.execute(statement)


def test_older_records_get_their_rows_when_the_archive_is_brought_up_to_date(store, firm, record):
    gone = firm.issued(job=packed({"heater_serial": "gone"})).record
    store.erase(firm.id, gone, firm.office.id, "asked for")
    before = [rows(store, table) for table in (office_tables.sweep, office_tables.sweep_finding)]
    store.database.downgrade("0004")
    store.database.upgrade()
    assert [rows(store, table) for table in (office_tables.sweep, office_tables.sweep_finding)] == before
    assert store.verify().ok


def test_what_was_not_measured_and_what_is_not_there_is_no_mark():
    said = {"heater_serial": {"could_not_measure": "worn"}, "heater_model": "not_here", "heater_maker": 7}
    assert set(marks_of(packed(said)).values()) == {""}
    left_over = {"expansion_device": "none", "expansion_tank_gal": "2"}
    assert marks_of(packed(left_over))["expansion_tank"] == ""


def test_findings_of_any_shape_are_read():
    odd = {
        "findings": [1, {"check": 2, "verdict": "fails"}, {"check": "a.b"}, {"check": "a.b", "verdict": []}]
    }
    assert [amiss_of(packed(one)) for one in (odd, {"findings": {}}, [])] == [frozenset()] * 3
    assert amiss_of(None) == frozenset()
