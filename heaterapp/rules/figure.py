"""How a figure is declared: a function of answers, clause values and other figures."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

from .report import Worked
from .when import ALWAYS, When


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
) -> Callable[[Callable[..., Worked]], FigureRule]:
    """Declare the function below as a figure of the report."""

    def declare(work: Callable[..., Worked]) -> FigureRule:
        return FigureRule(
            work.__name__, unit, Decimal(step), formula, source, when, clauses, work, up, down, band
        )

    return declare
