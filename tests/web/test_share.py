"""The homeowner's page: both languages say the same, plainly, and the link gives nothing to guessers."""

from __future__ import annotations

import re
from datetime import UTC, datetime
from typing import Any

import pytest
from bs4 import BeautifulSoup

from heaterapp.homeowner.dialing import numbers_in, pieces

from .conftest import PAPER

NEVER = re.compile(r"\b(safe|safely|safety|guarante\w*|approv\w*|segur[oa]s?|garanti\w*|aproba\w*)\b", re.I)
ENDS = ("", "/certificate.pdf", "/care.ics")
JARGON = re.compile(r"\b(verdict|finding|meets|clause|psia|Btu|cumple|hallazgo)\b", re.I)


@pytest.fixture
def link(issue: Any, store: Any) -> Any:
    def of(**different: Any) -> str:
        made = issue(**different)
        token, _ = store.shares.make(made.organisation, made.id)
        return f"/s/{token}"

    return of


def test_the_page_leads_to_where_its_paper_is_proven(visit: Any, link: Any, store: Any) -> None:
    where = link()
    for language, words in (("en", "Prove this paper"), ("es", "Comprobar este documento")):
        page = BeautifulSoup(visit().get(f"{where}?lang={language}").text, "html.parser")
        way = page.find("a", string=words)
        told = visit().get(way["href"]).text
        number, code = re.search(r"number=([^&]+)&code=(.+)", way["href"]).groups()
        assert f"{number}, " in way.parent.text
        assert code in way.parent.text
        assert f'<span class="unbroken">{number}</span>: ' in told
        proof = page.find(class_="proof").text
        assert all(one in proof for one in (number, code, "http://localhost/check")), "on paper nothing is pressed"


def shape(page: BeautifulSoup) -> list[str]:
    return [tag.name for tag in page.find("main").find_all(True)]


@pytest.mark.parametrize(
    "job",
    [
        {},
        {"heater": "electric"},
        {"job_kind": "existing", "install_year": 2011},
        {"mixing_valve_fitted": "yes", "mixed_outlet_f": 120, "thermostat_f": 140},
        {
            "house_pressure_psi": {"could_not_measure": "no gauge"},
            "job_kind": "existing",
            "install_year": 2011,
        },
    ],
    ids=["gas", "electric", "existing", "mixed", "unmeasured"],
)
def test_both_languages_have_the_same_parts_and_no_jargon(visit: Any, link: Any, job: dict[str, Any]) -> None:
    where = link(**job)
    pages = {}
    for language in ("en", "es"):
        answer = visit().get(f"{where}?lang={language}")
        assert answer.status_code == 200
        pages[language] = BeautifulSoup(answer.text, "html.parser")
        text = pages[language].get_text(" ")
        assert pages[language].html["lang"] == language
        # The name of a law is no word about the heater.
        assert not NEVER.search(text.replace("Health and Safety Code", "")), NEVER.search(text)
        assert not JARGON.search(text), JARGON.search(text)
        assert "None" not in text
        assert "{" not in text
    assert shape(pages["en"]) == shape(pages["es"])
    other = pages["en"].find("a", string="Español")
    assert (other["lang"], other["hreflang"], other["href"]) == ("es", "es", f"{where}?lang=es")


def test_a_phone_number_is_dialed_by_a_tap_and_no_house_number_is(visit: Any, link: Any, store: Any) -> None:
    store.organisations.save_settings(1, {"gas_emergency_phone": "(555) 010-0111 ext. 9"})
    for language in ("en", "es"):
        main = BeautifulSoup(visit().get(f"{link(job_ref=language)}?lang={language}").text, "html.parser").find("main")
        calls = main.find(class_="part-calls")
        dialed = {one["href"]: one.text for one in main.select("a.call")}
        assert dialed["tel:911"] == "911"
        assert dialed["tel:5550100111;ext=9"] == "(555) 010-0111 ext. 9"
        assert len(main.select(".emergency a.call")) == 3
        assert calls.find("a")["href"] == "tel:911"
        assert len(calls.select("a")) == 3, "the firm's too"
        assert not main.find(class_="part-what").select("a.call")
    assert pieces("911 Quay Road", numbers_in("555-0142")) == (("911 Quay Road", ""),)
    assert [one.dial for one in pieces("Call 555-911-0142 or 911.", ["911", "555-911-0142"])] == ["", "5559110142", "", "911", ""]


