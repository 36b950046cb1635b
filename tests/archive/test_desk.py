"""The desk: a job opened and changed by two people, permits that lapse, what a month asks, what is forgotten."""

import inspect
import json
from datetime import date

import pytest
from sqlalchemy import text

from heaterapp.archive import Erased, Invalid, NotFound, desk
from heaterapp.archive.desk_shapes import DeskConflict
from tests.archive.at_desk import OAK, TODAY, ago, key


def acts(store, firm):
    return [(one.act, json.loads(one.body)) for one in store.log.entries(firm.id)]


def test_opening_keeps_answers_and_facts_apart_and_may_be_repeated(store, firm, opened):
    made = opened(parcel_no="044-17", contact_name="Noor Haddad")
    assert made.job.answers == OAK
    assert made.facts == {"parcel_no": "044-17", "contact_name": "Noor Haddad"}
    assert opened(parcel_no="other").facts == made.facts
    [(act, body)] = acts(store, firm)
    assert act == "desk"
    assert "Haddad" not in json.dumps(body)
    assert "Mina" not in json.dumps(body)


@pytest.mark.parametrize(("name", "said", "expected"), [
    ("label_used_on", "3/14", "a date"), ("flood_related", "hm", "yes or no"), ("shoe_size", "43", "a fact"), ("parcel_no", "x" * 61, "at most"),
])  # fmt: skip
def test_a_fact_that_cannot_be_kept_is_named_and_nothing_is_opened(store, firm, opened, name, said, expected):
    with pytest.raises(Invalid, match=expected) as refused:
        opened(**{name: said})
    assert refused.value.field == name
    with pytest.raises(NotFound):
        store.desk.get(firm.id, key(1))


def test_two_people_at_once_the_second_is_told_who_changed_what(store, firm, opened):
    made = opened()
    same = {"revision": made.revision, "job_revision": made.job.revision}
    store.desk.save(
        firm.id,
        firm.office.id,
        made.job.id,
        facts={"parcel_no": "1"},
        answers={"owner_name": "Mina Park-Lee"},
        **same,
    )
    with pytest.raises(DeskConflict) as told:
        store.desk.save(
            firm.id,
            firm.installer.id,
            made.job.id,
            facts={"parcel_no": "2", "label_no": "7"},
            answers={"owner_name": "M. Park"},
            **same,
        )
    clash = told.value.clashes
    assert (clash["parcel_no"].stored, clash["parcel_no"].by) == ("1", firm.office.id)
    assert (clash["owner_name"].stored, clash["owner_name"].by) == ("Mina Park-Lee", firm.office.id)
    assert "label_no" not in store.desk.get(firm.id, made.job.id).facts
    other = store.desk.save(firm.id, firm.installer.id, made.job.id, facts={"label_no": "7"}, **same)
    assert (other.facts["parcel_no"], other.facts["label_no"]) == ("1", "7")


def test_reassigning_and_reopening_lose_no_answer(store, firm, opened):
    made = opened(installer=firm.installer.id)
    firm.store.issue_and_finish(firm.wish(job_id=made.job.id), lambda record: {"certificate.pdf": b"%PDF"})
    assert store.desk.get(firm.id, made.job.id).job.state == "issued"
    store.jobs.reopen(firm.id, made.job.id)
    given = store.desk.save(firm.id, firm.office.id, made.job.id, installer=None)
    assert (given.job.installer, given.job.state, given.job.answers) == (None, "draft", OAK)
    [line], _ = store.board.find(firm.id, on=TODAY, state="unassigned", text="mina")
    assert line.job_id == made.job.id


@pytest.mark.parametrize(
    ("days", "listed", "left"), [(149, False, 31), (150, True, 30), (180, True, 0), (181, True, -1)]
)
def test_a_permit_is_warned_of_from_its_150th_day(store, firm, opened, days, listed, left):
    opened(permit_issued_on=ago(days))
    found = store.board.to_do(firm.id, TODAY)["lapsing"].lines
    assert len(found) == listed
    [line] = store.desk.permits_to_expire(firm.id, TODAY, 400)
    assert (date.fromisoformat(line.permit_expires_on) - date.fromisoformat(TODAY)).days == left


