"""A recall's questions: which addresses have this model, serial range, tank or finding; each firm its own."""

import json

import pytest
from sqlalchemy import event

from heaterapp.archive import Facts, Invalid, NotFound
from heaterapp.archive.sweeps import Sought

FOUND = [{"check": "pan.depth", "kind": "rule", "verdict": "fails"}]


@pytest.fixture
def put(firm):
    """Issue one record of a new job with these answers; gives its id."""

    def one(findings=(), of=firm, kind="certificate", **answers):
        facts = Facts(
            address=f"{answers.get('heater_serial', '1')} Oak Ave",
            owner="Mina Park",
            serial=answers.get("heater_serial", ""),
        )
        job = {"place": "us_ca_2022", "work_date": "2026-03-13", **answers}
        report = json.dumps({"findings": list(findings)}).encode()
        return of.issued(
            job=json.dumps(job).encode(), report=report, facts=facts, kind=kind, job_id=of.new_job().id
        ).record

    return one


@pytest.fixture
def seek(store, firm):
    def found(**sought):
        lines, _ = store.sweeps.find(firm.id, Sought(**sought))
        assert store.sweeps.count(firm.id, Sought(**sought)) == len(lines)
        return [line.record for line in lines]

    return found


def test_a_model_is_found_by_how_it_begins_with_or_without_its_maker(put, seek):
    first = put(heater_maker="Acme Heat", heater_model="WH-40T")
    second = put(heater_maker="Acme Heat", heater_model="WH-50T")
    put(heater_maker="Other", heater_model="X-WH-40T")
    assert seek(model="wh 40") == [first]
    assert seek(model="WH") == [second, first]
    assert seek(model="acme heat wh-4") == [first]
    assert seek(model="ACME") == [second, first]
    assert seek(model="W%") == [second, first]
    assert seek(model="h-40") == []
    assert seek(model="acme heat") == [second, first]
    assert seek(model="acme heat wh-40tx") == seek(model="acme wh") == []
    assert seek(model="Z" * 400) == []


def test_a_model_is_found_without_a_walk_of_the_firms_sweeps(store, firm, put):
    put(heater_model="WH-40T")
    said = []
    event.listen(store.database.engine, "before_cursor_execute", lambda *told: said.append(told[2:4]))
    store.sweeps.find(firm.id, Sought(model="wh"))
    [(asked, values)] = [one for one in said if "sweep" in one[0]]
    with store.database.engine.connect() as connection:
        if store.database.engine.dialect.name == "sqlite":
            steps = [row[3] for row in connection.exec_driver_sql(f"EXPLAIN QUERY PLAN {asked}", values)]
            looks = [step for step in steps if "sweep" in step]
            assert any("model>?" in step for step in looks), looks
            assert all("model>?" in step or "maker>?" in step or "rowid=?" in step for step in looks), looks
            return
        # Without others beside it any index of the firm's is as good; these are never kept.
        connection.exec_driver_sql("SET LOCAL session_replication_role = replica")
        connection.exec_driver_sql(
            f"INSERT INTO sweep (record, organisation, maker, model, serial, expansion_tank, place, worked_on)"
            f" SELECT n, {firm.id}, 'M' || n, 'M' || n, 'S' || n, '', '', '' FROM generate_series(9000, 14000) n"
        )
        connection.exec_driver_sql("ANALYZE sweep")
        steps = [row[0] for row in connection.exec_driver_sql(f"EXPLAIN {asked}", values)]
    looks = [step for step in steps if "Index Cond" in step and ">= 'WH'" in step]
    assert ["model" in step for step in looks] == [True, False], "\n".join(steps)
    assert not [step for step in steps if "Seq Scan on sweep" in step]


