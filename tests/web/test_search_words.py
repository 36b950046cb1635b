"""What a search of the office says beside its records: an erased paper, the desk's own words, a check code."""

from __future__ import annotations

from typing import Any

import pytest
from flask import g

from heaterapp.web import search_words


@pytest.fixture
def clerk(visit: Any) -> Any:
    return visit("office")


def test_the_number_of_an_erased_paper_leads_to_it(
    clerk: Any, issue: Any, store: Any, firms: Any, people: Any, visit: Any
) -> None:
    gone, office = issue(), people["a", "office"]
    assert "was erased" not in clerk.get("/office?q=c-1").text
    store.erase(firms["a"].id, gone.id, office.id, "asked for")
    for typed in (gone.number, "c-1", "C1", " c-000001 "):
        page = clerk.get("/office", query_string={"q": typed}).text
        assert f'<a href="/office/records/{gone.number}">{gone.number}</a> was erased on ' in page, typed
        assert "Nothing found" not in page
    assert "Nothing found" in clerk.get("/office?q=C-2").text
    assert "was erased" not in visit("owner", firm="b").get(f"/office?q={gone.number}").text


def test_a_paper_is_found_by_its_number_in_any_way_that_the_check_page_reads(clerk: Any, issue: Any) -> None:
    record, other = issue(), issue(heater_serial="C1440", address_street="9 Other Row")
    for typed in ("C1", "c 1", "c\u20131", "C-OOOOO1", "c-l", "\uff23\uff11", record.number):
        page = clerk.get("/office", query_string={"q": typed}).text
        assert page.index(f'href="/office/records/{record.number}"') > 0, typed
        assert "Nothing found" not in page
    # Who types the beginning of a serial finds that too, after the paper.
    page = clerk.get("/office?q=C1").text
    assert 0 < page.index(f"records/{record.number}") < page.index(f"records/{other.number}")
    assert f"q={record.number}" in clerk.get("/office?q=c-OOOOO1").text
    assert f"records/{record.number}" not in clerk.get("/office?q=C1&state=void").text
    assert "Nothing found" in clerk.get("/office?q=C77").text


def test_a_paper_found_by_its_number_stands_on_no_later_page_again(app: Any, issue: Any, people: Any) -> None:
    number = issue().number
    for _ in range(2):
        issue(heater_serial=number)
    pages, after = [], None
    with app.test_request_context():
        g.person = people["a", "office"]
        while not pages or after is not None:
            page = search_words.found(number, {}, after, 1)
            after = page.following
            pages.append([hit.number for hit in page.hits])
    shown = [one for page in pages for one in page]
    assert shown[0] == number
    assert len(shown) == len(set(shown)) == 3


def test_the_log_takes_a_number_as_the_search_does(clerk: Any, issue: Any) -> None:
    record = issue()
    for typed in ("C-1", "c1", record.number):
        page = clerk.get("/office/log", query_string={"number": typed}).text
        assert "no paper of this firm" not in page, typed
        assert record.number in page
    for typed in ("C-2", "C-", "1", "-1", "C-" + "9" * 30):
        assert "no paper of this firm" in clerk.get("/office/log", query_string={"number": typed}).text


def test_a_new_owner_is_one_answer_with_the_name(
    clerk: Any, issue: Any, store: Any, firms: Any, people: Any
) -> None:
    record = issue()
    store.desk.save(
        firms["a"].id, people["a", "office"].id, record.job_id, facts={"present_owner": "Lena Moss"}
    )
    page = clerk.get("/office?q=lena+moss").text
    assert "Nothing found" not in page
    assert "No paper has these words, but the desk does" in page
    assert "Dana Whitlock, <b>owner now: Lena Moss</b>" in page
    assert f'href="/office/records/{record.number}"' in page


def test_a_phone_typed_at_the_booking_finds_the_job(
    clerk: Any, issue: Any, store: Any, firms: Any, people: Any, visit: Any
) -> None:
    record, org, office = issue(), firms["a"].id, people["a", "office"].id
    store.inspections.book(org, office, record.job_id, "2026-12-03", {"phone": "(555) 014-2233"})
    for typed in ("555-014-2233", "+1 555 014 2233", "0142233"):
        page = clerk.get("/office", query_string={"q": typed}).text
        assert "<b>phone at the booking: (555) 014-2233</b>" in page, typed
        assert "12 N. Oak Ave" in clerk.get("/office/desk", query_string={"q": typed}).text
    for typed in ("555-014-2234", "014-2233 x", "2233"):
        assert "Nothing found" in clerk.get("/office", query_string={"q": typed}).text, typed
    assert "Oak Ave" not in visit("owner", firm="b").get("/office/desk?q=555-014-2233").text


def test_a_check_code_is_sent_to_where_it_is_checked(clerk: Any, issue: Any) -> None:
    record = issue()
    page = clerk.get("/office", query_string={"q": record.check_code.lower()}).text
    assert 'href="/check">Check a paper</a>' in page.partition("<main")[2].partition("</main>")[0]
    assert "Nothing found" not in page
    assert "written as the check code" not in clerk.get("/office?q=Nora+Whitlock").text
