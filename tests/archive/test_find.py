"""One box finds what the office types, newest first, and no text can hurt it."""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import event

from heaterapp import archive
from heaterapp.archive import Facts, Invalid
from heaterapp.archive.words import split, typed_words

FILED = {
    "oak": Facts("12 N. Oak Ave, Port Larkin", "Mina Park", "AB-0012345", "WH 40-T", "B2026-0077",
                 "2026-03-13", "Ana Reyes", "us_ca_2022"),
    "oakwood": Facts("123 Oakwood Street Apt 4", "José Núñez", "Q7788", "WH 50-T", "B2026-0078",
                     "2025-12-31", "Ana Reyes", "us_ca_2022"),
    "quay": Facts("7 Quay St, Larkinborough", "O'Hara & Sons", "0000042", "HP-65/2", "", "2024-02-29",
                  "Bo Lind", "model_irc_2021"),
    "first": Facts("900 First Street SW", "Wei Ōe", "ZZ 9 9", "", "P.11.2", "", "Bo Lind", "us_wa"),
}  # fmt: skip

CASES = [
    ("12 oak", {"oak"}),
    ("12 north oak avenue", {"oak"}),
    ("12 N. Oak Ave", {"oak"}),
    ("12 n oak ave.", {"oak"}),
    ("OAK", {"oak", "oakwood"}),
    ("oak 12", {"oak", "oakwood"}),
    ("12 s oak blvd", {"oak"}),
    ("quay street", {"quay"}),
    ("7 quay st", {"quay"}),
    ("900 1st st", {"first"}),
    ("first southwest", {"first"}),
    ("apartment 4", {"oakwood"}),
    ("port larkin", {"oak"}),
    ("mina", {"oak"}),
    ("park mina", {"oak"}),
    ("nunez", {"oakwood"}),
    ("Núñez josé", {"oakwood"}),
    ("o'hara", {"quay"}),
    ("ohara", {"quay"}),
    ("o\u2019hara", {"quay"}),
    ("2345", {"oak"}),
    ("012345", {"oak"}),
    ("7788", {"oakwood"}),
    ("0078", {"oakwood"}),
    ("oe", {"first"}),
    ("AB-0012345", {"oak"}),
    ("ab0012345", {"oak"}),
    ("ab00123", {"oak"}),
    ("12345", {"oak"}),
    ("zz99", {"first"}),
    ("0000042", {"quay"}),
    ("42", {"quay"}),
    ("wh 40", {"oak"}),
    ("WH40T", {"oak"}),
    ("hp-65", {"quay"}),
    ("B2026-0078", {"oakwood"}),
    ("P.11.2", {"first"}),
    ("C-000001", {"oak"}),
    ("c000002", {"oakwood"}),
    ("000003", {"quay"}),
    ("ana", {"oak", "oakwood"}),
    ("reyes oakwood", {"oakwood"}),
    ("2026-03-13", {"oak"}),
    ("3/13/2026", {"oak"}),
    ("03/13/26", {"oak"}),
    ("March 13, 2026", {"oak"}),
    ("13 mar 2026", {"oak"}),
    ("dec 2025", {"oakwood"}),
    ("2025-12", {"oakwood"}),
    ("2024-02-29 quay", {"quay"}),
    ("2024-02-30", set()),
    ("elm", set()),
    ("oak mina bo", set()),
    ("", {"oak", "oakwood", "quay", "first"}),
    ("   ", {"oak", "oakwood", "quay", "first"}),
    ("!!!", set()),
    ("* OR *", set()),
    ('"', set()),
    ("_o1", set()),
    ("harborlight", set()),
    ("larkinborough", {"quay"}),
    ("larkinboro", {"quay"}),
    ("larkinb", {"quay"}),
]


@pytest.fixture(scope="module")
def filed(tmp_path_factory):
    from argon2 import PasswordHasher

    from heaterapp.archive import people

    kept = people.hasher
    people.hasher = PasswordHasher(time_cost=1, memory_cost=8, parallelism=1)
    store = archive.open_store(data_dir=tmp_path_factory.mktemp("filed"))
    yield store
    store.close()
    people.hasher = kept


