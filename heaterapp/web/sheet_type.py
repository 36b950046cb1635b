"""How large the homeowner's sheet is set: in the largest type with which it keeps to one page, Letter or A4.

A browser prints it, and without a script: so its lines are reckoned here, as those of a paper are, and the
page has the class of the size that was chosen. Every length is that of share-print.css.
"""

from __future__ import annotations

from bisect import bisect
from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache
from typing import NamedTuple

from heaterapp.certificate.wrapping import lines
from heaterapp.fonts import FontMissing
from heaterapp.homeowner import Page

MM = 72 / 25.4
PX = 0.75
SIZES = (7.2, 7.5, 7.8, 8.1, 8.4, 8.7, 9.0, 9.3, 9.6, 9.9, 10.2, 10.5, 10.8, 11.1, 11.4, 11.7, 12.0)
"""Those that share-sizes.css has classes for [pt]."""
USUAL = 7.8
"""Where nothing can be reckoned [pt]."""
LARGE = 9.0
"""Letters of this size are large enough to keep each part whole [pt]."""
WHOLE, TORN, SPLIT = range(3)
"""Each part stands in one column; columns may end anywhere but in the table; or in it too."""
TORN_CLASSES = ("", " sheet-torn", " sheet-torn sheet-split")
COLUMNS, GAP = 3, 5 * MM
LEADING, HEADED, BOXED, BOX_LEADING = 1.25, 1.3, 1.18, 1.18
BOX, BOX_TITLE, NOTICE, VOID, NAME, TITLE = 12.0, 1.04, 9.5, 15.0, 9.0, 14.0
"""Sizes that do not change [pt]; the box's is the least that it has, and its title's is told in it [em]."""
FIRST_WIDER = (1.35, 1.0, 1.0)
"""How wide three places of the box are to each other."""
H2, OFTEN, BULLET = 1.08, 0.4, 3.8 * MM
NARROWER, SURE = 0.99, 8.0
"""What of a line, and of a page's height [pt], is not reckoned with."""


class Leaf(NamedTuple):
    """A page between its margins [pt]."""

    wide: float
    high: float

    @property
    def column(self) -> float:
        """How wide a column is."""
        return (self.wide - (COLUMNS - 1) * GAP) / COLUMNS


LEAVES = (Leaf(195.9 * MM, 261.4 * MM), Leaf(190 * MM, 279 * MM))
"""Letter and A4: nobody knows which the printer has."""


class Piece(NamedTuple):
    """What stands together: its height, and whether the next stands with it."""

    high: float
    kept: bool = False


def sheet_classes(told: Page, proof: str = "") -> str:
    """Return the classes of the page's body: the size for each leaf, how parts are torn, what is left out.

    told   what the page says
    proof  what is printed below it: where the paper is proven
    """
    brief, torn = False, WHOLE
    try:
        sizes, torn = _sizes(told, proof)
        if told.advised and not _holds(told, sizes, torn, proof):
            # Advice stays on the screen; what is to be fixed is not to go on over the leaf for it.
            brief = True
            sizes, torn = _sizes(replace(told, advised=()), proof)
    except FontMissing:
        sizes, torn = (USUAL, USUAL), SPLIT
    letter, a4 = (round(10 * one) for one in sizes)
    said = f"sheet sheet-{letter} sheet-a4-{a4}"
    return f"{said}{TORN_CLASSES[torn]}{' sheet-brief' if brief else ''}"


def _holds(told: Page, sizes: tuple[float, ...], torn: int, proof: str) -> bool:
    return all(fits(told, size, leaf, torn, proof) for size, leaf in zip(sizes, LEAVES, strict=True))


def _sizes(told: Page, proof: str) -> tuple[tuple[float, ...], int]:
    """The size on each leaf; parts are torn for small letters to be larger, the table to keep to a page."""
    whole, torn = (tuple(_largest(told, leaf, how, proof) for leaf in LEAVES) for how in (WHOLE, TORN))
    found = (torn, TORN) if min(whole) < LARGE and sum(torn) > sum(whole) else (whole, WHOLE)
    if _holds(told, *found, proof):
        return found
    for how, sizes in ((TORN, torn), (SPLIT, (SIZES[0],) * len(LEAVES))):
        if _holds(told, sizes, how, proof):
            return tuple(_largest(told, leaf, how, proof) for leaf in LEAVES), how
    return (SIZES[0],) * len(LEAVES), SPLIT


def _largest(told: Page, leaf: Leaf, torn: int, proof: str) -> float:
    many = bisect(SIZES, 0, key=lambda size: not fits(told, size, leaf, torn, proof))
    return SIZES[max(0, many - 1)]


def fits(told: Page, size: float, leaf: Leaf, torn: int, proof: str = "") -> bool:
    """Return whether the sheet keeps to one page.

    size   of its letters [pt]
    torn   how columns may end: WHOLE, TORN or SPLIT
    proof  what is printed below it
    """
    foot = _foot(told, size, leaf.wide, proof)
    room = leaf.high - SURE - _head(told, size, leaf.wide) - foot
    return columns_filled(list(pieces(told, size, leaf.column, torn)), room) <= COLUMNS


