"""Sweeps: one assertion over many parameters, of which the suite takes a short version and `pytest --whole` all.

    @pytest.mark.parametrize("job", ["gas", beyond("electric", "typed by the same hand in the same kinds of box")])

Each value of each parameter is in the short version at least once, and each test: what only `--whole` runs is another
meeting of values that were met, never another rule. `grids.some` does the same within one test.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import pytest


def beyond(*values: Any, why: str) -> Any:
    """A row of a sweep that only `--whole` runs.

    why  what of the short version tries the same
    """
    return pytest.param(*values, marks=pytest.mark.sweep(why))


def beyond_the_short_version(items: Iterable[pytest.Item]) -> set[pytest.Item]:
    """The items that only `--whole` runs.

    raises  pytest.UsageError  where a mark does not say why, or nothing of a test would be left in the suite
    """
    left: dict[str, list[bool]] = {}
    found = set()
    for item in items:
        mark = item.get_closest_marker("sweep")
        left.setdefault(item.nodeid.partition("[")[0], []).append(mark is None)
        if mark is None:
            continue
        if len(mark.args) != 1 or not isinstance(mark.args[0], str) or " " not in mark.args[0]:
            raise pytest.UsageError(f"{item.nodeid}: mark.sweep says in words what of the short version tries the same")
        found.add(item)
    gone = [test for test, stays in left.items() if not any(stays)]
    if gone:
        raise pytest.UsageError(f"nothing of these tests is left in the suite: {', '.join(gone)}")
    return found
