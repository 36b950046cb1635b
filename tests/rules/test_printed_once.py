"""A quantity has one printed rounding: its figure's, at the end of its working and where a finding compares it."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

from heaterapp.certificate.lettering import English
from heaterapp.languages import LANGUAGES, speaking
from heaterapp.languages.typeset import in_signs
from heaterapp.rules import assess
from heaterapp.rules.catalog import all_checks, figure_contracts
from heaterapp.sheet.bounds import found_words
from heaterapp.sheet.workings import formula_words, working_words

JOBS = sorted((Path(__file__).parents[1] / "jobs").glob("*.json"))
NUMBER = re.compile(r"(?<![\w./-])[0-9][0-9,]*(?:\.[0-9]+)?(?! ?[0-9]*/[0-9])(?!\w)(?!\.[0-9])")
END = re.compile(r"(?:= |: )([0-9][0-9,]*(?:\.[0-9]+)?)(?: [A-Za-z/ ]+)?(?:, rounded (?:up|down))?$")
APART = Decimal("0.06")
BOOKS = ("1", "7")
"""The ratios that books allow."""
OWN = {name: rule for name, (rule, _) in figure_contracts().items()}
FED = {name: [way.name for way in needs.arguments if way.figure] for name, (_, needs) in figure_contracts().items()}
"""Which figures a figure is worked from."""
READ = {one.name: [way.name for way in one.contract.arguments if way.figure] for one in all_checks()}


def _number(text: str) -> Decimal:
    return Decimal(text.replace(",", ""))


def _values(figure: dict[str, Any]) -> list[Decimal]:
    given = figure["value"] if isinstance(figure["value"], list) else [figure["value"]]
    return [_number(one) for one in given if one and NUMBER.fullmatch(one)]


def ends_elsewhere(figure: dict[str, Any]) -> bool:
    """Whether a working ends in another number than its figure's value."""
    end = END.search(figure["worked"].split("; ")[-1])
    return bool(end) and len(_values(figure)) == 1 and not isinstance(figure["value"], list) and (
        _number(end[1]) not in _values(figure)
    )  # fmt: skip


def _places(text: str) -> int:
    return len(text.partition(".")[2])


def printed_twice(
    finding: dict[str, Any], figures: dict[str, Any], answered: frozenset[Decimal] = frozenset()
) -> Iterator[str]:
    """Each figure that a finding is told by, printed there to other places than by itself.

    answered  the numbers of the answers: one that stands so in a sentence is no figure
    """
    texts = (finding["why"], finding["fix"], *found_words(finding))
    found, limit = (
        {_number(one) for one in [finding[key] or ""] if NUMBER.fullmatch(one)} for key in ("found", "limit")
    )
    apart = min((abs(one - most) for one in found for most in limit), default=None)
    own = {value for one in figures.values() for value in _values(one)} | answered
    for name in READ.get(finding["check"], ()):
        if OWN[name].unit in ("", "psi") or OWN[name].band or not (figures.get(name) or {}).get("worked"):
            # words, what a tape shows of a band, and what a gauge was read to
            continue
        step = OWN[name].step
        if apart is not None and apart < step:
            # so near to its limit it is told finer, to stand on its side of it
            continue
        whole = (finding["found"], finding["limit"], *(BOOKS if OWN[name].unit == "ratio" else ()))
        for value in (one for one in _values(figures[name]) if one not in limit):
            # beside a limit that it rounds onto a number is told finer; a limit beside it is another number
            own |= {one for one in limit if abs(one - value) >= step}
            for text in texts:
                # a whole number that stands so in the report is another quantity, and of ratios it is the book's
                said = [one for one in NUMBER.findall(text) if "." in one or one not in whole]
                near = [(one, abs(_number(one) - value)) for one in said if _number(one) not in own]
                yield from (
                    f"{name} {value}, told {one}: {text}"
                    for one, off in near
                    if 0 < off < max(step, Decimal(1).scaleb(-_places(one))) and off < APART * value
                )