def columns_filled(given: list[Piece], room: float) -> int:
    """Return how many columns of this height [pt] the pieces take, one after the other."""
    many, left, at = 1, room, 0
    while at < len(given):
        end = at
        while given[end].kept and end + 1 < len(given):
            end += 1
        high = sum(one.high for one in given[at : end + 1])
        if high > left:
            many, left = many + 1, room
        left -= high
        at = end + 1
        if left < 0:
            return COLUMNS + 1
    return many


@lru_cache(maxsize=4096)
def _lines(text: str, size: float, across: float) -> int:
    return lines(text, size, across * NARROWER) if text else 0


def _head(told: Page, size: float, wide: float) -> float:
    """Name, title, notices and the emergency box."""
    high = NAME * LEADING * _lines(told.firm, NAME, wide) + 0.5 * MM + PX
    high += TITLE * 1.2 * _lines(told.title, TITLE, wide) + 2.5 * MM
    letters, beside, above = (
        (VOID, 3 * MM + 3 * PX, 2 * MM + 3 * PX) if told.is_void else (NOTICE, 2 * MM + PX, 0.6 * MM + PX)
    )
    leading = 1.3 if told.is_void else LEADING
    for one in told.notices:
        high += letters * leading * _lines(one, letters, wide - 2 * beside) + 2 * above + MM
    return high + _boxed(told, size, wide)


def _boxed(told: Page, size: float, wide: float) -> float:
    letters = max(BOX, BOXED * size)
    many = max(1, min(len(told.emergencies), COLUMNS))
    shares = FIRST_WIDER if len(told.emergencies) == COLUMNS else (1.0,) * many
    one = (wide - 6 * MM - 4 * PX - (many - 1) * GAP) / sum(shares)
    tall = [
        sum(_lines(text, letters, shares[at % many] * one) for text in both)
        for at, both in enumerate(told.emergencies)
    ]
    rows = sum(max(tall[at : at + many]) for at in range(0, len(tall), many))
    return letters * (BOX_TITLE * HEADED + BOX_LEADING * rows) + 5.5 * MM + 4 * PX


def _foot(told: Page, size: float, wide: float, proof: str) -> float:
    many = sum(_lines(one, size, wide) for one in (told.caution, proof))
    return size * LEADING * many + 2 * MM + PX


def pieces(told: Page, size: float, across: float, torn: int) -> Iterator[Piece]:
    """What stands in the columns, in its order.

    size    of the letters [pt]
    across  how wide a column is [pt]
    torn    how columns may end
    """
    line = size * LEADING

    def said(text: str) -> float:
        return line * _lines(text, size, across) + 0.4 * MM

    def listed(text: str) -> float:
        return line * _lines(text, size, across - BULLET) + 0.3 * MM

    def fact(label: str, value: str) -> float:
        first, *more = value.split("\n")
        return line * (
            _lines(f"{label}: {first}", size, across) + sum(_lines(one, size, across) for one in more)
        )

    def row(what: str, often: str) -> float:
        aside = OFTEN * across - 2 * MM
        return (
            line * max(_lines(what, size, (1 - OFTEN) * across), _lines(often, size, aside)) + 0.4 * MM + PX
        )

    def part(title: str, body: list[Piece], whole: bool = False) -> Iterator[Piece]:
        if not body:
            return
        head = 2.2 * MM + PX + H2 * size * HEADED * _lines(title, H2 * size, across) + 0.3 * MM
        if whole and not torn:
            yield Piece(head + sum(one.high for one in body))
        else:
            yield Piece(head, True)
            yield from body

    left = [
        piece
        for one in told.still
        for piece in (
            Piece(line * _lines(one.heading, size, across), True),
            *(Piece(listed(rule)) for rule in one.rules),
            Piece(0.4 * MM),
        )
    ]
    yield from part(told.still_title, [*left, Piece(said(told.whom_to_ask))] if told.whom_to_ask else left)
    facts = [Piece(fact(*one)) for one in told.facts]
    yield from part(told.what_title, [Piece(said(" ".join(told.what))), *facts], True)
    yield from part(told.numbers_title, _begun([listed(one.sentence) for one in told.numbers], torn))
    advised = [Piece(line * _lines(told.advised_first, size, across) + 0.4 * MM, True)]
    advised += [*(Piece(listed(one)) for one in told.advised), Piece(0.4 * MM)]
    yield from part(told.advised_title, advised if told.advised else [])
    signs = _begun([listed(one) for one in told.signs], torn)
    yield from part(told.watch_title, [*signs, *(Piece(said(one)) for one in told.leave_alone)])
    head, rows = row(*told.care_heads), [row(*one) for one in told.care]
    table = [Piece(head + sum(rows))]
    if torn == SPLIT and len(rows) > 3:
        # Two rows at least stand on either side, below heads that are said again.
        table = [Piece(head + sum(rows[:2])), *map(Piece, rows[2:-2]), Piece(head + sum(rows[-2:]))]
    yield from part(told.care_title, [Piece(said(told.care_first), True), *table], True)
    yield from part(told.warranty_title, [Piece(said(one)) for one in told.warranty], True)
    yield from part(told.calls_title, [Piece(fact(*one)) for one in told.calls], True)
    yield from part(told.sale_title, [Piece(said(one)) for one in told.sale])


def _begun(heights: list[float], torn: int) -> list[Piece]:
    """A list whose first three lines stand together."""
    return [Piece(one, at < 2 and not torn) for at, one in enumerate(heights)]