def test_what_needs_doing_names_each_kind(store, firm, opened):
    opened(1)
    opened(2, installer=firm.installer.id, planned_on=ago(1))
    opened(3, installer=firm.installer.id, planned_on=ago(-1))
    opened(4, installer=firm.installer.id, permit_issued_on=ago(190))
    ahead = opened(5, installer=firm.installer.id).job
    later = opened(6, installer=firm.installer.id).job
    store.inspections.book(firm.id, firm.office.id, ahead.id, ago(-7), {})
    store.inspections.book(firm.id, firm.office.id, later.id, ago(-8), {})
    todo = store.board.to_do(firm.id, TODAY)
    assert [line.job_id for line in todo["unassigned"].lines] == [
        firm.job.id if line.installer else line.job_id for line in todo["unassigned"].lines
    ]
    assert key(1) in [line.job_id for line in todo["unassigned"].lines]
    assert key(2) in [line.job_id for line in todo["unsigned"].lines]
    assert key(3) not in [line.job_id for line in todo["unsigned"].lines]
    assert [line.job_id for line in todo["lapsing"].lines] == [key(4)]
    assert [line.job_id for line, _ in todo["booked"].lines] == [key(5)]


def test_jobs_are_found_loosely_and_paged_newest_first(store, firm, other, opened):
    for number in range(1, 8):
        opened(number, answers={**OAK, "address_street": f"{number} N. Oak Ave"})
    first, following = store.board.find(firm.id, "oak", on=TODAY, limit=5)
    rest, end = store.board.find(firm.id, "oak", on=TODAY, limit=5, after=following)
    assert [line.job_id for line in first + rest] == [key(number) for number in range(7, 0, -1)]
    assert end is None
    assert [line.job_id for line in store.board.find(firm.id, "3 north oak avenue", on=TODAY)[0]] == [key(3)]
    assert [line.job_id for line in store.board.find(firm.id, "3 oak st", on=TODAY)[0]] == [key(3)]
    opened(17, answers={**OAK, "address_street": "17 N. Oak Ave"})
    assert [line.job_id for line in store.board.find(firm.id, "1 oak", on=TODAY)[0]] == [key(1)]
    assert store.board.find(firm.id, "%", on=TODAY) == ([], None)
    assert store.board.find(other.id, "oak", on=TODAY) == ([], None)


def test_what_the_phone_or_the_jobs_page_saves_is_found_at_once(store, firm):
    store.jobs.save_answers(firm.id, firm.job.id, {"owner_name": "Theo Lindqvist", "work_date": ago(1)})
    [line] = store.board.find(firm.id, "lindqvist", on=TODAY)[0]
    assert (line.job_id, line.day) == (firm.job.id, ago(1))
    store.erase_job(firm.id, firm.job.id, firm.office.id, "never came about")
    assert store.board.find(firm.id, "lindqvist", on=TODAY)[0] == []


@pytest.mark.parametrize(("unit", "read"), [("3", "Unit 3"), ("Apt 3", "Apt 3")])
def test_a_bare_unit_is_read_with_its_word(store, firm, opened, unit, read):
    opened(answers={**OAK, "address_unit": unit})
    [line], _ = store.board.find(firm.id, "oak", on=TODAY)
    assert line.address == f"12 N. Oak Ave, {read}, Port Larkin"