def test_a_range_holds_the_serials_of_its_length_between_its_ends(put, seek):
    inside = [put(heater_serial=serial) for serial in ("AB-0100", "ab0150", "AB 0199")]
    for serial in ("AB0099", "AB0200", "AB150", "AB01500", "AC0150", "0150"):
        put(heater_serial=serial)
    assert seek(serial_from="AB0100", serial_to="ab-0199") == inside[::-1]
    assert seek(serial_from="ab0150", serial_to="AB0150") == [inside[1]]
    assert seek(serial_to="0150") == seek(serial_from="0150", serial_to="0150")
    assert seek(serial_from="AB0199") == seek(serial_to="ab0199") == [inside[2]]
    letters = [put(heater_serial=serial) for serial in ("7K0001", "7K000A")]
    assert seek(serial_from="7K0001", serial_to="7K000Z") == letters[::-1]


def test_digits_alone_are_found_at_the_end_of_serials(put, seek):
    inside = [put(heater_serial=serial) for serial in ("LW26K0041877", "ab-41000", "41999", "7X041500")]
    for serial in ("LW26K0042000", "LW41877K", "AB40999", "AB4187A"):
        put(heater_serial=serial)
    assert seek(serial_from="41000", serial_to="41999") == [inside[2]]
    assert seek(serial_from="41000", serial_to="41999", serial_ends=True) == inside[::-1]
    assert seek(serial_from="0041877", serial_ends=True) == [inside[0]]
    assert seek(serial_from="AB41000", serial_to="AB41000", serial_ends=True) == [inside[1]]


@pytest.mark.parametrize(
    ("sought", "field"),
    [
        ({"serial_from": "AB0100", "serial_to": "AB01990"}, "serial_to"),
        ({"serial_from": "AB0200", "serial_to": "AB0100"}, "serial_to"),
        ({"serial_from": "--"}, "serial_from"),
        ({"model": "/"}, "model"),
        ({"verdict": "meets"}, "verdict"),
        ({"day_from": "14.3.2026"}, "day_from"),
        ({"day_to": "2026-02-30"}, "day_to"),
    ],
)
def test_what_cannot_be_sought_names_its_field(store, firm, sought, field):
    for ask in (store.sweeps.find, store.sweeps.count):
        with pytest.raises(Invalid) as refused:
            ask(firm.id, Sought(**sought))
        assert refused.value.field == field


def test_tanks_places_days_and_findings(put, seek):
    tank = put(expansion_device="tank", expansion_tank_gal="4.4")
    none = put(expansion_device="none", expansion_tank_gal="4.4", place="port_larkin", work_date="2025-01-02")
    amiss = put(findings=FOUND, heater_serial="9", work_date="")
    advised = put(findings=[{**FOUND[0], "kind": "advice"}])
    assert seek(expansion_tank="4.4") == [tank]
    assert seek(place="port_larkin") == [none]
    assert seek(day_from="2025-01-02", day_to="2025-01-02") == [none]
    assert seek(day_from="2026-03-14", day_to="2026-03-14") == [amiss]
    assert seek(check="pan.depth") == [advised, amiss]
    assert seek(check="pan.depth", verdict="fails") == [amiss]
    assert seek(verdict="advice") == [advised]
    assert seek(check="gas.shutoff") == []
    assert seek(check="pan.depth", expansion_tank="4.4") == []


def test_only_what_is_current_and_finished_unless_asked(store, firm, put, seek):
    put(heater_serial="A1")
    gone = put(heater_serial="A1")
    store.void(firm.id, gone, firm.office.id, "wrong house")
    job = json.dumps({"heater_serial": "A1"}).encode()
    old = firm.issued(job=job).record
    new = firm.issued(job=job).record
    store.issue(firm.wish(job=job, job_id=firm.new_job().id))
    assert new in seek(serial_from="A1")
    # A void paper with nothing in its place: the heater still hangs.
    assert (gone in seek(serial_from="A1"), old in seek(serial_from="A1")) == (True, False)
    assert store.sweeps.count(firm.id, Sought(serial_from="A1"), void=True) == 1
    assert {gone, old, new} <= set(seek(serial_from="A1", current=False))
    assert len(seek(serial_from="A1", current=False)) == 4