def test_a_void_paper_is_not_offered_as_one_to_keep(visit: Any, issue: Any, store: Any, people: Any) -> None:
    made = issue()
    token, _ = store.shares.make(made.organisation, made.id)
    store.void(made.organisation, made.id, people["a", "office"].id, "wrong house")
    for language, says in (("en", "The void paper, for your records"), ("es", "El documento anulado, para su archivo")):
        main = BeautifulSoup(visit().get(f"/s/{token}?lang={language}").text, "html.parser").find("main")
        assert "notice-void" in main.find("h1").find_next_sibling()["class"]
        assert main.find(class_="part-paper").find("a").text == says
        assert main.select(".button") == []
        assert {one["class"][1] for one in main.select(".part")} == {"part-what", "part-watch", "part-care", "part-calls", "part-paper"}


@pytest.mark.parametrize("asked", ["", "?lang=", "?lang=de", "?lang=es'--", "?lang=" + "x" * 5000])
def test_an_unknown_language_is_english(visit: Any, link: Any, asked: str) -> None:
    assert BeautifulSoup(visit().get(link() + asked).text, "html.parser").html["lang"] == "en"


def test_the_emergency_box_stands_first(visit: Any, link: Any) -> None:
    for language in ("en", "es"):
        main = BeautifulSoup(
            visit().get(f"{link(job_ref=language)}?lang={language}").text, "html.parser"
        ).find("main")
        box = main.find("section")
        assert "emergency" in box["class"]
        assert len(box.text.split()) <= 120
        assert box.text.count("911") == 2


def test_the_numbers_are_sentences(visit: Any, link: Any) -> None:
    page = BeautifulSoup(visit().get(link(outlet_temperature_f=120)).text, "html.parser")
    kept = [item.find_all("span")[-1].text for item in page.find(class_="numbers").find_all("li")]
    assert kept[:2] == ["The heater was set to 120\u00a0°F.", "At the tap the water measured 120\u00a0°F."], "no line ends within a number"
    said = [one.replace("\u00a0", " ") for one in kept]
    assert "The water pressure in the house was 60 psi." in said
    assert any(one.endswith("was filled with air to 60 psi. It makes room for water that grows as it heats.") for one in said)
    assert any(one.startswith("The tank has 2 straps, at ") for one in said)
    assert "September 3, 2026" in page.text
    assert "40\u00a0gallons" in page.text


def test_a_heater_looked_over_is_not_called_installed_and_gas_words_stay_with_gas(
    visit: Any, link: Any
) -> None:
    looked = visit().get(link(job_kind="existing", install_year=2011)).text
    assert "looked over a gas water heater" in looked
    assert "installed a" not in looked
    assert "Others installed it in 2011." in looked
    assert "This is not a certificate." in looked
    electric = visit().get(link(heater="electric")).text
    assert "installed an electric water heater" in electric
    assert "flame, or soot" not in electric
    assert "Burner" not in electric
    assert "smell gas" not in electric


def test_a_correction_list_says_what_is_to_be_fixed_and_that_it_is_no_certificate(visit: Any, link: Any) -> None:
    where = link(precharge_psi=40)
    for language, none, rule in (
        ("en", "This is not a certificate.", "The air in the expansion tank must match the house pressure."),
        ("es", "Esto no es un certificado.", "El aire del tanque de expansión debe ser igual a la presión de la casa."),
    ):
        main = BeautifulSoup(visit().get(f"{where}?lang={language}").text, "html.parser").find("main")
        assert none in main.find("h1").find_next_sibling().text
        assert main.find("section").find_next("section")["aria-labelledby"] == "still"
        assert any(item.text.startswith(rule) for item in main.find(class_="points").find_all("li"))


