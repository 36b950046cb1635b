"""Numbers of a working: each as its own figure prints it, finer only where a calculator comes elsewhere."""

from __future__ import annotations

import warnings
from collections.abc import Callable, Sequence
from decimal import Decimal
from typing import NamedTuple

from .writing import plain, plain_down

FINEST = 7
"""How many times a working's numbers are tried a place finer."""


class NotRedone(UserWarning):
    """A working whose numbers, however fine, do not come to what is printed behind it."""


class Given(NamedTuple):
    """A number that goes into a working.

    value   unrounded
    places  decimals to which its own figure prints it, or an answer is read
    write   how: `plain`, `plain_up` or `plain_down`
    """

    value: Decimal
    places: int
    write: Callable[[Decimal, int], str] = plain


def as_redone(comes: Callable[..., str], printed: str, *given: Given) -> tuple[str, ...]:
    """The numbers of a working, to so few places that it comes to what is printed behind it.

    comes    what a calculator shows for those numbers, as it is printed
    printed  what is printed
    given    the numbers, in the order in which `comes` takes them; the last are made finer first
    warns    NotRedone where no numbers come to it: the finest are returned, and the suite breaks on it

    >>> from .writing import plain_up
    >>> third = Given(Decimal("152.7333"), 1)
    >>> as_redone(lambda force: plain_up(force / 2, 1), "76.4", third)
    ('152.7',)
    >>> as_redone(lambda force: plain_up(force / 2, 2), "76.37", third)
    ('152.73',)
    """
    # one quantity that comes twice is one number
    last = {one: at for at, one in enumerate(given)}
    for more in range(FINEST):
        for begin in reversed(range(len(given) if more else 1)):
            finer = [one.places + (more if last[one] >= begin else 0) for one in given]
            told = _written(given, finer)
            if _comes(comes, told) == printed:
                return told
    # a result that is just a round number comes of numbers with no end where none is rounded past it
    for write in (plain, plain_down):
        near = _written([one._replace(write=write) for one in given], finer)
        if _comes(comes, near) == printed:
            return near
    warnings.warn(f"{told} do not come to {printed}", NotRedone, stacklevel=2)
    return told


def _written(given: Sequence[Given], places: Sequence[int]) -> tuple[str, ...]:
    return tuple(one.write(one.value, to) for one, to in zip(given, places, strict=True))


def _comes(comes: Callable[..., str], told: tuple[str, ...]) -> str:
    try:
        return comes(*(Decimal(text.replace(",", "")) for text in told))
    except ArithmeticError:
        return ""
