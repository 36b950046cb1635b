"""How wide the columns are in which a paper says where, for whom, what and by whom."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from .lettering import height
from .paper import Field
from .wrapping import Type, lines

FIXED = 1.22
"""Leading of head and foot."""
BESIDE = 8.0
"""Between a column and the next [pt]."""
NARROWEST, STEP = 90.0, 6.0
"""The least width of a column, and by how much more the next one that is tried has [pt]."""


def typed_high(typed: Sequence[str], size: float, across: float) -> float:
    """How high lines stand that somebody typed [pt]: some scripts need more room.

    size    of their letters [pt]
    across  how wide their column is [pt]
    """
    return size * sum(height(one, FIXED) * lines(one, size, across) for one in typed)


@lru_cache(maxsize=64)
def party_columns(parties: tuple[Field, ...], type_: Type) -> tuple[float, ...]:
    """The width of each column without what stands beside it [pt]: alike, unless that costs a line.

    type_  how the paper is set
    """
    if not parties:
        return ()
    alike = (round(type_.wide / len(parties) - BESIDE, 1),) * len(parties)
    high = parties_high(parties, type_, alike)
    if not type_.tight:
        return alike
    tried = [NARROWEST + STEP * step for step in range(int((type_.wide - NARROWEST) / STEP / 2))]
    found = [[typed_high(one.lines, type_.base, wide) for wide in tried] for one in parties]
    for most in sorted({one for column in found for one in column if one < high - 1}):
        least = [next((w for w, h in zip(tried, one, strict=True) if h <= most), type_.wide) for one in found]
        left = type_.wide - sum(least) - BESIDE * len(parties)
        if left >= 0:
            return tuple(round(one + left / len(parties), 1) for one in least)
    return alike


def parties_high(parties: tuple[Field, ...], type_: Type, columns: Sequence[float]) -> float:
    """How high the highest of the columns is [pt]."""
    return max(
        (typed_high(one.lines, type_.base, wide) for one, wide in zip(parties, columns, strict=True)),
        default=0,
    )
