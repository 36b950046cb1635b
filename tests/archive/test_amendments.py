"""An organisation's own amendments: versions are added, never changed; they stand in the chained log."""

import sqlite3

import pytest

from heaterapp.archive import Invalid, NotFound

SET = {"name": "larkin", "title": "Port Larkin amendments", "clauses": {"supply.pressure_limit": {"limit": "70"}}}


def test_every_save_is_a_new_version_and_the_old_stays(store, firm):
    first = store.amendments.save(firm.id, firm.office.id, SET)
    second = store.amendments.save(firm.id, firm.office.id, {**SET, "title": "Anew"}, after=1)
    assert (first.version, second.version) == (1, 2)
    assert [one.stored["title"] for one in store.amendments.versions(firm.id, "larkin")] == [
        "Anew",
        "Port Larkin amendments",
    ]
    assert store.amendments.current(firm.id) == [second]
    assert second.stored["version"] == 2
    assert second.by == firm.office.id
    assert store.verify().ok


def test_two_who_began_at_the_same_version_do_not_write_over_each_other(store, firm, at_once):
    store.amendments.save(firm.id, firm.office.id, SET)
    done, refused = at_once(4, lambda _: store.amendments.save(firm.id, firm.office.id, SET, after=1))
    assert [one.version for one in done if one] == [2]
    assert len(refused) == 3
    assert all(isinstance(one, Invalid) and one.field == "version" for one in refused)


def test_withdrawn_is_out_of_use_and_still_readable(store, firm):
    store.amendments.save(firm.id, firm.office.id, SET)
    store.amendments.withdraw(firm.id, firm.office.id, "larkin", 1)
    assert store.amendments.current(firm.id) == []
    newest, first = store.amendments.versions(firm.id, "larkin")
    assert newest.withdrawn
    assert first.stored["clauses"] == SET["clauses"]
    assert store.verify().ok


@pytest.mark.parametrize(
    ("given", "field"),
    [
        ({**SET, "name": ""}, "name"),
        ({**SET, "name": 7}, "name"),
        ({**SET, "says": "x" * 50_000}, "amendments"),
        ({**SET, "says": float("nan")}, "amendments"),
    ],
)
def test_what_cannot_be_kept_is_refused_by_name(store, firm, given, field):
    with pytest.raises(Invalid) as refusal:
        store.amendments.save(firm.id, firm.office.id, given)
    assert refusal.value.field == field
    assert store.amendments.current(firm.id) == []


def test_another_firm_sees_and_changes_nothing(store, firm, other):
    store.amendments.save(firm.id, firm.office.id, SET)
    assert store.amendments.current(other.id) == []
    with pytest.raises(NotFound):
        store.amendments.versions(other.id, "larkin")
    with pytest.raises(NotFound):
        store.amendments.withdraw(other.id, other.office.id, "larkin", 1)
    with pytest.raises(NotFound):
        store.amendments.save(firm.id, other.office.id, SET, after=1)
    assert store.amendments.save(other.id, other.office.id, SET).version == 1


def test_the_database_refuses_to_change_a_version_and_verify_names_one_that_was(store, firm, folder):
    store.amendments.save(firm.id, firm.office.id, SET)
    file = sqlite3.connect(folder / "archive.sqlite3")
    change = "UPDATE log SET body = replace(body, '70', '90') WHERE act = 'amend'"
    with pytest.raises(sqlite3.Error):
        file.execute(change)
    for (name,) in file.execute(
        "SELECT name FROM sqlite_master WHERE type = 'trigger' AND tbl_name = 'log'"
    ).fetchall():
        file.execute(f"DROP TRIGGER {name}")
    file.execute(change)
    file.commit()
    file.close()
    assert any(fault.table == "log" and fault.field == "entry" for fault in store.verify().faults)
