"""How a figure is declared: a function of answers, clause values and other figures."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from .report import Worked
from .units import MOST_PLACES, bare, is_sixteenth, rounded
from .when import ALWAYS, When
from .writing import side_of

_HUNDREDTH = Decimal("0.01")


@dataclass(frozen=True, slots=True)
class FigureRule:
    """One computed number that the trade cares about.

    name     settled name; the function's own
    unit     unit of the value
    step     what it is rounded to for print
    up       a need, a size to buy, or a load: rounded up, never below the value
    formula  in symbols
    source   where the formula is from
    when     under which condition it exists
    clauses  ids of the clauses that its keyword-only arguments are read from
    work     the function
    down     an allowance, or what is there of what is needed: rounded down, never above the value
    band     two ends between which a height is allowed: each rounded inward
    told     an answer told again: printed with all the places that it has
    """

    name: str
    unit: str
    step: Decimal
    formula: str
    source: str
    when: When
    clauses: tuple[str, ...]
    work: Callable[..., Worked]
    up: bool = False
    down: bool = False
    band: bool = False
    told: bool = False


def figure(
    unit: str,
    step: str,
    formula: str,
    source: str,
    *,
    when: When = ALWAYS,
    clauses: tuple[str, ...] = (),
    up: bool = False,
    down: bool = False,
    band: bool = False,
    told: bool = False,
) -> Callable[[Callable[..., Worked]], FigureRule]:
    """Declare the function below as a figure of the report."""

    def declare(work: Callable[..., Worked]) -> FigureRule:
        return FigureRule(
            work.__name__, unit, Decimal(step), formula, source, when, clauses, work, up, down, band, told
        )

    return declare


def as_printed(value: Any, rule: FigureRule, edges: tuple[Decimal, ...] = ()) -> str | list[str] | None:
    """A figure's value as the report prints it; nothing where it has none.

    value  unrounded: a number, several, or a word
    rule   the figure's own
    edges  limits that it is never printed on or past where it is not
    """
    if isinstance(value, Decimal):
        return _clear(value, rule, edges)
    if isinstance(value, tuple):
        rules = (rule,) * len(value)
        if rule.band:
            rules = replace(rule, up=True, down=False), replace(rule, up=False, down=True)
        return [_figured(one, own) for one, own in zip(value, rules, strict=True)]
    return None if value is None else str(value)


def _clear(value: Decimal, rule: FigureRule, edges: tuple[Decimal, ...]) -> str:
    """A figure's one value, to more places where it would stand on or past an edge where it is not."""
    printed = _figured(value, rule)
    while any(side_of(Decimal(printed), edge) != side_of(value, edge) for edge in edges):
        rule = replace(rule, step=rule.step / 10)
        printed = _figured(value, rule)
    return printed


def _figured(value: Decimal, rule: FigureRule) -> str:
    if rule.unit == "in" and rule.step < 1 and is_sixteenth(value):
        # A mark of the tape is not rounded off it.
        return max(rounded(value, rule.step), bare(value, 4), key=len)
    if rule.told:
        return max(rounded(value, rule.step), bare(value, MOST_PLACES), key=len)
    if rule.unit == "A" and value != value.to_integral_value():
        # what a plate gives for a rating is no standard one, and keeps its hundredths
        rule = replace(rule, step=min(rule.step, _HUNDREDTH))
    if value < 0 and rule.unit == "lb":
        # a load the other way round is as large
        return f"-{rounded(-value, rule.step, up=rule.up, down=rule.down)}"
    return rounded(value, rule.step, up=rule.up, down=rule.down)


def carried(value: Any, rule: FigureRule) -> Any:
    """What another figure works on with: the number that stands in print, so that there is no other.

    value  the figure's, unrounded
    """
    printed = as_printed(value, rule)
    if isinstance(value, Decimal) and isinstance(printed, str):
        return Decimal(printed)
    if isinstance(value, tuple) and isinstance(printed, list):
        return tuple(Decimal(one) for one in printed)
    return value