@pytest.fixture(scope="module")
def desk(filed, request):
    organisation = filed.organisations.add("harborlight", "Harborlight Plumbing").id
    person = filed.people.add(organisation, "ana", "Ana Reyes", "installer", "a long password").id
    names = {}
    for at, (name, facts) in enumerate(FILED.items()):
        job = filed.jobs.create(organisation, person)
        wish = archive.Submission(organisation, person, job.id, f"key-0000{at}", "certificate", b"{}", b"{}",
                                  b"{}", "r", "1", b"zip", facts)  # fmt: skip
        names[filed.issue(wish).record] = name
    return organisation, names


@pytest.mark.parametrize(("typed", "expected"), CASES, ids=[repr(case[0]) for case in CASES])
def test_the_box(filed, desk, typed, expected):
    organisation, names = desk
    found = [names[hit.record] for hit in filed.find(organisation, typed).hits]
    assert len(found) == len(set(found))
    assert set(found) == expected
    assert found == [name for name in reversed(FILED) if name in expected], "newest first"


@pytest.mark.parametrize(
    "hostile",
    [
        'oak" OR "quay',
        "oak* NOT quay",
        "words:oak",
        "NEAR(oak quay, 5)",
        "oak\0quay",
        "^oak + -oak",
        "{oak} (quay",
        "'; DROP TABLE record; --",
        "\ud800 oak",
        "oak " * 2_500_000,
        "a" * 10_000_000,
        "(" * 100_000,
        "﷽" * 500,
    ],
    ids=range(13),
)
def test_hostile_text_is_only_text(filed, desk, hostile):
    page = filed.find(desk[0], hostile)
    assert len(page.hits) <= len(FILED)
    assert filed.verify().ok


@given(st.text(max_size=300))
@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_text_is_answered(filed, desk, text):
    organisation, names = desk
    assert {hit.record for hit in filed.find(organisation, text).hits} <= set(names)


@given(st.text(max_size=300))
@settings(max_examples=150, deadline=None)
def test_typed_words_hold_letters_and_digits_only(text):
    for word in typed_words(text):
        assert word.text
        assert all(c.isalnum() for c in word.text)
        assert "_" not in word.text
    assert split(" ".join(split(text))) == split(text)


@given(text=st.text(min_size=1, max_size=40))
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_whatever_was_kept_as_owner_finds_it_again(store, firm, text):
    kept = "".join(c for c in text if c.isprintable())
    record = firm.issued(facts=Facts(owner=kept), job_id=firm.new_job().id).record
    if typed_words(kept):
        assert record in {hit.record for hit in store.find(firm.id, kept, limit=200).hits}


def test_pages_by_key_cover_everything_once(store, firm):
    numbers = [firm.issued(job_id=firm.new_job().id).number for _ in range(11)]
    found, after = [], None
    while True:
        page = store.find(firm.id, "oak", after=after, limit=3)
        found += [hit.number for hit in page.hits]
        if page.next is None:
            break
        after = page.next
    assert found == numbers[::-1]


def test_a_page_that_ends_exactly_has_no_next(store, firm):
    for _ in range(4):
        firm.issued(job_id=firm.new_job().id)
    assert store.find(firm.id, limit=4).next is None
    assert store.find(firm.id, limit=3).next is not None


def test_a_loosened_search_pages_too(store, firm):
    for _ in range(5):
        firm.issued(job_id=firm.new_job().id)
    page = store.find(firm.id, "12 s oak blvd", limit=3)
    rest = store.find(firm.id, "12 s oak blvd", limit=3, after=page.next)
    assert len({hit.record for hit in page.hits + rest.hits}) == 5


def test_records_made_between_pages_do_not_shift_them(store, firm):
    numbers = [firm.issued(job_id=firm.new_job().id).number for _ in range(4)]
    page = store.find(firm.id, limit=2)
    firm.issued(job_id=firm.new_job().id)
    assert [hit.number for hit in store.find(firm.id, limit=2, after=page.next).hits] == numbers[1::-1]


def test_filters_by_kind_and_installer(store, firm):
    bo = store.people.add(firm.id, "bo", "Bo Lind", "installer", "a long password")
    mine = firm.issued().record
    theirs = firm.issued(person=bo.id, job_id=store.jobs.create(firm.id, bo.id).id).record
    listed = firm.issued(kind="correction_list", job_id=firm.new_job().id).record
    assert [hit.record for hit in store.find(firm.id, kind="correction_list").hits] == [listed]
    assert [hit.record for hit in store.find(firm.id, "oak", person=bo.id).hits] == [theirs]
    assert [hit.record for hit in store.find(firm.id, person=firm.installer.id).hits] == [listed, mine]
    assert store.find(firm.id, person=firm.installer.id * 10 + 1).hits == ()
    with pytest.raises(Invalid):
        store.find(firm.id, kind="receipt")


