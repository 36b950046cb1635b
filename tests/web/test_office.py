"""The office: finding, the record whole, files to the byte, links."""

from __future__ import annotations

import hashlib
import re
from typing import Any

import pytest
from bs4 import BeautifulSoup

from heaterapp.web import office, papers_offered
from heaterapp.web.recorded import recorded

from .conftest import PAPER, hidden

HOSTILE = [
    "' OR 1=1 --",
    '"',
    "*",
    "oak*",
    "NEAR(a b)",
    "a AND OR NOT b",
    "%_%",
    "<script>alert(1)</script>",
    "\x00\x01",
    "\ud7ff\ufffd",
    "١٢ شارع",
    "x" * 5000,
    "{{7*7}}",
    "-" * 300,
    "12 oak " * 400,
]


def numbers(page: str) -> list[str]:
    return [tag.b.text for tag in BeautifulSoup(page, "html.parser").find_all(class_="record-number")]


def test_the_newest_records_stand_on_the_first_page(visit: Any, issue: Any) -> None:
    first, second = issue(), issue(address_street="7 Ferry Lane")
    assert numbers(visit("office").get("/office").text) == [second.number, first.number]


@pytest.mark.parametrize(
    "typed",
    ["12 oak", "oak ave", "whitlock", "LW26K0041877", "lw-40n", "B26-00001", "C-000001", "2026-09-03"],
)
def test_a_record_is_found_by_what_people_know_of_it(visit: Any, issue: Any, typed: str) -> None:
    wanted = issue()
    other = {
        "address_street": "7 Ferry Lane",
        "owner_name": "Amina Reyes",
        "heater_serial": "Z1",
        "heater_model": "Q-9",
    }
    issue(**other, permit_number="X-1", work_date="2026-01-01")
    assert numbers(visit("office").get("/office", query_string={"q": typed}).text) == [wanted.number]


@pytest.mark.parametrize("after", ["0" * 16 + "1" * 4500, "9" * 16, "9" * 17, "-1", "1.5", "١٢"])
def test_a_page_key_nobody_was_given_is_the_first_page(visit: Any, issue: Any, after: str) -> None:
    wanted = issue()
    answer = visit("office").get("/office", query_string={"after": after})
    assert answer.status_code == 200
    assert numbers(answer.text) == [wanted.number]


@pytest.mark.parametrize("typed", HOSTILE, ids=range(len(HOSTILE)))
def test_hostile_text_is_only_text(visit: Any, issue: Any, typed: str) -> None:
    issue()
    answer = visit("office").get(
        "/office", query_string={"q": typed, "kind": typed, "state": typed, "after": typed}
    )
    page = BeautifulSoup(answer.text, "html.parser")
    assert answer.status_code == 200
    assert len(page.find_all("script")) == 1
    assert "49" not in page.find("main").text.replace("LW26K0041877", "")
    assert (
        page.find(id="q")["value"].replace("\r", "") == typed[:200].replace("\x00", "\ufffd")
        or "\x00" in typed
    )


def test_kind_and_state_narrow_the_list(visit: Any, issue: Any) -> None:
    old = issue()
    new = issue(job_id=old.job_id, heater_serial="LW26K0000001")
    listed = issue(precharge_psi=40)
    clerk = visit("office")
    assert listed.kind == "correction_list"
    assert numbers(clerk.get("/office?kind=correction_list").text) == [listed.number]
    assert numbers(clerk.get("/office?state=replaced").text) == [old.number]
    assert numbers(clerk.get("/office?state=current").text) == [listed.number, new.number]
    assert numbers(clerk.get("/office?kind=certificate&state=current").text) == [new.number]
    assert numbers(clerk.get("/office?kind=findings_report").text) == []


