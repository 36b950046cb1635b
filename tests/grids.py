"""A fixed part of a grid in the suite, the whole of it under `pytest --whole` (which sets WHOLE_GRIDS).

    .venv/bin/python -m pytest -n 2 --whole tests/rules tests/web

The part goes round: case after case takes the next places of the grid, so that every place is tried under some case.
"""

from __future__ import annotations

import os
from collections.abc import Iterable
from typing import TypeVar

T = TypeVar("T")
WHOLE = bool(os.environ.get("WHOLE_GRIDS"))


def some(grid: Iterable[T], one_in: int, first: int = 0) -> list[T]:
    """Every so manieth of a grid, from the `first` on (taken modulo `one_in`); all of it under `--whole`."""
    held = list(grid)
    return held if WHOLE else held[first % one_in :: one_in]