def worked_otherwise(figures: dict[str, Any], answered: frozenset[Decimal] = frozenset()) -> Iterator[str]:
    """Each number of a working that is another figure's, told to other places than that one prints it."""
    for name, figure in figures.items():
        told = [one for one in NUMBER.findall(figure["worked"]) if "." in one and _number(one) not in answered]
        for other in FED[name]:
            step = OWN[other].step
            for value in _values(figures.get(other) or {"value": None}):
                yield from (
                    f"{other} {value}, worked as {one} in {name}: {figure['worked']}"
                    for one in told
                    if 0 < abs(_number(one) - value) < step and len(one) > len(str(value).rstrip("0").rstrip("."))
                )


def test_a_load_that_is_worked_on_to_other_places_is_told() -> None:
    shares = {"value": ["100.3", "52.6"], "worked": "152.8 x 21 / 32 = 100.3 lb lower"}
    legs = {"value": ["57.6", "30.2"], "worked": "100.24 / (2 cos 29.505) = 57.6 lb; 52.6 / (2 cos 29.505) = 30.2 lb"}
    figures = {"strap_reactions_lb": shares, "strap_leg_tension_lb": legs, "strap_splay_deg": {"value": "29.51", "worked": ""}}
    told = ["strap_reactions_lb 100.3", "strap_splay_deg 29.51", "strap_splay_deg 29.51"]
    assert [one.split(",")[0] for one in worked_otherwise(figures)] == told


def test_a_rounding_that_is_not_the_figure_s_is_told() -> None:
    figures = {"circuit_needed_a": {"value": "20.32", "worked": "1.25 x 16.25 = 20.313 A"}}
    conductor = {
        "check": "electric.conductor", "verdict": "fails", "found": "20", "limit": "20.313", "unit": "A", "fix": "",
        "why": "12 AWG copper carries 20 A; the circuit needs 20.313 A.",
    }  # fmt: skip
    assert ends_elsewhere(figures["circuit_needed_a"])
    assert len(list(printed_twice(conductor, figures))) == 2


def test_every_quantity_of_the_whole_jobs_is_printed_once() -> None:
    wrong, held, told = [], 0, set[tuple[str, str, str]]()
    for path in JOBS:
        report = assess(json.loads(path.read_text("utf-8"))["answers"]).as_json()
        figures = report["figures"]
        held += sum(bool(END.search(one["worked"])) for one in figures.values())
        wrong += [f"{path.stem} {name}: {one['worked']}" for name, one in figures.items() if ends_elsewhere(one)]
        wrong += worked_otherwise(figures)
        told |= {(name, one["formula"], one["worked"]) for name, one in figures.items() if one["worked"]}
        for one in report["findings"]:
            if one["check"] == "heater.first_hour_rating" and "first_hour_needed_gal" in figures:
                working = figures["first_hour_needed_gal"]["worked"]
                wrong += [] if f"UPC {one['section']}, " in working else [f"{path.stem} {one['section']}: {working}"]
            if one["verdict"] != "not_applicable":
                wrong += [f"{path.stem} {one['check']}: {text}" for text in printed_twice(one, figures)]
    assert wrong == []
    assert held > len(JOBS) * 10
    assert list(letters_for_signs(told)) == []


def letters_for_signs(told: set[tuple[str, str, str]]) -> Iterator[str]:
    """What is read of formulas and workings with a letter x or a dash where × or − belongs, in any language."""
    for language in LANGUAGES:
        with speaking(language):
            for name, formula, worked in sorted(told):
                read = (formula_words(name, formula), working_words(worked))
                yield from (f"{language} {name}: {one}" for one in read if re.search(r" [x*-] ", one))


def test_a_letter_is_told_where_a_sign_belongs_and_stays_where_it_is_a_name() -> None:
    of_old = ("a_figure_of_old", "share*H", "slope * 4 in")
    assert len(list(letters_for_signs({of_old}))) == len(LANGUAGES)
    assert in_signs("cell x what its 4x4-x box leaves - 2") == "cell × what its 4x4-x box leaves − 2"
    assert in_signs(English("slope x length")) == "slope × length"
    assert isinstance(in_signs(English("slope x length")), English)
