"""How tests are dealt out to the processes that share the work (-n 2): by file, the longest files first.

In the browser's part (--dist loadgroup) all files that ask for one dear server are one piece, so that it is started once.
pytest-xdist's own groups are names that it puts behind a test's id; pytest 9.2 keeps ids as they are, and every test went
to whichever process was free: servers, pages and walks through them were made in each.
"""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from xdist.scheduler import LoadScopeScheduling

ROOT = Path(__file__).parent.parent
BROWSER = Path(__file__).parent / "browser"
DEAR = ("served_whole", "server")
"""Fixtures of tests/browser of which each costs more than a test to start."""
ASKS = re.compile(rf"\b({'|'.join(DEAR)}): [A-Z]")
LONG = (
    "test_benchmark", "test_two_servers", "test_recipe", "test_same_bytes", "test_fonts", "test_whole_report", "test_recheck",
    *DEAR, "test_everybody", "test_whole_jobs", "test_keyboard", "test_phone_everybody",
)  # fmt: skip
"""What takes long for the number of its tests: begun last, it would run on while the other processes have nothing left."""


@cache
def dear_to(path: Path) -> tuple[str, ...]:
    """The dear servers that a file of tests says its tests ask for, in the order of `DEAR`."""
    asked = set(ASKS.findall(path.read_text(encoding="utf-8"))) if path.parent == BROWSER else set()
    return tuple(name for name in DEAR if name in asked)


def piece_of(path: Path) -> str:
    """The piece that a file of tests belongs to: itself, or the first dear server that its tests ask for."""
    asked = dear_to(path)
    return asked[0] if asked else str(path)


def longest_first(items: list[pytest.Item]) -> None:
    """Put what takes long first, then the files with the most tests.

    raises  pytest.UsageError  where a test asks for a dear server and its file does not show it
    """
    count: dict[str, int] = {}
    for item in items:
        piece = piece_of(item.path)
        count[piece] = count.get(piece, 0) + 1
        hidden = [name for name in DEAR if name in getattr(item, "fixturenames", ()) and name not in dear_to(item.path)]
        if item.path.parent == BROWSER and hidden:
            raise pytest.UsageError(f"{item.nodeid} asks for {hidden[0]}, and its file does not say so by '{hidden[0]}: Served'")
    order = {piece: (_rank(piece), -tests, piece) for piece, tests in count.items()}
    items.sort(key=lambda item: order[piece_of(item.path)])


def _rank(piece: str) -> int:
    name = Path(piece).stem
    return LONG.index(name) if name in LONG else len(LONG)


def worth_telling(reports: list[pytest.TestReport]) -> list[pytest.TestReport]:
    """What is told of a test that another process ran: that it passed, or all that came of it."""
    return [one for one in reports if one.when == "call"] if all(one.passed for one in reports) else reports


class ByPiece(LoadScopeScheduling):
    """Gives each process whole pieces, in the order in which they were collected."""

    def __init__(self, config: pytest.Config, log: Any) -> None:
        super().__init__(config, log)
        config.option.loadscopereorder = False
        self.by_file = config.getvalue("dist") == "loadfile"

    def _split_scope(self, nodeid: str) -> str:
        path = ROOT / nodeid.partition("::")[0]
        # The long tests of the archive share nothing.
        return piece_of(path) if self.by_file or path.parent == BROWSER else nodeid


def scheduler(config: pytest.Config, log: Any) -> ByPiece | None:
    """What deals out the suite's two parts; None for every other way of sharing."""
    return ByPiece(config, log) if config.getvalue("dist") in ("loadfile", "loadgroup") else None
