"""The arithmetic every calculation runs in, whatever its caller has set."""

from __future__ import annotations

from collections.abc import Callable
from decimal import (
    ROUND_HALF_EVEN,
    Context,
    Decimal,
    DivisionByZero,
    InvalidOperation,
    Overflow,
    localcontext,
)
from functools import wraps
from typing import ParamSpec, TypeVar

P = ParamSpec("P")
R = TypeVar("R")

EXACT = Context(
    prec=28,
    rounding=ROUND_HALF_EVEN,
    Emin=-999999,
    Emax=999999,
    capitals=1,
    clamp=0,
    flags=[],
    traps=[InvalidOperation, DivisionByZero, Overflow],
)


def exactly(calculation: Callable[P, R]) -> Callable[P, R]:
    """Run a calculation in `EXACT`: 28 digits, half-even, its own flags.

    >>> from decimal import Decimal, localcontext
    >>> third = exactly(lambda: Decimal(1) / 3)
    >>> with localcontext() as coarse:
    ...     coarse.prec = 4
    ...     print(third())
    0.3333333333333333333333333333
    """

    @wraps(calculation)
    def calculated(*args: P.args, **kwargs: P.kwargs) -> R:
        with localcontext(EXACT):
            return calculation(*args, **kwargs)

    return calculated


def within(name: str, value: Decimal, low: Decimal, high: Decimal, unit: str) -> None:
    """Raise `ValueError` naming the argument (`name`, in `unit`) unless low <= value <= high.

    >>> within("hot_f", Decimal(300), Decimal(32), Decimal(212), "degF")
    Traceback (most recent call last):
    ValueError: hot_f must be from 32 to 212 degF, not 300
    """
    if value.is_nan() or not low <= value <= high:
        raise ValueError(f"{name} must be from {low} to {high} {unit}, not {value}")


def positive(**values: Decimal) -> None:
    """Raise `ValueError` naming the first argument that is not more than 0.

    >>> positive(width_in=Decimal(0))
    Traceback (most recent call last):
    ValueError: width_in must be more than 0, not 0
    """
    for name, value in values.items():
        if value.is_nan() or not value > 0:
            raise ValueError(f"{name} must be more than 0, not {value}")


def not_negative(**values: Decimal) -> None:
    """Raise `ValueError` naming the first argument that is under 0.

    >>> not_negative(length_ft=Decimal(-1))
    Traceback (most recent call last):
    ValueError: length_ft must be 0 or more, not -1
    """
    for name, value in values.items():
        if value.is_nan() or value < 0:
            raise ValueError(f"{name} must be 0 or more, not {value}")
