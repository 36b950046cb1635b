"""A limit is called "at least" or "at most" only where every case of its check agrees."""

from __future__ import annotations

import io
import re
import tomllib
from decimal import Decimal
from pathlib import Path

import pypdf
import pytest

from heaterapp.certificate.findings import bound_of
from heaterapp.sheet.bounds import AT_LEAST, AT_MOST, EITHER_WAY, RANGE, SETTINGS, found_words
from heaterapp.sheet.draw.given import number
from tests.alone import findings_of

CASES = Path(__file__).parent.parent / "cases"
LISTED = sorted(AT_LEAST | AT_MOST)


def _findings(check):
    """What the check's own table of cases gives, wherever it compares two numbers."""
    for one in _judged(check):
        if None not in (number(one["found"]), number(one["limit"])):
            yield one


def _judged(check):
    table = tomllib.loads((CASES / f"{check}.toml").read_text(encoding="utf-8"), parse_float=Decimal)
    base = table.get("base", {})
    for case in table["case"]:
        place = case.get("place", base.get("place", "model_upc_2021"))
        answers = {**base, **case.get("answers", {}), "place": place}
        judged = findings_of({k: v for k, v in answers.items() if k not in case.get("drop", ())}, check)
        yield from (finding.as_json() for finding in judged)


@pytest.mark.parametrize("check", LISTED)
def test_every_case_agrees_with_the_word(check):
    judged = [one for one in _findings(check) if one["verdict"] in ("meets", "fails")]
    assert judged
    for one in judged:
        over = number(one["found"]) - number(one["limit"])
        inside = over >= 0 if bound_of(one) == "at least" else over <= 0
        # a found value is rounded for the report, so one that fails by a hair may stand equal
        assert inside == (one["verdict"] == "meets") or (one["verdict"] == "fails" and not over), one


@pytest.mark.parametrize("check", sorted(EITHER_WAY))
def test_what_bounds_both_ways_is_said_the_way_it_bounds_here(check):
    judged = [one for one in _findings(check) if one["verdict"] in ("meets", "fails")]
    said = {bound_of(one) for one in judged}
    assert {"at least", "at most"} <= said
    for one in judged:
        over = number(one["found"]) - number(one["limit"])
        if not over:
            assert bound_of(one) == "limit", one
        else:
            assert ("at least" in bound_of(one)) == ((over > 0) == (one["verdict"] == "meets")), one


def test_no_check_is_called_both():
    assert not AT_LEAST & AT_MOST
    assert not EITHER_WAY & (AT_LEAST | AT_MOST)


def test_every_check_that_compares_numbers_says_which_way():
    ways = AT_LEAST | AT_MOST | EITHER_WAY
    bare = {
        path.stem for path in sorted(CASES.glob("*.toml")) if path.stem not in ways
        and any(one["verdict"] in ("meets", "fails") and number(one["found"]) != number(one["limit"]) for one in _findings(path.stem))
    }  # fmt: skip
    assert bare == set()


@pytest.mark.parametrize("check", sorted(SETTINGS))
def test_a_tolerance_is_told_as_a_band_that_holds_what_meets_and_nothing_else(check):
    judged = [one for one in _judged(check) if RANGE.fullmatch(one["limit"] or "")]
    assert {one["verdict"] for one in judged} == {"meets", "fails"}
    for one in judged:
        found, least, most = (float(word) for word in re.findall(r"[0-9.]+", " ".join(found_words(one))))
        assert bound_of(one) == "within"
        assert (least <= found <= most) == (one["verdict"] == "meets"), one


def test_a_limit_of_what_was_not_measured_or_of_another_check_stays_a_limit():
    none = {"check": "relief.capacity", "found": "none", "limit": "40000", "verdict": "fails"}
    assert bound_of(none) == "limit"
    assert bound_of({"check": "electric.breaker", "found": "30", "limit": "30"}) == "limit"


@pytest.mark.parametrize(
    ("found", "limit", "word"),
    [("pipe_only", "the structure or a bracket", "required"), ("12", "6 to 24", "within"),
     ("36", "18 to 37 1/4", "within"), ("blocked", "2 in, or blocked", "required")],
)  # fmt: skip
def test_words_are_required_and_a_band_is_within(found, limit, word):
    assert bound_of({"check": "any.check", "found": found, "limit": limit, "verdict": "meets"}) == word


def test_a_setting_is_required_or_advised():
    setting = {"check": "expansion.precharge_matches_house", "found": "61", "limit": "60"}
    assert [bound_of({**setting, "kind": kind}) for kind in ("rule", "advice")] == ["required", "advised"]


def _text(pdf):
    return " ".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages)


def test_no_line_of_a_certificate_says_a_bare_number_that_is_something_else(gas):
    said = " ".join(_text(gas["certificate.pdf"]).split())
    for line in (
        "37 °F in winter, at least 5 °F",
        "0 psi off, at most 5 psi",
        "ignition resistant, else at least 18 in",
        "60 psi, within 55 to 65 psi",
        "Type B, required a vent",
        "12 in, within 6 to 24 in",
    ):
        assert line in said, line
    assert "top 6 in, limit" not in said
    assert "limit a " not in said