def test_older_pages_follow_by_key_without_gap_or_double(
    visit: Any, issue: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(office, "PER_PAGE", 2)
    made = [issue(job_ref=str(n)).number for n in range(5)]
    clerk, seen, path = visit("office"), [], "/office?q=oak&state=current"
    while path:
        page = clerk.get(path).text
        seen += numbers(page)
        older = BeautifulSoup(page, "html.parser").find("a", string="Older")
        path = older["href"] if older else None
    assert seen == made[::-1]


def test_nothing_found_says_what_to_try(visit: Any, issue: Any) -> None:
    assert "Nothing has been issued yet" in visit("office").get("/office").text
    issue()
    assert "Try fewer words" in visit("office").get("/office?q=zzzz").text


def test_an_unfinished_paper_has_no_number_to_give_yet(
    visit: Any, issue: Any, store: Any, people: Any
) -> None:
    from heaterapp.issue import submission

    done = issue()
    person = people["a", "installer"]
    job = store.jobs.create(
        person.organisation, person.id, dict(store.jobs.get(done.organisation, done.job_id).answers)
    )
    job = store.jobs.save_signature(job.organisation, job.id, {"signatures": [{"name": person.name}]})
    begun = store.issue(submission(person, job, "unfinished-1"))
    clerk = visit("office")
    assert begun.number not in clerk.get("/office").text
    assert clerk.get(f"/office/records/{begun.number}").status_code == 404


def test_a_record_shows_facts_history_findings_and_answers(visit: Any, issue: Any) -> None:
    old = issue()
    new = issue(job_id=old.job_id, heater_serial="LW26K0000001")
    clerk = visit("office")
    page = clerk.get(f"/office/records/{new.number}").text
    for said in (
        "Dana Whitlock",
        "LW26K0000001",
        "B26-00001",
        "Riley Okafor",
        new.check_code,
        new.content_digest,
    ):
        assert said in page
    assert f"replaced by {new.number}" in page
    assert (
        f'The current one is <a href="/office/records/{new.number}">'
        in clerk.get(f"/office/records/{old.number}").text
    )
    heads = [one["id"] for one in BeautifulSoup(page, "html.parser").select("h2[id]")]
    assert heads[:4] == ["files", "share", "mail", "facts"], "in the order of use"
    text = " ".join(BeautifulSoup(page, "html.parser").find(class_="judged").text.split())
    assert "Meets" in text
    assert "found 60 psi, at most 80 psi" in text
    assert "Uniform Plumbing Code 2021" in text
    assert "House pressure, no water running60 psi" in BeautifulSoup(page, "html.parser").text.replace(
        "\n", ""
    )


def test_what_fails_is_said_first(visit: Any, issue: Any) -> None:
    listed = issue(precharge_psi=40)
    page = BeautifulSoup(visit("office").get(f"/office/records/{listed.number}").text, "html.parser")
    first = page.find(class_="judged-section")
    assert first.h3.text == "To fix"
    assert "60 psi" in first.text


def test_every_answer_stands_under_its_section_in_words() -> None:
    told = dict(
        recorded(
            {
                "strap_heights_in": ["36", "68.375"],
                "house_pressure_psi": {"could_not_measure": "no gauge"},
                "thermostat_f": "120",
                "prv_fitted": "yes",
                "install_year": "2011",
                "accepted_as_usual": ["thermostat_f"],
                "retired_question": "kept",
                "acceptances": {
                    "seismic.strap_count": {"by": "A. Brand", "on": "2026-01-02", "why": "short tank"}
                },
            }
        )
    )
    assert ("Set temperature", "120 °F", "accepted as usual") in told["Data plate"]
    assert ("Year it was installed", "2011", "") in told["Job"]
    assert ("House pressure, no water running", "Could not measure: no gauge", "") in told[
        "Water and expansion"
    ]
    assert any(value == "36 in, 68 3/8 in" for _, value, _ in told["Place and straps"])
    assert told["Other"] == [
        ("retired_question", "kept", ""),
        ("seismic.strap_count", "short tank (A. Brand, 2 Jan 2026)", "accepted"),
    ]


def test_a_file_comes_to_the_byte_as_a_download(visit: Any, issue: Any) -> None:
    made = issue()
    answer = visit("office").get(f"/office/records/{made.number}/file/certificate.pdf")
    assert answer.data == PAPER + made.number.encode()
    assert answer.headers["Content-Type"] == "application/pdf"
    assert answer.headers["Content-Disposition"] == f'attachment; filename="{made.number}-certificate.pdf"'
    assert answer.headers["Cache-Control"] == "no-store"
    for name in ("job", "report", "none.pdf", "..%2Fsecret-key", "a" * 300, "%00"):
        assert visit("office").get(f"/office/records/{made.number}/file/{name}").status_code == 404


def test_what_a_file_carries_is_said_by_what_it_is(visit: Any, issue: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    where = f"/office/records/{issue().number}"
    assert "The same pages, with nothing attached." in visit("office").get(where).text
    monkeypatch.setattr(papers_offered, "ATTACHED", PAPER)
    page = visit("office").get(where).text
    assert "with nothing attached" not in page
    assert "The same pages, with answers and report attached as well." in page


def test_a_link_is_shown_once_whole_and_as_a_drawing(visit: Any, issue: Any, store: Any) -> None:
    made = issue()
    clerk = visit("office")
    way = f"/office/records/{made.number}"
    key = hidden(clerk.get(way).text, "key")
    first = clerk.post(f"{way}/share", {"act": "make", "key": key})
    again = clerk.post(f"{way}/share", {"act": "make", "key": key})
    assert (first.status_code, again.status_code) == (303, 303)
    assert len(store.shares.all_for(made.organisation, made.id)) == 1, "a double click made a second link"
    page = BeautifulSoup(clerk.get(again.location).text, "html.parser")
    link = page.find(class_="link-text").a["href"]
    token = re.fullmatch(r"http://localhost/s/([\w-]{32})", link).group(1)
    assert page.find("svg", class_="qr")
    assert visit().get(f"/s/{token}").status_code == 200
    again = clerk.get(way).text
    assert token not in again
    assert visit("owner").get(way).text.count(token) == 0
    clerk.post(f"{way}/share", {"act": "make", "key": hidden(again, "key")})
    assert len(store.shares.all_for(made.organisation, made.id)) == 2, "another page makes another link"
    assert hashlib.sha256(token.encode()).hexdigest() not in again


def test_a_link_is_closed_for_good(visit: Any, issue: Any, store: Any) -> None:
    made, other = issue(), issue(job_ref="2")
    token, share = store.shares.make(made.organisation, made.id)
    clerk = visit("office")
    wrong = clerk.post(f"/office/records/{other.number}/share", {"act": "revoke", "share": str(share.id)})
    assert wrong.status_code == 404
    assert visit().get(f"/s/{token}").status_code == 200
    for bad in ({"act": "revoke"}, {"act": "revoke", "share": "x"}, {"act": "revoke", "share": "9" * 30}):
        assert clerk.post(f"/office/records/{made.number}/share", bad).status_code == 404
    assert clerk.post(f"/office/records/{made.number}/share", {"act": "burn"}).status_code == 400
    assert clerk.post(f"/office/records/{made.number}/share", {}).status_code == 400
    done = clerk.post(f"/office/records/{made.number}/share", {"act": "revoke", "share": str(share.id)})
    assert "Link 1 is closed" in done.text
    assert visit().get(f"/s/{token}").status_code == 404


def test_a_correction_list_s_link_opens_a_page_that_says_it_is_no_certificate(visit: Any, issue: Any) -> None:
    listed = issue(precharge_psi=40)
    clerk = visit("office")
    assert "Homeowner's link" in clerk.get(f"/office/records/{listed.number}").text
    made = clerk.post(f"/office/records/{listed.number}/share", {"act": "make"})
    link = BeautifulSoup(clerk.get(made.location).text, "html.parser").find(class_="link-text").a["href"]
    assert "This is not a certificate." in visit().get(link.removeprefix("http://localhost")).text
