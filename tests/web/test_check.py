"""The check page: what a paper's holder may learn, and nothing to guessers."""

from __future__ import annotations

import hashlib
import json
import re
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from bs4 import BeautifulSoup
from sqlalchemy import event

from heaterapp.certificate import Filed, Translated
from heaterapp.certificate.press import identity
from heaterapp.firm_clock import day_words
from heaterapp.sealing import KINDS, MEANS, grouped, named, new_key
from tests.sealing.conftest import small_paper

from .conftest import PAPER


def ask(visitor: Any, number: str, code: str) -> Any:
    return visitor.get("/check", query_string={"number": number, "code": code})


def test_number_and_code_tell_kind_date_state_codes_and_content(visit: Any, issue: Any) -> None:
    made = issue()
    answer = ask(visit(), made.number.lower(), made.check_code.lower().replace("-", " "))
    text = BeautifulSoup(answer.text, "html.parser").find("main").text
    assert answer.status_code == 200
    for said in ("Certificate", day_words(made.issued_at), "Current", "California 2022", made.content_digest):
        assert said in text
    assert hashlib.sha256(PAPER + made.number.encode()).hexdigest() in text


def test_no_line_ends_within_the_number_that_is_shown_as_an_example(visit: Any) -> None:
    page = BeautifulSoup(ask(visit(), "", "7KQ2").text, "html.parser")
    whole = [one.text for one in page.select("#number-hint .unbroken, #number-error .unbroken, .error-summary .unbroken")]
    assert set(whole) == {"C-000123"}
    assert len(whole) == page.find("main").text.count("C-000123") > 1
    sheet = (Path(__file__).parents[2] / "static" / "told.css").read_text("utf-8")
    assert re.search(r"\.unbroken\b[^}]*white-space: nowrap", sheet)


def test_the_books_that_the_report_cites_are_named_and_practice_is_no_book(visit: Any, issue: Any) -> None:
    made = issue()
    page = BeautifulSoup(ask(visit(), made.number, made.check_code).text, "html.parser")
    told = {one.dt.text: one.dd.text for one in page.select("dl.facts > div")}["Books cited"].split("; ")
    found = json.loads(made.report)["findings"]
    assert set(told) == {one["book"] for one in found if one["book"] and one["confidence"] != "practice"}
    assert "Uniform Plumbing Code 2021" in told
    assert len(told) == len(set(told))


def test_a_file_can_be_compared_by_script_and_by_hand(visit: Any, issue: Any, store: Any) -> None:
    made = issue()
    page = BeautifulSoup(ask(visit(), made.number, made.check_code).text, "html.parser")
    (held,) = page.select("#compare [data-sha256]")
    body = PAPER + made.number.encode()
    assert held.attrs["data-sha256"] == hashlib.sha256(body).hexdigest()
    assert held.attrs["data-size"] == str(len(body))
    assert "hidden" in page.find(id="compare").attrs, "shown by its script alone"
    assert "sha256sum paper.pdf" in page.find(class_="by-hand").text
    assert (held.attrs["data-first"], held.attrs["data-second"]) == named(body)
    assert page.find("a", href="#by-hand").find_parent(id="by-hand-alone"), "the way without a script is named"
    told = {one["data-kind"]: one.find("p") for one in page.select("template[data-kind]")}
    assert {kind: one.string for kind, one in told.items() if kind in KINDS} == KINDS
    assert told.keys() == {*KINDS, "busy", "unread"}
    assert {kind for kind, one in told.items() if one.get("class") == ["same"]} == {"stored", "sealed", "sealed_twin"}
    store.erase(made.organisation, made.id, 1, "asked for")
    assert "compare" not in ask(visit(), made.number, made.check_code).text.lower().split("<main")[1]


