"""A process that keeps a folder while it works, for test_crew.py; the process imports this and no test's own tools."""

from __future__ import annotations

import tempfile
from multiprocessing.connection import Connection
from pathlib import Path

from heaterapp.crew import Hand


def keeping(door: Connection) -> None:
    """Make a folder for passing files, as the renderer of papers does for its fonts, and say where."""
    made = tempfile.mkdtemp()
    Path(made, "font").write_bytes(b"0" * 1000)
    door.send(made)
    door.recv()


class Keeper(Hand):
    """One such process."""

    def __init__(self) -> None:
        super().__init__(keeping, "keeper")
        self.made = Path(self._door.recv())