def test_every_heater_s_page_is_whole_without_a_script(visit: Any, link: Any) -> None:
    page = BeautifulSoup(visit().get(link()).text, "html.parser")
    assert {one["src"].rpartition("/")[2].partition("?")[0] for one in page.find_all("script")} == {"theme.js", "print.js"}
    assert page.find("main").find(True, onclick=True) is None
    assert page.find(attrs={"data-to-print": True}).text.startswith("To print it on one sheet")
    assert page.find(attrs={"data-print": True}).parent.has_attr("hidden"), "a button that needs a script"
    for one in page.find_all("section"):
        assert page.find(id=one["aria-labelledby"]).name == "h2"


def test_the_calendar_comes_in_the_language_by_the_firm_s_clocks_and_is_kept_by_nobody(
    visit: Any, link: Any, store: Any
) -> None:
    where = link()
    store.organisations.save_settings(1, {"time_zone": "America/Los_Angeles"})
    page = BeautifulSoup(visit().get(f"{where}?lang=es").text, "html.parser")
    assert page.find("a", string="Ponerlo en su calendario")["href"] == f"{where}/care.ics?lang=es"
    answer = visit().get(f"{where}/care.ics?lang=es")
    assert answer.headers["Content-Type"] == "text/calendar; charset=utf-8"
    assert answer.headers["Content-Disposition"] == 'attachment; filename="C-000001-care.ics"'
    assert answer.headers["Cache-Control"] == "no-store"
    assert answer.headers["Referrer-Policy"] == "no-referrer"
    assert "SUMMARY:Calentador de agua: lavar el tanque\r\n" in answer.text
    assert "TZID=America/Los_Angeles" in answer.text
    assert where.removeprefix("/s/") not in answer.text
    assert "SUMMARY:Water heater: flush the tank" in visit().get(f"{where}/care.ics?lang=de").text
    plain = visit().get(where)
    assert (plain.headers["Cache-Control"], plain.headers["Referrer-Policy"]) == ("no-store", "no-referrer")


def test_the_paper_comes_to_the_byte(visit: Any, link: Any) -> None:
    answer = visit().get(link() + "/certificate.pdf")
    assert answer.data == PAPER + b"C-000001"
    assert answer.headers["Content-Type"] == "application/pdf"
    assert answer.headers["Content-Disposition"].startswith("attachment; ")
    assert answer.headers["Cache-Control"] == "no-store"
    assert answer.headers["Referrer-Policy"] == "no-referrer"


def test_the_calendar_of_a_later_paper_replaces_the_events_of_the_one_before(
    visit: Any, issue: Any, store: Any
) -> None:
    first = issue()
    second = issue(job_id=first.job_id)
    told = []
    for made in (first, second):
        token, _ = store.shares.make(made.organisation, made.id)
        said = visit().get(f"/s/{token}/care.ics").text
        told.append((re.findall(r"UID:(.+)\r", said), set(re.findall(r"SEQUENCE:(\d+)\r", said))))
    (ids, before), (later, after) = told
    assert ids
    assert ids == later[: len(ids)], "and what an earlier one may have held is taken back"
    assert (before, after) == ({"1"}, {"3"})


def test_a_link_that_opens_writes_nothing(visit: Any, link: Any, store: Any, monkeypatch: Any) -> None:
    where = link()
    monkeypatch.setattr(store.throttle, "attempt", lambda *_: pytest.fail("a full disk would keep the page from who smells gas"))
    assert visit().get(where).status_code == 200


