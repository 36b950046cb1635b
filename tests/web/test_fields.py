"""Fields that are drawn once and kept: each page shows its own answers, and a person's words are not kept."""

from __future__ import annotations

import html
from typing import Any

import pytest
from bs4 import BeautifulSoup

from heaterapp.filling.typed import questions_of, shown
from heaterapp.rules import SECTIONS, Job
from heaterapp.web import fields


def _drawn_values(page: str, section: str) -> dict[str, str]:
    soup = BeautifulSoup(page, "html.parser")
    own, found = {question.name for question in questions_of(section)}, {}
    for box in soup.find_all(["input", "select"], attrs={"name": True}):
        if box["name"].split("-")[0] not in own:
            continue
        if box.name == "select":
            chosen = box.find("option", selected=True)
            found[box["name"]] = chosen["value"] if chosen else ""
        elif box["type"] != "radio" or box.has_attr("checked"):
            found[box["name"]] = box.get("value", "")
    return {name: value for name, value in found.items() if value}


@pytest.mark.parametrize("section", list(SECTIONS))
def test_every_field_shows_its_own_answer_however_often_it_was_drawn(
    visit: Any, answers_of: Any, store: Any, section: str
) -> None:
    visitor = visit("installer")
    for name in ("gas_storage_us_ca", "electric_storage_irc", "gas_storage_us_ca"):
        answers = Job(answers_of(name)).canonical()
        job = store.jobs.create(1, visitor.person.id, answers)
        expected = {}
        for question in questions_of(section):
            ends = shown(question, answers.get(question.name))
            expected |= {question.name + end: text for end, text in ends.items()}
        assert _drawn_values(visitor.get(f"/jobs/{job.id}/{section}").text, section) == expected


def test_what_is_hidden_on_one_job_is_not_hidden_on_another(visit: Any) -> None:
    visitor = visit("installer")
    gas, electric = visitor.begin(), visitor.begin(heater_kind="electric_storage")
    for _ in range(2):
        for job, hidden in ((gas, True), (electric, False)):
            soup = BeautifulSoup(visitor.get(f"/jobs/{job}/electric").text, "html.parser")
            assert soup.find(attrs={"data-q": "volts"}).has_attr("hidden") is hidden


def test_no_word_of_a_person_is_kept_beyond_the_page(visit: Any, app: Any) -> None:
    visitor = visit("installer")
    job = visitor.begin()
    said = {
        "owner_name": "Dana Whitlock", "house_pressure_psi-said": "could_not_measure", "house_pressure_psi-why": "Dog in the yard",
        "prv_setting_psi": "sixty or so",
    }  # fmt: skip
    visitor.post(f"/jobs/{job}/job", {"owner_name": "Dana Whitlock"})
    assert "sixty or so" in visitor.post(f"/jobs/{job}/water", said).text
    pages = visitor.get(f"/jobs/{job}/job").text + visitor.get(f"/jobs/{job}/water").text
    assert "Dana Whitlock" in pages
    assert "Dog in the yard" in pages
    kept = " ".join(map(str, app.extensions["drawn_fields"].values()))
    assert "Pressure" in kept
    for word in ("Dana", "Dog in", "sixty", "Oak Ave"):
        assert word not in kept


def test_no_more_is_kept_than_is_said(visit: Any, app: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(fields, "MOST_KEPT", 30)
    visitor = visit("installer")
    job = visitor.begin()
    for section in SECTIONS:
        assert visitor.get(f"/jobs/{job}/{section}").status_code == 200
        assert len(app.extensions["drawn_fields"]) <= 30


def test_a_hostile_answer_is_text_in_its_field_and_on_every_page(visit: Any, store: Any) -> None:
    visitor = visit("installer")
    nasty = '"><script>x</script><b style="x">'
    texts = {
        q.name: nasty
        for section in SECTIONS
        for q in questions_of(section)
        if q.kind == "text" and q.name != "place"
    }
    start = {"heater_kind": "gas_storage", "job_kind": "same_place", "place": "us_ca_2022"}
    job = store.jobs.create(1, visitor.person.id, {**start, **texts})
    for path in (*SECTIONS, "review"):
        page = visitor.get(f"/jobs/{job.id}/{path}").text
        soup = BeautifulSoup(page, "html.parser")
        assert all(script.get("src") for script in soup.find_all("script"))
        assert not [tag for tag in soup.find_all(True) if tag.has_attr("style")]
        if any(q.name in texts for q in questions_of(path) if path in SECTIONS):
            assert html.escape(nasty, quote=False).replace('"', "&#34;") in page
