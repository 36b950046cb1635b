"""The page of sweeps: addresses found, a safe list, a letter a page, each firm its own."""

import csv
import io
import json
import re

import pytest

from heaterapp.archive.sweep_shapes import Swept
from heaterapp.web.act_words import told
from heaterapp.web.letters import MOST_LINES, NOBODY, letter_of, unfit

HEATER = {
    "heater_maker": "Acme", "heater_model": "WH-40T", "heater_serial": "0012345", "owner_name": "=Dana Whitlock",
    "expansion_device": "tank", "expansion_tank_gal": "4.4", "precharge_psi": "60",
}  # fmt: skip
WAY = "/office/sweep"


@pytest.fixture
def record(issue):
    return issue(**HEATER)


def test_addresses_are_found_and_lead_to_their_records(visit, record, issue):
    issue(heater_serial="0099999", heater_model="ZX-1", address_street="7 Ferry Lane")
    office = visit("office")
    assert "addresses" not in office.get(WAY).text.partition("<form")[2]
    page = office.get(
        f"{WAY}?model=wh+40&serial_from=0012000&serial_to=0012999&expansion_tank=4.4+gal&verdict="
    ).text
    assert "1 address<" in page
    assert f'<a href="/office/records/{record.number}">' in page
    assert "Acme WH-40T, serial 0012345, tank 4.4 gal" in page
    assert 'value="wh 40"' in page
    assert "2 addresses<" in office.get(f"{WAY}?place={record.facts.place}").text
    assert "No address has all of this" in office.get(f"{WAY}?model=nothing").text


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        ("serial_from=AB1&serial_to=AB12", "Serial, last: expected a serial number of 3 letters"),
        ("expansion_tank=large", "Expansion tank: expected"),
        ("day_from=yesterday", "Work from: expected a date such as 2026-03-14"),
        ("day_from=2026-03-15&day_to=2026-03-14", "Work to: expected a date not before"),
        ("day_from=2026-03-15&day_to=20260314", "Work to: expected a date not before"),
        ("place=nowhere", "Codes: expected one of the list"),
        ("verdict=meets", "Verdict: expected one of the list"),
        ("model=%2F", "Model: expected a model with letters"),
    ],
)
def test_what_cannot_be_sought_is_said_and_what_was_typed_stays(visit, record, asked, says):
    page = visit("office").get(
        f"{WAY}?{asked}&serial_from=AB1" if "serial" not in asked else f"{WAY}?{asked}"
    )
    assert page.status_code == 200
    assert says in page.text
    assert 'value="AB1"' in page.text
    assert "A letter to each" not in page.text


def test_every_wrong_box_is_said_at_once(visit, record):
    page = (
        visit("office")
        .get(f"{WAY}?serial_from=AB1&serial_to=AB12&expansion_tank=big&verdict=meets&day_to=never")
        .text
    )
    summary = page[page.index("error-summary") : page.index('<form class="stack"')]
    assert all(f"{box}: expected" in summary for box in ("Serial, last", "Expansion tank", "Verdict", "Work to"))


def test_the_list_is_safe_for_a_spreadsheet_and_keeps_its_zeros(visit, record, store):
    sent = visit("office").post(f"{WAY}/list.csv", {"model": "wh"})
    assert sent.status_code == 200
    text = sent.data.decode("utf-8-sig")
    rows = list(csv.reader(io.StringIO(text)))
    line = dict(zip(rows[0], rows[1], strict=True))
    assert line["Owner"] == "'=Dana Whitlock"
    assert (line["Serial"], line["Work"], line["Expansion tank, gal"]) == ("0012345", "2026-09-03", "4.4")
    assert '"0012345"' in text
    (entry,) = [one for one in store.log.entries(record.organisation) if one.act == "sweep"]
    assert json.loads(entry.body) == {"count": 1, "form": "list", "sought": {"current": True, "model": "wh"}}


def test_a_letter_a_page_with_everything_escaped_and_the_text_as_typed(visit, record, store):
    text = "Dear [owner],\r\n\r\nthe <b>valve</b> of your [model] ([serial]) is recalled. [ Number ] (nothing)"
    page = visit("office").post(f"{WAY}/letters", {"model": "wh", "text": text}).text
    assert page.count('class="letter"') == 1
    assert "12 N. Oak Ave<br>" in page
    assert "Harborlight Plumbing" in page
    told = re.search(r'letter-text">(.*?)</p>', page, re.S).group(1)
    assert told == (
        "Dear =Dana Whitlock,\n\nthe &lt;b&gt;valve&lt;/b&gt; of your Acme WH-40T (0012345) is recalled."
        f" {record.number} (nothing)"
    )
    (entry,) = [one for one in store.log.entries(record.organisation) if one.act == "sweep"]
    assert json.loads(entry.body)["form"] == "letters"
    assert "Dana" not in entry.body
    assert "made letters to 1 address by model wh" in visit("office").get("/office/log").text


