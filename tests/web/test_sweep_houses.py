"""A recall reaches every heater once: jobs without a paper too, one letter a house, by the present serial."""

from __future__ import annotations

import csv
import io
import re
from typing import Any

import pytest

from heaterapp import demo
from tests.web.test_sweep import WAY

LETTER = {"model": "wh", "text": "Dear [owner], your [serial]. [number]"}
HEATER = {"heater_maker": "Acme", "heater_model": "WH-40T", "heater_serial": "AB-0100"}


@pytest.fixture
def draft(store: Any, people: Any) -> Any:
    def one(street: str = "90 Quay Road", **different: Any) -> str:
        story = demo.Story("PL-0002", "gas", street, "Lotte Ferrer", "AB-0177", "2026-09-05")
        answers = {**demo.answers_of(story), **HEATER, "heater_serial": "AB-0177", **different}
        person = people["a", "installer"]
        return str(store.jobs.create(person.organisation, person.id, answers).id)

    return one


def rows_of(sent: Any) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(sent.data.decode("utf-8-sig"))))


FITS = {
    "model=WH": True, "model=acme+wh-4": True, "model=X": False, "serial_from=ab+0177": True,
    "serial_from=AB0170&serial_to=AB0179": True, "serial_from=AB0178&serial_to=AB0179": False,
    "serial_from=0170&serial_to=0179": True, "serial_from=0177&day_from=2026-09-05": True,
    "model=WH&day_from=2026-09-06": False, "model=WH&day_to=2026-09-05": True,
    "model=WH&place=us_ca_2022": True, "model=WH&place=us_wa": False,
    "model=WH&expansion_tank=4.50": True, "model=WH&expansion_tank=2": False, "model=WH&verdict=fails": False,
}  # fmt: skip


def test_a_job_without_a_paper_is_said_and_leads_to_the_desk(visit: Any, draft: Any) -> None:
    job, office, other = draft(expansion_tank_gal="4.5"), visit("office"), visit("office", firm="b")
    for asked, fits in FITS.items():
        page = office.get(f"{WAY}?{asked}").text
        assert (f'href="/office/desk/{job}"' in page) is fits, asked
        assert ("1 job without a paper</a>" in page) is fits, asked
        assert job not in other.get(f"{WAY}?{asked}").text, asked


def test_list_and_letters_take_the_jobs_without_a_paper_along_where_asked(visit: Any, issue: Any, draft: Any) -> None:
    issue(**HEATER)
    draft()
    draft(street="12 North Oak Avenue", heater_serial="AB-0178")
    office = visit("office")
    assert 'name="desk" type="checkbox" value="yes" checked' in office.get(f"{WAY}?model=wh").text
    assert len(rows_of(office.post(f"{WAY}/list.csv", {"model": "wh"}))) == 1
    rows = rows_of(office.post(f"{WAY}/list.csv", {"model": "wh", "desk": "yes"}))
    assert [row["Paper"] for row in rows] == ["current", "none yet", "none yet"]
    assert {row["Kind"] for row in rows[1:]} == {"At the desk, no paper"}
    assert "AB-0177" not in office.post(f"{WAY}/letters", LETTER).text
    page = office.post(f"{WAY}/letters", {**LETTER, "desk": "yes"}).text
    assert page.count('class="letter"') == 2
    assert "Dear Lotte Ferrer, your AB-0177. not issued yet" in page
    assert "your AB-0100 and AB-0178." in page
    assert "In our books, no paper yet" in page


def test_a_job_without_a_paper_alone_can_be_written_to(visit: Any, draft: Any, store: Any, people: Any) -> None:
    draft()
    page = visit("office").post(f"{WAY}/letters", {**LETTER, "desk": "yes"})
    assert page.status_code == 200
    assert "Dear Lotte Ferrer" in page.text


def test_papers_and_addresses_are_counted_apart_and_a_house_gets_one_letter(visit: Any, issue: Any) -> None:
    first = issue(**HEATER)
    second = issue(job_id=first.job_id, heater_serial="AB-0101")
    issue(**HEATER, address_street="7 Ferry Lane")
    office = visit("office")
    assert "2 addresses<" in office.get(f"{WAY}?model=wh").text
    page = office.get(f"{WAY}?model=wh&all=yes").text
    assert "3 papers at 2 addresses<" in page
    assert f"replaced by {second.number}" in page
    assert "now serial AB-0101" in page
    page = office.post(f"{WAY}/letters", {**LETTER, "all": "yes"}).text
    assert page.count('class="letter"') == 2
    page = office.post(f"{WAY}/letters", {**LETTER, "all": "yes", "serial_from": "AB0100", "model": "acme"}).text
    assert f"your AB-0101. {second.number}" in page
    assert f"serial AB-0101. Our record {second.number}" in page
    rows = rows_of(office.post(f"{WAY}/list.csv", {"model": "wh", "all": "yes"}))
    assert [(row["Paper"], row["Serial now"]) for row in rows] == [
        ("current", "AB-0100"), ("current", "AB-0101"), (f"replaced by {second.number}", "AB-0101"),
    ]  # fmt: skip


def test_an_address_that_was_corrected_is_one_house(visit: Any, issue: Any) -> None:
    first = issue(**HEATER)
    issue(job_id=first.job_id, address_street="14 N. Oak Ave")
    page = visit("office").post(f"{WAY}/letters", {**LETTER, "all": "yes"}).text
    assert page.count('class="letter"') == 1
    assert "14 N. Oak Ave<br>" in page


def test_a_mark_that_nothing_fills_is_refused_by_name(visit: Any, issue: Any) -> None:
    issue(**HEATER)
    office = visit("office")
    for strange in ("[Adress]", "[ADRESSE]", "[owners]", "[]"):
        page = office.post(f"{WAY}/letters", {"model": "wh", "text": f"Dear [OWNER], {strange}"})
        assert page.status_code == 422
        assert f"Text: {strange} would be printed as typed" in page.text
        assert "[owner], [address], [model], [serial], [number]" in page.text
        assert f"Dear [OWNER], {strange}</textarea>" in page.text


def test_a_letter_that_is_typed_stays_when_one_looks_again_or_comes_back(visit: Any, issue: Any) -> None:
    issue(**HEATER)
    office = visit("office")
    found = office.post(WAY, {"model": "acme", "text": "Dear [Owner],\r\nlook", "of": "model=wh"})
    assert found.status_code == 200
    assert "Dear [Owner],\nlook</textarea>" in found.text
    assert 'value="acme"' in found.text
    letters = office.post(f"{WAY}/letters", {"of": "model=wh", "model": "nothing", "text": "Dear [Owner],"}).text
    assert "Dear Dana Whitlock," in letters
    assert re.search(rf'action="{WAY}".*?value="Dear \[Owner\],".*?name="model" value="wh"', letters, re.S)
    assert "Dear</textarea>" in office.post(WAY, {"model": "nothing", "text": "Dear"}).text
    assert "Dear</textarea>" in office.post(WAY, {"model": "/", "text": "Dear"}).text
    empty = office.post(WAY, {"model": "wh", "all": "yes", "text": " "})
    assert (empty.status_code, empty.location) == (303, f"{WAY}?model=wh&all=yes")