def test_pages_follow_each_other_without_gap_or_repetition(store, firm, put):
    ids = [put(heater_serial=f"AB{at}") for at in range(5)]
    pages, after = [], None
    while True:
        lines, after = store.sweeps.find(firm.id, Sought(serial_from="AB0", serial_to="AB9"), after, 2)
        pages.append([line.record for line in lines])
        if after is None:
            break
    assert pages == [ids[:2:-1], ids[2:0:-1], ids[:1]]
    assert [line.record for line in store.sweeps.find(firm.id, Sought(), 2**70, 2000)[0]] == ids[::-1]


def test_whom_to_write_to_comes_from_the_paper_and_the_desk(store, firm, put):
    record = put(heater_serial="AB0012")
    (line,), _ = store.sweeps.find(firm.id, Sought(serial_from="AB0012"))
    assert (line.address, line.owner, line.serial, line.phone) == (
        "AB0012 Oak Ave",
        "Mina Park",
        "AB0012",
        "",
    )
    facts = {"contact_name": "Lee Park", "contact_phone": "555-0142", "contact_email": "lee@example.com"}
    store.desk.save(firm.id, firm.office.id, line.job_id, facts=facts)
    (line,), _ = store.sweeps.find(firm.id, Sought(serial_from="AB0012"))
    assert (line.contact, line.phone, line.email) == ("Lee Park", "555-0142", "lee@example.com")
    store.erase(firm.id, record, firm.office.id, "asked for")
    assert store.sweeps.find(firm.id, Sought(serial_from="AB0012"), None) == ([], None)


def test_a_foreign_firm_finds_nothing_of_it(store, firm, other, put):
    put(findings=FOUND, heater_serial="AB0012")
    assert store.sweeps.find(other.id, Sought(serial_from="AB0012", current=False)) == ([], None)
    assert store.sweeps.count(other.id, Sought()) == 0
    assert (store.sweeps.checks(other.id), store.sweeps.checks(firm.id)) == ([], ["pan.depth"])


def test_letters_and_lists_are_acts_of_a_named_person(store, firm, other):
    sought = Sought(model="WH-40", serial_from="A1", serial_to="A9")
    store.sweeps.note(firm.id, firm.office.id, "letters", sought, 12)
    (entry,) = [one for one in store.log.entries(firm.id) if one.act == "sweep"]
    assert entry.actor == firm.office.id
    assert json.loads(entry.body) == {
        "count": 12, "form": "letters",
        "sought": {"current": True, "model": "WH-40", "serial_from": "A1", "serial_to": "A9"},
    }  # fmt: skip
    with pytest.raises(NotFound):
        store.sweeps.note(other.id, firm.office.id, "list", sought, 1)
    with pytest.raises(Invalid):
        store.sweeps.note(firm.id, firm.office.id, "mail", sought, 1)
    assert store.verify().ok


def test_the_serial_of_one_heater_goes_from_the_log_with_its_job(store, firm, put):
    record = put(heater_serial="LW26K0041877")
    for serial in ("twice01", "twice01", "AB0100"):
        put(heater_serial=serial)
    job = store.records.get(firm.id, record).job_id
    for sought in (
        Sought(model="WH", serial_from="LW26K-0041877"), Sought(serial_from="0041877", serial_ends=True),
        Sought(serial_from="LW26K0041877", serial_to="LW26K0041999"),
        Sought(serial_from="AB0000", serial_to="AB0099"), Sought(serial_from="Twice-01"), Sought(serial_to="ZZ9"),
    ):  # fmt: skip
        store.sweeps.note(firm.id, firm.office.id, "list", sought, 1)
    entries = [one for one in store.log.entries(firm.id) if one.act == "sweep"]
    assert [one.said for one in entries] == [
        {"serial_from": "LW26K-0041877"}, {"serial_from": "0041877"}, {"serial_from": "LW26K0041877"},
        {}, {"serial_from": ""}, {"serial_to": ""},
    ]  # fmt: skip
    bodies = "".join(one.body for one in entries)
    assert not any(serial in bodies for serial in ("0041877", "Twice", "ZZ9"))
    assert "LW26K0041999" in bodies
    assert "AB0000" in bodies
    store.erase_job(firm.id, job, firm.office.id, "asked by the owner")
    entries = [one for one in store.log.entries(firm.id) if one.act == "sweep"]
    assert "0041877" not in repr(entries)
    assert store.verify().ok