def test_forgetting_leaves_no_text_of_a_job(store, firm, failed):
    job, told = failed
    store.desk.save(
        firm.id,
        firm.office.id,
        job.id,
        facts={"access_note": "Dog in the yard", "contact_name": "Noor Haddad"},
    )
    with store.database.write() as connection:
        desk.forget(connection, firm.id, job.id)
    with store.database.read() as connection:
        rows = [
            tuple(row)
            for table in ("desk", "desk_line", "inspection")
            for row in connection.execute(text(f"SELECT * FROM {table} WHERE job_id = '{job.id}'"))
        ]
    held = str(rows)
    for said in ("Dog", "Haddad", "Mina", "Oak", "oak", "uphill", "B. Cole", "Address not posted"):
        assert said not in held
    assert store.inspections.get(firm.id, told.id).items[0].check == "relief.pipe_falls"
    assert job.id not in str(store.board.to_do(firm.id, TODAY)["failed"])
    assert job.id not in [line.job_id for line in store.board.find(firm.id, on=TODAY)[0]]
    with pytest.raises(Erased):
        store.inspections.book(firm.id, firm.office.id, job.id, TODAY, {})
    assert store.verify().ok


def test_another_firm_has_none_of_it(store, firm, other, failed):
    """Every method of the desk that names an organisation is tried with another's job, inspection and person."""
    job, told = failed
    me, mine = other.id, other.office.id
    refused = {
        "get": lambda: store.desk.get(me, job.id),
        "save": lambda: store.desk.save(me, mine, job.id, facts={"parcel_no": "1"}),
        "open": lambda: store.desk.open(me, firm.office.id, key(9), OAK, {}),
        "book": lambda: store.inspections.book(me, mine, job.id, TODAY, {}),
        "move": lambda: store.inspections.move(me, mine, told.id, told.revision, TODAY, {}),
        "tell": lambda: store.inspections.tell(me, mine, told.id, told.revision, "passed", TODAY, {}),
        "mend": lambda: store.inspections.mend(me, mine, told.id, told.revision, []),
        "take_back": lambda: store.inspections.take_back(me, mine, told.id, told.revision, "why"),
        "second_visit": lambda: store.inspections.second_visit(me, mine, told.id),
        "open_again": lambda: store.waiting.open_again(me, mine, job.id),
        "get_inspection": lambda: store.inspections.get(me, told.id),
    }
    empty = {
        "of_job": lambda: store.inspections.of_job(me, job.id),
        "failed_first_inspections": lambda: store.desk.failed_first_inspections(
            me, "2026-03-01", "2026-03-31"
        ),
        "permits_to_expire": lambda: store.desk.permits_to_expire(me, TODAY, 400),
        "waiting_for_inspection": lambda: store.desk.waiting_for_inspection(me),
        "find": lambda: store.board.find(me, "oak", on=TODAY)[0],
        "to_do": lambda: any(listed.total for listed in store.board.to_do(me, TODAY).values()),
    }
    empty |= {
        "only_void": lambda: store.waiting.only_void(me, [job.id]),
        "since": lambda: store.waiting.since(me, [job.id]),
        "to_fix": lambda: store.waiting.to_fix(me, [job.id]),
        "booked_for": lambda: store.board.booked_for(me, [job.id]),
    }
    every = {
        name for part in (store.desk, store.board, store.inspections, store.waiting)
        for name, _ in inspect.getmembers(part, inspect.ismethod) if not name.startswith("_")
    }  # fmt: skip
    assert every == (set(refused) | set(empty)) - {"get_inspection"}
    before = store.log.head(me), store.log.head(firm.id)
    for name, ask in refused.items():
        with pytest.raises(NotFound):
            pytest.fail(f"{name} gave {ask()}")
    for name, ask in empty.items():
        assert not ask(), name
    assert (store.log.head(me), store.log.head(firm.id)) == before


def test_ids_that_no_row_could_have_are_nobody_s(store, firm):
    for absurd in (10**30, "1 OR 1=1", None):
        for ask in (
            lambda odd=absurd: store.desk.get(firm.id, odd),
            lambda odd=absurd: store.desk.get(odd, firm.job.id),
            lambda odd=absurd: store.inspections.get(firm.id, odd),
            lambda odd=absurd: store.desk.save(firm.id, odd, firm.job.id, facts={"parcel_no": "1"}),
        ):
            with pytest.raises(NotFound):
                ask()