@pytest.mark.parametrize(("after", "limit"), [(-5, 10), (10**30, 10), (None, -1), (None, 10**9), (0, 0)])
def test_absurd_paging_is_bounded(store, firm, after, limit):
    firm.issued()
    assert len(store.find(firm.id, after=after, limit=limit).hits) <= 1


def test_superseded_records_are_found_and_say_so(store, firm):
    firm.issued()
    firm.issued()
    assert [hit.superseded_by_number for hit in store.find(firm.id, "oak").hits] == [None, "C-000002"]


def test_the_state_is_asked_of_the_database(store, firm, papers):
    """Whatever the state, each page is as long as asked, and the same as the hits say of themselves."""
    for at in range(4):
        job = firm.new_job().id
        firm.issued(job_id=job)
        if at % 2:
            firm.issued(job_id=job, kind="correction_list" if at == 1 else "certificate")
    store.issue(firm.wish(job_id=firm.new_job().id))
    hits = store.find(firm.id, finished=True).hits
    assert len(hits) == 6
    for state, replaced in (("current", False), ("replaced", True)):
        expected = [hit for hit in hits if bool(hit.superseded_by) == replaced]
        for text in ("", "oak"):
            assert list(store.find(firm.id, text, state=state, finished=True).hits) == expected
    first = store.find(firm.id, state="replaced", finished=True, limit=1)
    second = store.find(firm.id, state="replaced", finished=True, limit=1, after=first.next)
    assert [len(page.hits) for page in (first, second)] == [1, 1]
    assert second.next is None
    with pytest.raises(archive.Invalid):
        store.find(firm.id, state="gone")


def test_words_are_left_out_only_when_no_record_has_them_all(store, firm):
    firm.issued(facts=Facts(address="12 N. Oak Ave"))
    firm.issued(job_id=firm.new_job().id, facts=Facts(address="12 Oak"))
    assert len(store.find(firm.id, "12 n oak ave").hits) == 1
    assert store.find(firm.id, "12 n oak ave", state="replaced").hits == ()
    assert len(store.find(firm.id, "12 e oak ave").hits) == 2


def test_numbers_of_jobs_are_one_question(store, firm, other):
    jobs = [firm.new_job().id for _ in range(5)]
    made = {job: firm.issued(job_id=job).number for job in jobs[:3]}
    again = firm.issued(job_id=jobs[0]).number
    store.issue(firm.wish(job_id=jobs[3]))
    asked = []
    event.listen(store.database.engine, "before_cursor_execute", lambda *more: asked.append(more[2]))
    found = store.records.numbers_of_jobs(firm.id, jobs)
    assert found == {jobs[0]: [again, made[jobs[0]]], jobs[1]: [made[jobs[1]]], jobs[2]: [made[jobs[2]]]}
    assert [one.split()[0] for one in asked if one != "BEGIN"] == ["SELECT"]
    assert store.records.numbers_of_jobs(other.id, jobs) == {}


def test_the_word_index_is_joined_to_one_piece_and_finds_the_same(store, firm):
    def pieces():
        if store.database.engine.dialect.name != "sqlite":
            return 1
        with store.database.read() as connection:
            return connection.exec_driver_sql("SELECT count(DISTINCT segid) FROM finding_words_idx").scalar()

    numbers = [firm.issued(job_id=firm.new_job().id).number for _ in range(6)]
    for _ in range(2):
        were = pieces()
        assert (store.tidy_words() > 0) == (were > 1)
        assert pieces() == 1
        assert store.tidy_words() == 0
        assert [hit.number for hit in store.find(firm.id, "oak").hits] == numbers[::-1]
        assert store.verify().ok
        # One more is a piece of its own, much smaller than the one of all before.
        numbers.append(firm.issued(job_id=firm.new_job().id).number)
        assert store.find(firm.id, "oak", limit=1).hits[0].number == numbers[-1]