def test_a_newer_paper_is_named(visit: Any, issue: Any, store: Any) -> None:
    old = issue()
    token, _ = store.shares.make(old.organisation, old.id)
    new = issue(job_id=old.job_id, heater_serial="LW26K0000001")
    assert f"A newer paper, {new.number}, replaced this one." in visit().get(f"/s/{token}").text
    answer = visit().get(f"/s/{token}/certificate.pdf")
    assert (answer.status_code, answer.location) == (303, f"/s/{token}/in/en.pdf"), "the paper itself cannot say so"


def test_the_present_paper_is_named_and_what_it_is(visit: Any, issue: Any, store: Any, people: Any) -> None:
    old = issue()
    token, _ = store.shares.make(old.organisation, old.id)
    between = issue(job_id=old.job_id, heater_serial="LW26K0000001")
    listed = issue(job_id=old.job_id, precharge_psi="25")
    assert listed.kind == "correction_list"
    page = visit().get(f"/s/{token}").text
    assert f"{listed.number}, a list of what is to be put right, is the newest one" in page
    assert between.number not in page
    said = BeautifulSoup(visit().get(f"/check?number={old.number}&code={old.check_code}").text, "html.parser").text
    assert f"Replaced by {between.number}. Current now: {listed.number}" in said
    store.void(old.organisation, listed.id, people["a", "office"].id, "wrong house")
    assert "no newer one stands" in visit().get(f"/s/{token}").text
    said = BeautifulSoup(visit().get(f"/check?number={old.number}&code={old.check_code}").text, "html.parser").text
    assert f"Replaced by {between.number}. No paper of this job is current" in said


def test_a_closed_an_expired_and_an_unknown_link_look_the_same(visit: Any, issue: Any, store: Any) -> None:
    made = issue()
    closed, share = store.shares.make(made.organisation, made.id)
    store.shares.revoke(made.organisation, share.id)
    past, _ = store.shares.make(made.organisation, made.id, expires_at=datetime(2020, 1, 1, tzinfo=UTC))
    answers = [
        visit().get(f"/s/{token}{end}")
        for token, ends in ((closed, ENDS), (past, ENDS), ("A" * 32, ENDS), ("y" * 3000, ("", "/of/nobody")))
        for end in ends
    ]
    assert {answer.status_code for answer in answers} == {404}
    assert len({answer.text for answer in answers}) == 1
    assert "sign-in" not in answers[0].text
    assert 'href="/"' not in answers[0].text
    for asked, accepted, says in (("", "es-MX,es;q=0.9", "Este enlace no abre"), ("?lang=en", "es", "This link does not open"), ("?lang=es", "en", "Este enlace no abre"), ("?lang=x", "de", "This link does not open")):
        page = BeautifulSoup(visit().get(f"/s/a/of/nobody{asked}", headers={"Accept-Language": accepted}).text, "html.parser")
        assert page.find("h1").text == says
        assert page.html["lang"] == ("es" if says.startswith("Este") else "en")
        assert {"en": "Ask the firm that gave", "es": "Pregunte a la empresa"}[page.html["lang"]] in page.find("main").text


@pytest.mark.usefixtures("stopped_clock")
def test_guessing_links_slows_down_and_a_right_one_is_not_counted(visit: Any, link: Any) -> None:
    where = link()
    for _ in range(30):
        assert visit().get(where).status_code == 200
    tries = [visit().get(f"/s/guess{n}").status_code for n in range(14)]
    assert tries[:10] == [404] * 10
    assert 429 in tries
    stopped = visit().get("/s/another")
    assert stopped.status_code == 429
    assert int(stopped.headers["Retry-After"]) >= 1
    for ends, accepted, says in (("", "es-MX", "Demasiados intentos"), ("?lang=en", "es", "Too many tries")):
        page = BeautifulSoup(visit().get(f"/s/another{ends}", headers={"Accept-Language": accepted}).text, "html.parser")
        assert (page.h1.text, page.html["lang"]) == (says, "es" if "es-MX" in accepted else "en")
        assert page.main.find("a") is None, "no way to a sign-in"
        assert "Harborlight" not in page.text
