"""No text of a check or a figure holds a number that a book may state: it is read from there, or its source stands beside it."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator, Mapping
from decimal import Decimal
from pathlib import Path

import pytest

from heaterapp.homeowner.sources import SOURCES
from heaterapp.rules import amendments, book, checks
from heaterapp.rules.calc import altitude, expansion, gas
from heaterapp.rules.checks.heater import no_hazard_left

RULES = Path(checks.__file__).parent.parent
PLACES = sorted(set(book.place_names().values()))
NAME = re.compile(r"[a-z0-9_.]+\Z")
NUMBER = re.compile(r"(?<![\w.])[0-9]+(?:\.[0-9]+)?(?:e-?[0-9]+)?")
IN_WORDS = re.compile(
    r"\b(?:one and a half|(?:two|three|four|five|six|seven|eight|nine|ten|twelve|twenty|half|hundred)(?: and a half| hundred)?)"
    r" (?:seconds?|minutes?|hours?|days?|turns?|inch|inches|feet|foot|degrees|percent|gallons?|pounds?|times|psi)\b"
)
MATHS = frozenset({"0", "1", "2", "4", "12", "45", "90", "1000", "3.1416"})
"""Of formulas and elbows: halves, squares, circles, inches in a foot, thousands. What a figure is by stands beside it, as its source."""
BESIDE = {
    "checks/heater/no_hazard_left.py": {"911": "_SOURCES names its line"},
    "checks/venting/single_wall_place.py": {"99": "the name of a temperature, in weather tables and in the question"},
    "figures/straps.py": {"3": "thirds are what the rule is called by; a third of the weight is held below"},
    "figures/water.py": {
        "14.696": altitude.SEA_LEVEL_PSIA, "6.8754e-6": altitude.LAPSE_PER_FT, "5.2559": altitude.EXPONENT,
        "459.67": -expansion.ABSOLUTE_ZERO_F,
    },
    "figures/gas.py": {"19.17": gas.LEAD, "0.206": gas.DROP_POWER, "0.381": gas.FLOW_POWER},
}  # fmt: skip
"""Numbers that texts may hold: why, or the constant of physics in calc that it is, where its source stands."""
ASKED_BY = {
    ("gas.shutoff", "within"): "gas_shutoff_within_6ft", ("relief.near_top", "top"): "relief_in_top_6in",
    ("venting.spillage", "minutes"): "spillage_after_5min",
}  # fmt: skip
"""Values by which a question asks: the number in its name."""


def _said(node: ast.AST, figures: bool) -> Iterator[str]:
    """The texts in a module, names left out; of a figure's declaration the formula alone."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str) and not NAME.fullmatch(node.value):
        yield node.value
    if figures and isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
        return  # what stands under a constant, or heads a module, is told nobody
    inside = list(ast.iter_child_nodes(node))
    if isinstance(node, ast.Call):
        called = getattr(node.func, "id", "")
        inside = [] if called == "Decimal" else node.args[2:3] if figures and called == "figure" else inside
    for one in inside:
        yield from _said(one, figures)


def hidden(source: str, figures: bool, beside: Mapping[str, object]) -> list[str]:
    """The numbers in a module's texts that stand nowhere else."""
    allowed = {"0", "1", *beside} | (MATHS if figures else set())
    texts = list(_said(ast.parse(source), figures))
    return [
        one for text in texts for one in (*NUMBER.findall(text), *IN_WORDS.findall(text)) if one not in allowed
    ]


@pytest.mark.parametrize("part", ["checks", "figures"])
def test_no_text_hides_a_number(part: str) -> None:
    found = {}
    for path in sorted((RULES / part).rglob("*.py")):
        name = path.relative_to(RULES).as_posix()
        numbers = hidden(path.read_text(encoding="utf-8"), part == "figures", BESIDE.get(name, {}))
        found |= {name: numbers} if numbers else {}
    assert not found


@pytest.mark.parametrize(
    ("source", "seen"),
    [
        ('"""A check.\n\nFix: fit a union within 12 in of the heater.\n"""', ["12"]),
        ('said = f"{found} in, 6.5 in at most"', ["6.5"]), ('fix = "Fire it for five minutes."', ["five minutes"]),
        ('said = f"{found} in, {most} in at most"', []), ('row("spillage_after_5min")', []),
        ('fix = "Go one and a half turns round."', ["one and a half turns"]), ('said = "At 1 in 12."', ["12"]),
    ],
)  # fmt: skip
def test_a_number_in_a_text_is_seen(source: str, seen: list[str]) -> None:
    assert hidden(source, False, {}) == seen


def test_a_figure_s_formula_is_looked_at_and_its_source_is_not() -> None:
    source = '@figure("lb", "0.1", "W = empty + 8.33 V", "IRC P2801.8, 2018")\ndef weight(): ...'
    assert hidden(source, True, {}) == ["8.33"]


def test_what_stands_beside_a_number_is_so() -> None:
    for name, numbers in BESIDE.items():
        text = (RULES / name).read_text(encoding="utf-8")
        for number, why in numbers.items():
            assert number in text, f"{name}: {number} stands there no more"
            assert isinstance(why, str) or Decimal(number) == why, f"{name}: {number} is not {why}"
    assert set(no_hazard_left._SOURCES) <= set(SOURCES)


@pytest.mark.parametrize("place", PLACES)
def test_a_book_s_number_is_the_one_by_which_the_form_asks_and_the_texts_speak(place: str) -> None:
    clauses = book.place(place).clauses
    for (ident, value), question in ASKED_BY.items():
        number = re.search(r"_([0-9]+)(?:ft|in|min)\Z", question)
        assert number
        assert clauses[ident].values[value] == Decimal(number[1]), ident
        assert (ident, value) in amendments._SPOKEN or value not in amendments.settable(clauses[ident])
    force = clauses["seismic.force"].values
    assert (force["parts"], force["of_parts"]) == (1, 3), "texts say a third of the weight"