@pytest.mark.parametrize(
    ("sent", "says"),
    [
        ({"model": "wh", "text": " "}, "Text: expected the text"),
        ({"model": "wh", "text": "x" * 2501}, "at most 2,500 characters"),
        ({"model": "wh", "text": "x\n" * 31 + "x"}, f"at most {MOST_LINES} lines"),
        ({"text": "Dear all"}, "Fill in at least one box"),
        ({"model": "nothing", "text": "Dear all"}, "No address has all of this"),
    ],
)
def test_letters_that_cannot_be_made_are_refused_whole(visit, record, store, sent, says):
    page = visit("office").post(f"{WAY}/letters", sent)
    assert page.status_code == 422
    assert says in page.text
    assert [one.act for one in store.log.entries(record.organisation)].count("sweep") == 0


def test_a_list_of_everybody_needs_a_question(visit, record):
    assert visit("office").post(f"{WAY}/list.csv", {}).status_code == 422


def test_another_firm_finds_nothing_and_an_installer_may_not(visit, record):
    assert "No address has all of this" in visit("owner", firm="b").get(f"{WAY}?model=wh").text
    assert visit("office", firm="b").post(f"{WAY}/list.csv", {"model": "wh"}).status_code == 422
    assert visit("installer").get(WAY).status_code == 403
    assert visit().get(WAY).status_code == 302
    assert (
        visit("office").post(f"{WAY}/letters", {"model": "wh", "text": "x"}, without=True).status_code == 400
    )


def test_more_than_a_page_of_addresses_and_of_letters_follow_on(visit, record, issue, monkeypatch):
    issue(**{**HEATER, "heater_serial": "0012346", "address_street": "7 Ferry Lane"})
    monkeypatch.setattr("heaterapp.web.sweep.PER_PAGE", 1)
    monkeypatch.setattr("heaterapp.web.sweep.MOST_LETTERS", 1)
    office = visit("office")
    page = office.get(f"{WAY}?model=wh").text
    assert "2 addresses<" in page
    after = re.search(r'name="after" value="(\d+)"', page).group(1)
    assert "serial 0012345" in office.get(f"{WAY}?model=wh&after={after}").text
    letters = office.post(f"{WAY}/letters", {"model": "wh", "text": "Dear [serial]"}).text
    assert "Dear 0012346" in letters
    assert "Make the following letters" in letters
    letters = office.post(f"{WAY}/letters", {"model": "wh", "text": "Dear [serial]", "after": after}).text
    assert "Dear 0012345" in letters
    assert "following letters" not in letters


def test_a_letter_names_the_contact_first_and_nobody_last():
    known = Swept(1, "C-1", "certificate", "j", "2026-01-01T00:00:00Z", "", "", "", "", "", "", "", "", "")
    assert (
        letter_of([known], "[owner] at [address], [model]").text
        == f"{NOBODY} at your address, your water heater"
    )
    named = Swept(
        1,
        "C-1",
        "certificate",
        "j",
        "2026-01-01T00:00:00Z",
        "",
        "1 Oak, Port Larkin, CA 99999",
        "[serial]",
        "M",
        "7",
        "",
        "",
        "",
        "",
    )
    assert letter_of([named], "[owner]").text == "[serial]"
    assert letter_of([named], "x").lines == ("1 Oak", "Port Larkin, CA 99999")
    assert "hidden characters" in unfit("a\x00b")


def test_a_heater_whose_paper_is_void_is_not_lost(visit, issue, store, people):
    gone = issue(**HEATER)
    store.void(gone.organisation, gone.id, people["a", "office"].id, "wrong date")
    office = visit("office")
    page = office.get(f"{WAY}?model=wh").text
    assert "1 address<" in page
    assert "its paper is void" in page
    assert "<b>1</b> of these has a void paper" in page
    rows = list(csv.reader(io.StringIO(office.post(f"{WAY}/list.csv", {"model": "wh"}).data.decode("utf-8-sig"))))
    assert dict(zip(rows[0], rows[1], strict=True))["Paper"] == "void"
    issue(job_id=gone.job_id)
    assert "its paper is void" not in office.get(f"{WAY}?model=wh").text


def test_digits_alone_are_looked_for_at_the_end_and_that_is_said(visit, issue):
    found = issue(**{**HEATER, "heater_serial": "LW26K0041877"})
    office = visit("office")
    page = office.get(f"{WAY}?serial_from=41000&serial_to=41999").text
    assert found.number in page
    assert "Serials that end in digits from 41000 to 41999, whatever stands before." in page
    assert 'name="of" value="serial_from=41000&amp;serial_to=41999&amp;ends=yes"' in page
    assert "Exactly the serial LW26K0041877" in office.get(f"{WAY}?serial_from=LW26K0041877").text
    assert "A range finds only serials of the same length" in office.get(f"{WAY}?serial_from=LW1&serial_to=LW9").text
    issue(**{**HEATER, "heater_serial": "41500"})
    page = office.get(f"{WAY}?serial_from=41000&serial_to=41999").text
    assert "1 address<" in page
    assert "ends=yes" in page
    assert "2 with serials that end in this range of digits" in page


def test_the_log_says_a_serial_as_long_as_its_job_is_kept():
    body = {"form": "list", "count": 1, "sought": {"model": "WH"}}
    assert told("sweep", {**body, "serial_from": "AB-1"}, "").endswith("by model WH, serial from AB-1")
    assert told("sweep", {**body, "serial_from": ""}, "").endswith("by model WH, serial from not kept")