def test_nothing_made_of_a_part_of_a_paper_is_told(visit: Any, issue: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    """Who has a copy without personal data has the code, and could try out names with the hash of a part."""
    body = small_paper()
    monkeypatch.setattr("tests.web.conftest.fixed_paper", lambda record: {"certificate-archival.pdf": body})
    made = issue()
    page = BeautifulSoup(ask(visit(), made.number, made.check_code).text, "html.parser")
    (held,) = page.select("#compare [data-sha256]")
    first, second = named(body)
    whole = {"name": "certificate-archival.pdf", "size": str(len(body)), "sha256": hashlib.sha256(body).hexdigest()}
    whole |= {"first": first, "second": second}
    assert {f"data-{name}": value for name, value in whole.items()} | {"hidden": ""} == held.attrs
    copies = {one["data-copy"] for one in page.select("[data-copy]")} | {page.select_one("[data-redacted]")["data-redacted"]}
    told = re.findall(r"[0-9a-f]{16,}", str(page.select_one("section[aria-labelledby=found]")))
    assert set(told) == {*list(whole.values())[2:], made.content_digest, made.ruleset_digest, *copies}


def test_the_seal_s_keys_are_shown_with_what_a_seal_means(visit: Any, issue: Any, store: Any) -> None:
    made = issue()
    assert "seal" not in BeautifulSoup(ask(visit(), made.number, made.check_code).text, "html.parser").find("dl").text
    first = store.seals.make(made.organisation, None, b"a certificate of Harborlight", b"a key")
    store.seals.make(made.organisation, None, b"another of Harborlight", b"its key", first.fingerprint)
    answer = ask(visit(), made.number, made.check_code).text
    page = BeautifulSoup(answer, "html.parser")
    prints = [one["data-print"] for one in page.select("#compare [data-print]")]
    assert prints == [one.fingerprint for one in store.seals.all_of(made.organisation)]
    section = page.find("details", id="seal").text
    assert MEANS in section
    assert all(grouped(one) in section for one in prints)
    assert "Harborlight" not in answer, "no name, of the certificate either"
    told = [one["data-retired"] for one in page.select("#compare [data-print]")]
    day = day_words(store.seals.all_of(made.organisation)[1].retired_at)
    assert told == ["", day]
    store.seals.distrust(made.organisation, None, first.fingerprint)
    page = BeautifulSoup(ask(visit(), made.number, made.check_code).text, "html.parser")
    assert [one["data-print"] for one in page.select("#compare [data-print]")] == prints[:1]
    assert f"Earlier key, not trusted since {day}" in page.find("details", id="seal").text


def test_the_page_is_told_in_the_visitor_s_language_and_knows_the_paper_s_translations(
    visit: Any, issue: Any, store: Any
) -> None:
    made = issue()
    store.seals.make(made.organisation, None, b"a certificate", b"a key")
    spanish = visit().get(
        "/check", query_string={"number": made.number, "code": made.check_code}, headers={"Accept-Language": "es"}
    )
    page = BeautifulSoup(spanish.text, "html.parser")
    assert page.html["lang"] == "es"
    assert f"{made.number}: Vigente" in page.text
    for english in (MEANS, "Compare your PDF", "Choose the PDF", "This file", "Check a paper", "Kind", "Books cited"):
        assert english not in page.text
    cited = next(one.dd for one in page.select("dl.facts > div") if one.dt.text == "Libros citados")
    assert cited.find("span", string="Uniform Plumbing Code 2021")["lang"] == "en", "as the publication is called"
    assert "código Uniform Plumbing Code 2021" in cited.text
    assert "Consumer agency" not in cited.text
    names = {one["data-copy"] for one in page.select("#compare [data-copy]")}
    given = Translated(Filed.of(store.records.get(made.organisation, made.id)), "es")
    own = identity(given.filed, given.name).decode()
    assert own in names
    assert len(names) == 2, "and the English copy that says what became of the paper"
    assert "Ningún documento tiene este número" in visit().get(
        "/check?number=C-9&code=x", headers={"Accept-Language": "es"}
    ).text


def test_it_tells_no_name_and_no_address(visit: Any, issue: Any, store: Any) -> None:
    made = issue()
    key = new_key("Harborlight Plumbing", store.database.moment())
    store.seals.make(made.organisation, None, key.certificate, key.private)
    page = ask(visit(), made.number, made.check_code).text
    assert len(BeautifulSoup(page, "html.parser").select_one("[data-traces]")["data-traces"].split()) == 2
    for private in ("Whitlock", "Oak", "Port Larkin", "Harborlight", "Okafor", "LW26K", "B26-", "C36"):
        assert private not in page


def test_a_replaced_and_a_void_paper_say_by_which_since_when_and_what_that_means(
    visit: Any, issue: Any, store: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    # The firm's own day is still the one before.
    store.organisations.save_settings(1, {"time_zone": "America/Los_Angeles"})
    old = issue()
    assert not {"Replaced on", "Void since"} & facts(visit(), old).keys()
    monkeypatch.setattr(store.database, "clock", lambda: datetime(2031, 5, 2, 3, 0, tzinfo=UTC))
    new = issue(job_id=old.job_id, heater_serial="LW26K0000001")
    told = facts(visit(), old)
    assert f"Replaced by {new.number}" in told["State"]
    assert told["Replaced on"] == "1 May 2031, 8:00\u00a0pm PDT. From that day on it shows only what stood before."
    monkeypatch.setattr(store.database, "clock", lambda: datetime(2031, 6, 9, 3, 0, tzinfo=UTC))
    store.void(new.organisation, new.id, 1, "wrong house")
    # What came in its place later does not move the day on which it was void.
    monkeypatch.setattr(store.database, "clock", lambda: datetime(2031, 7, 1, 3, 0, tzinfo=UTC))
    issue(job_id=old.job_id, heater_serial="LW26K0000002")
    told = facts(visit(), new)
    assert "Void: it holds no more" in told["State"]
    assert told["Void since"].startswith("8 Jun 2031, 8:00\u00a0pm PDT. From that day on nobody should rely on this paper.")
    assert "Replaced on" not in told
    assert "wrong house" not in ask(visit(), new.number, new.check_code).text


def test_page_and_paper_name_one_day_whatever_zone_the_firm_took_since(
    visit: Any, issue: Any, store: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(store.database, "clock", lambda: datetime(2031, 5, 2, 3, 0, tzinfo=UTC))
    old = issue()
    store.organisations.save_settings(1, {"time_zone": "America/Los_Angeles"})
    assert facts(visit(), old)["Issued"] == "2 May 2031, 3:00\u00a0am UTC"


def answer_of(visitor: Any, made: Any) -> str:
    page = BeautifulSoup(ask(visitor, made.number, made.check_code).text, "html.parser")
    said = page.select_one(".answer")
    folded = [one for one in said.find_next_siblings() if one.name == "div"]
    assert all(one.name == "details" for one in folded[0].find_all(recursive=False)), "what else is known is folded"
    return str(said.find_all("p")[-1].text)


def test_the_answer_comes_first_in_one_sentence_with_its_state(
    visit: Any, issue: Any, store: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    store.organisations.save_settings(1, {"time_zone": "America/Los_Angeles"})
    # A firm's day is still the one before that of UTC.
    monkeypatch.setattr(store.database, "clock", lambda: datetime(2031, 5, 2, 3, 0, tzinfo=UTC))
    old = issue()
    assert answer_of(visit(), old) == "Certificate, issued on 1 May 2031: current, for no newer paper stands in its place."
    new = issue(job_id=old.job_id, heater_serial="LW26K0000003")
    replaced = f"Certificate, issued on 1 May 2031: replaced by {new.number} on 1 May 2031, so it shows only what stood before."
    assert answer_of(visit(), old) == replaced
    store.void(new.organisation, new.id, 1, "wrong house")
    assert answer_of(visit(), new) == "Certificate, issued on 1 May 2031: void since 1 May 2031, so nobody should rely on it."
    assert answer_of(visit(), old) == replaced + " No paper of this job is current."
    store.erase(new.organisation, new.id, 1, "asked for")
    assert "void since" in answer_of(visit(), new)
    gone = issue()
    store.erase(gone.organisation, gone.id, 1, "asked for")
    assert "its content was erased here" in answer_of(visit(), gone)


def facts(visitor: Any, made: Any) -> dict[str, str]:
    page = BeautifulSoup(ask(visitor, made.number, made.check_code).text, "html.parser")
    return {one.dt.text: one.dd.text for one in page.find("dl", class_="facts").find_all("div")}


def test_a_correction_list_is_replaced_by_the_certificate_that_followed(
    visit: Any, issue: Any, store: Any
) -> None:
    listed = issue(precharge_psi=25)
    assert listed.kind == "correction_list"
    assert "Current" in ask(visit(), listed.number, listed.check_code).text
    store.jobs.save_answers(1, listed.job_id, {"precharge_psi": "60"})
    done = issue(job_id=listed.job_id)
    assert done.kind == "certificate"
    assert facts(visit(), listed)["State"].startswith(f"Replaced by {done.number}")
    assert "Current" in ask(visit(), done.number, done.check_code).text


def test_a_wrong_code_and_an_unknown_number_get_the_same_answer(visit: Any, issue: Any) -> None:
    made, other = issue(), issue(heater="electric")
    wrong = [
        ask(visit(), made.number, other.check_code),
        ask(visit(), "C-999999", made.check_code),
        ask(visit(), "'; drop table record", made.check_code),
    ]
    said = {BeautifulSoup(answer.text, "html.parser").find(class_="error-summary").text for answer in wrong}
    assert {answer.status_code for answer in wrong} == {404}
    assert len(said) == 1


def test_a_wrong_code_asks_the_database_what_an_unknown_number_does(visit: Any, issue: Any, store: Any) -> None:
    """No more is read for the one than for the other: neither words, status nor work tells them apart."""
    made = issue()
    # The first miss of an address begins its count of them.
    ask(visit(), "C-999998", "AAAA-BBBB-CCCC")
    asked: list[str] = []

    def note(_connection: Any, _cursor: Any, statement: str, *_: Any) -> None:
        asked.append(statement)

    event.listen(store.database.engine, "before_cursor_execute", note)
    told = []
    typed = made.number.lower().replace("-", "")
    for number in (made.number, "C-999999", typed, "c999999"):
        asked.clear()
        answer = ask(visit(), number, "AAAA-BBBB-CCCC")
        page = re.sub(r'name="csrf_token" value="[^"]*"', "", answer.text.replace(number, "C-0"))
        told.append((answer.status_code, list(asked), page))
    event.remove(store.database.engine, "before_cursor_execute", note)
    assert told[0] == told[1]
    assert told[2] == told[3]
    assert told[0][1]


@pytest.mark.parametrize(
    ("number", "code", "fields"),
    [
        ("", "", ["number", "code"]),
        ("C-000001", "", ["code"]),
        ("", "AAAA-BBBB-CCCC", ["number"]),
        ("x" * 5000, "y" * 5000, ["number", "code"]),
    ],
)
def test_what_is_missing_is_named(visit: Any, number: str, code: str, fields: list[str]) -> None:
    page = BeautifulSoup(ask(visit(), number, code).text, "html.parser")
    assert [link["href"] for link in page.find(class_="error-summary").find_all("a")] == [
        f"#{f}" for f in fields
    ]
    assert all(page.find(id=field)["aria-invalid"] == "true" for field in fields)


@pytest.mark.usefixtures("stopped_clock")
def test_guessing_slows_down_and_right_ones_do_not_count(visit: Any, issue: Any) -> None:
    made = issue()
    for _ in range(20):
        assert ask(visit(), made.number, made.check_code).status_code == 200
    tries = [ask(visit(), made.number, f"AAAA-AAAA-{n:04}") for n in range(14)]
    assert [one.status_code for one in tries[:10]] == [404] * 10
    stopped = next(one for one in tries if one.status_code == 429)
    page = BeautifulSoup(stopped.text, "html.parser")
    assert "Too many tries. Wait" in page.find(id="number-error").text
    assert [page.find(id=box)["value"][:9] for box in ("number", "code")] == [made.number, "AAAA-AAAA"], "to be sent again"
    assert int(stopped.headers["Retry-After"]) > 0
