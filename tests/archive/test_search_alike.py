"""The same questions get the same answers from SQLite and PostgreSQL, and those of a plain reading."""

import random
from datetime import date, timedelta

import pytest

from heaterapp import archive
from heaterapp.archive import Invalid, by_days, matching_postgresql, matching_sqlite, search_times, words
from heaterapp.archive.find import FIRST_DAY, LAST_DAY
from heaterapp.archive.words import near

RECORDS = 2000
QUESTIONS = 300
TYPED = (
    "12 oak", "12 n. oak ave", "oak avenue 12", "s mill", "harbor blvd", "1 beacon", "199", "C-000012",
    "c12", "L-000003", "F-1", "B2019", "wh 40-t", "WH40", "40-x", "2019-03", "march 2019", "3/14/2019", "o", "",
    "'", "& | !", "oak:*", "nobody here", "ferry court port larkin", "st", "n", "éc", "0001", "12 oak oak",
)  # fmt: skip


@pytest.fixture(scope="module")
def stores(tmp_path_factory, postgres_server):
    with postgres_server.lent() as url:
        places = ({"data_dir": tmp_path_factory.mktemp("alike")}, {"url": url, "upgrade": False})
        opened = [archive.open_store(**place) for place in places]
        firms = [search_times.fill(store, RECORDS)[0] for store in opened]
        assert firms[0] == firms[1]
        yield firms[0], opened
        for store in opened:
            store.close()


def _asked():
    families = list(search_times.questions(RECORDS).values())
    for at in range(QUESTIONS - len(TYPED)):
        yield families[at % len(families)]()
    for text in TYPED:
        yield {"text": text}


def test_three_hundred_questions_are_answered_alike(stores):
    firm, (sqlite, postgres) = stores
    found = 0
    for asked in _asked():
        one, other = (store.find(firm, **asked) for store in (sqlite, postgres))
        assert one == other, asked
        found += bool(one.hits)
    assert found > QUESTIONS / 2


def test_the_answer_is_the_same_on_whichever_way_it_is_come_by(stores, monkeypatch):
    """A firm among many, a page far behind the newest, conditions that few fit: each way is begun at once."""
    firm, both = stores
    asked = [ask() for ask in search_times.questions(RECORDS).values() for _ in range(4)]
    usual = [[store.find(firm, **one, limit=20) for one in asked] for store in both]
    monkeypatch.setattr(matching_sqlite, "MOST_OTHERS", 3)
    for name, few in (("READ", 15), ("READ_ON", 30), ("MOST_READ", 40), ("NAMED", 25), ("LOOKED_AT", 2)):
        monkeypatch.setattr(matching_postgresql, name, few)
    for store, answers in zip(both, usual, strict=True):
        for one, answer in zip(asked, answers, strict=True):
            assert store.find(firm, **one, limit=20) == answer, (store.database.engine.dialect.name, one)


def _all(store, firm, **asked):
    numbers, after = [], None
    while True:
        page = store.find(firm, **asked, after=after, limit=60)
        numbers += [hit.number for hit in page.hits]
        if page.next is None:
            return numbers
        after = page.next


def test_days_and_states_are_those_of_a_plain_reading(stores):
    firm, both = stores
    for store in both:
        hits, after = [], None
        while after is not None or not hits:
            page = store.find(firm, after=after, limit=200)
            hits, after = [*hits, *page.hits], page.next
            if after is None:
                break
        assert {hit.state for hit in hits} == {"current", "replaced", "void"}
        for asked in (
            {"since": "2019-01-01", "until": "2019-12-31"}, {"since": "2020-02-29"}, {"until": "2018-02-03"},
            {"since": "2018-12-30", "until": "2020-01-02"}, {"since": "2021-05-05", "until": "2021-05-05"},
            {"since": "2021-05-06", "until": "2021-05-05"}, {"state": "void"},
            {"state": "void", "since": "2019-01-01", "until": "2022-12-31"},
            {"state": "replaced", "since": "2020-01-01", "until": "2020-12-31"}, {"state": "current"},
            {"text": "oak", "since": "2019-03-04", "until": "2020-03-01"},
            *({"text": "larkin", "since": day, "until": day} for day in ("2019-05-06", "2022-02-28")),
        ):  # fmt: skip
            first, last = asked.get("since", "0"), asked.get("until", "9")
            plain = [
                hit.number for hit in hits
                if first <= (hit.facts.work_date or hit.issued_at[:10]) <= last
                and asked.get("state") in (None, hit.state)
                and asked.get("text", "") in hit.facts.address.casefold()
            ]  # fmt: skip
            assert _all(store, firm, **asked) == plain, asked


def test_a_house_number_is_no_year(store, firm):
    day = firm.wish().facts.work_date
    firm.issued(facts=archive.Facts(address="2025 Oak Ave", serial="X20250101", work_date=day))
    assert len(store.find(firm.id, "2025").hits) == 1
    assert store.find(firm.id, since="2025-01-01", until="2025-12-31").hits == ()


@pytest.mark.parametrize("days", [{"since": "14 March"}, {"until": "2026-02-30"}, {"since": "20260314"}])
def test_a_day_that_is_none_is_refused_by_name(store, firm, days):
    with pytest.raises(Invalid, match=next(iter(days))):
        store.find(firm.id, **days)


def _holds(asked, day):
    return any(f"{day:%Y%m%d}".startswith(word.text) for word in asked)


def test_a_range_is_few_words_that_hold_all_its_days_and_none_after():
    draw = random.Random(4)
    assert len(near(FIRST_DAY, LAST_DAY)) == 6
    for _ in range(150):
        since = date(2018, 1, 1) + timedelta(days=draw.randrange(3000))
        until = since + timedelta(days=draw.choice((draw.randrange(5), draw.randrange(400), draw.randrange(1500))))
        asked = near(since, until)
        assert len(asked) <= 32, (since, until)
        assert all(_holds(asked, since + timedelta(days=at)) for at in range((until - since).days + 1)), asked
        assert not any(_holds(asked, until + timedelta(days=at)) for at in range(1, 40)), (until, asked)


def test_parts_of_a_range_are_each_of_its_days_once():
    draw = random.Random(5)
    for _ in range(100):
        since = date(2018, 1, 1) + timedelta(days=draw.randrange(3000))
        until = since + timedelta(days=draw.choice((draw.randrange(40), draw.randrange(900))))
        parts = by_days._parts(since, until)
        assert len(parts["day"]) <= 60
        for at in range(-1, (until - since).days + 2):
            day = since + timedelta(days=at)
            held = parts["month"].count(f"{day:%Y-%m}") + parts["day"].count(f"{day}")
            assert held == (since <= day <= until), (since, until, day)


@pytest.mark.parametrize(
    "text", ["12 N. Oak Ave, #3", "a_b", "O'Hara", "x" * 90 + " \t y\n2", "ABC-0012 (W/H)", "", "-", "~{|}1"]
)
def test_plain_letters_are_split_as_all_others_are(text):
    # With one more word that takes the longer way.
    assert [*words.split(text), "e"] == words.split(f"{text} \u00e9")
