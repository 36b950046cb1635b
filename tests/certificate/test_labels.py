"""No reader meets a stored word: every choice, "not here" and "could not measure" is said as its question says it."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from decimal import Decimal
from html import unescape
from pathlib import Path
from typing import Any

import pytest

from heaterapp.certificate.content import paper_of
from heaterapp.certificate.filed import Filed
from heaterapp.certificate.press import html_of
from heaterapp.filling.review import review_html
from heaterapp.filling.standing import where_it_stands
from heaterapp.rules import CATALOGUE, Job, assess
from heaterapp.sheet.live import live
from heaterapp.web.recorded import recorded
from tests.alone import findings_of

TESTS = Path(__file__).parent.parent
JOBS = sorted(path.stem for path in (TESTS / "jobs").glob("*.json"))
STORED = re.compile(r"\b[a-z0-9]+(?:_[a-z0-9]+)+\b")
OUR_OWN = frozenset({"accepted_as_usual"})
"""The name of the list itself, never of an answer."""


def _as_told(answers: dict[str, Any]) -> Iterator[tuple[str, dict[str, Any]]]:
    """The job as it is, all of it accepted as usual, and with what cannot be measured or is not there."""
    usual = {
        "accepted_as_usual": [
            one for one in answers if one in CATALOGUE and one != "place" and not CATALOGUE[one].measured
        ]
    }
    yield "as it is", {**answers, **usual}
    away = {one: "not_here" for one, asked in CATALOGUE.items() if asked.may_be_absent and not asked.is_test}
    yield (
        "not here",
        {
            **answers,
            **away,
            "accepted_as_usual": [
                *usual["accepted_as_usual"],
                *(one for one in away if not CATALOGUE[one].measured),
            ],
        },
    )
    lengths = ("number", "lengths", "two_lengths")
    hidden = {
        one: {"could_not_measure": "behind the wall"}
        for one in answers
        if CATALOGUE.get(one) and CATALOGUE[one].kind in lengths
    }
    yield "could not be measured", {**answers, **hidden, **usual}


def _text(html: str) -> str:
    return " ".join(unescape(re.sub(r"<style.*?</style>|<[^>]*>", " ", html, flags=re.S)).split())


def _told(answers: dict[str, Any], report: dict[str, Any], record: Any) -> Iterator[tuple[str, str]]:
    now = live(answers, report)
    for section, html in (*now["sections"].items(), *now["said"].items()):
        yield section, _text(html)
    yield "review", _text(review_html(answers, report, now, now["sections"], where_it_stands(answers, report, now)))
    for title, lines in recorded(answers):
        for label, value, note in lines:
            yield f"{title}, {label}", f"{value} {note}"
    yield "paper", _text(html_of(paper_of(Filed.of(record))))


@pytest.mark.parametrize("name", JOBS)
def test_no_page_and_no_paper_of_a_whole_job_prints_a_stored_word(
    name: str, record_of: Any, answers_of: Any
) -> None:
    for told, changed in _as_told(answers_of(name)):
        answers = Job(changed).canonical()
        report = assess(answers).as_json()
        for where, text in _told(answers, report, record_of(name, changed, kind="correction_list")):
            raw = [one for one in STORED.findall(text) if one not in OUR_OWN]
            assert not raw, (told, where, raw, text[max(0, text.find(raw[0]) - 80) : text.find(raw[0]) + 80])


def _cases() -> Iterator[tuple[str, dict[str, Any]]]:
    """Each case of each check; judged are its findings of that check, under `--whole` as `assess` has them."""
    for path in sorted((TESTS / "cases").glob("*.toml")):
        table = tomllib.loads(path.read_text(encoding="utf-8"), parse_float=Decimal)
        base = table.get("base", {})
        for case in table["case"]:
            place = case.get("place", base.get("place", "model_upc_2021"))
            answers = {**base, **case.get("answers", {}), "place": place}
            yield path.stem, {key: value for key, value in answers.items() if key not in case.get("drop", ())}


def test_what_was_found_is_said_by_the_label_of_its_choice() -> None:
    seen: set[tuple[str, str]] = set()
    for check, answers in _cases():
        for one in (finding.as_json() for finding in findings_of(answers, check)):
            choices = [CATALOGUE[name].choices for name in one["questions"] if name in answers]
            words = {
                word.replace("_", " "): label
                for known in choices
                for word, label in known.items()
                if "_" in word
            }
            found = one["found"] or ""
            assert words.get(found, found).lower() == found.lower(), (one["check"], found)
            seen |= (
                {(one["check"], found)}
                if found in {label[:1].lower() + label[1:] for label in words.values()}
                else set()
            )
    assert len(seen) > 10


@pytest.mark.parametrize(
    ("check", "changes", "found"),
    [("venting.vented", {}, "Type B"),
     ("expansion.tank_supported", {"expansion_tank_support": "pipe_only"}, "its pipe alone"),
     ("relief.end_place", {"relief_end": "floor"}, "at the floor"),
     ("place.condensate", {"condensing": "yes", "condensate_end": "drain"}, "a drain"),
     ("seismic.strapped_where_needed", {"strap_kind": "listed_kit"}, "listed strap kit")],
)  # fmt: skip
def test_a_finding_says_the_choice_as_the_form_does(
    check: str, changes: dict[str, Any], found: str, answers_of: Any
) -> None:
    report = assess({**answers_of("gas_storage_us_ca"), **changes}).as_json()
    one = next(f for f in report["findings"] if f["check"] == check and f["kind"] == "rule")
    assert one["found"] == found