def _once_before_writing(store, monkeypatch, act):
    """Do this in the moment between the look and the note's own transaction."""
    write = store.database.write

    def later(*given, **named):
        monkeypatch.setattr(store.database, "write", write)
        act()
        return write(*given, **named)

    monkeypatch.setattr(store.database, "write", later)


@pytest.mark.parametrize("whole_job", [True, False])
def test_a_heater_erased_between_the_look_and_the_note_leaves_no_serial(
    store, firm, put, monkeypatch, whole_job
):
    record = put(heater_serial="LW26K0041877")
    job, office = store.records.get(firm.id, record).job_id, firm.office.id
    erase = (
        (lambda: store.erase_job(firm.id, job, office, "asked by the owner"))
        if whole_job
        else (lambda: store.erase(firm.id, record, office, "asked by the owner"))
    )
    _once_before_writing(store, monkeypatch, erase)
    store.sweeps.note(firm.id, office, "list", Sought(serial_from="0041877", serial_ends=True), 1)
    (entry,) = [one for one in store.log.entries(firm.id) if one.act == "sweep"]
    assert store.log.newest(firm.id, act="sweep")[0].said == {"serial_from": ""}
    assert "0041877" not in repr(store.log.newest(firm.id, act="sweep")) + entry.body
    assert store.verify().ok


def test_the_heater_is_looked_for_before_the_note_makes_others_wait(store, firm, put, monkeypatch):
    put(heater_serial="LW26K0041877")
    asked = []

    def seen(connection, _cursor, statement, *_):
        asked.append((bool(connection.get_execution_options().get("writes")), statement))

    event.listen(store.database.engine, "before_cursor_execute", seen)
    try:
        sought = Sought(serial_from="0041877", serial_to="0041999", serial_ends=True)
        store.sweeps.note(firm.id, firm.office.id, "list", sought, 1)
    finally:
        event.remove(store.database.engine, "before_cursor_execute", seen)
    looks = [writing for writing, statement in asked if "rtrim" in statement]
    assert looks == [False, False]
    assert any(writing for writing, _ in asked)


def test_houses_and_jobs_without_a_paper_are_told_alike_by_both_databases(put, store, firm):
    first = put(heater_serial="AB01", heater_model="WH")
    second = put(heater_serial="AB02", heater_model="WH")
    draft = store.jobs.create(firm.id, None, {"heater_model": "WH-2", "heater_serial": "ab 03"}).id
    asked = Sought(model="wh", current=False)
    assert [one.job_id for one in store.sweeps.at_desk(firm.id, asked)] == [draft]
    assert store.sweeps.at_desk(firm.id, Sought(serial_from="AB01", serial_to="AB02")) == []
    assert (store.sweeps.addresses(firm.id, asked), store.sweeps.addresses(firm.id, asked, True)) == (2, 3)
    houses, following = store.sweeps.houses(firm.id, asked, True, limit=1)
    assert [[one.record for one in house] for house in houses] == [[second]]
    houses, following = store.sweeps.houses(firm.id, asked, True, following, limit=1)
    assert [[one.job_id for one in house] for house in houses][1:] == [[draft]]
    assert (houses[0][0].record, following) == (first, None)
