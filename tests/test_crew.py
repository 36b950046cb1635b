"""Processes that work for the app's threads, and what they leave behind: nothing."""

from __future__ import annotations

import tempfile
from multiprocessing.connection import Connection
from pathlib import Path

import pytest

from heaterapp.crew import Crew, Hand


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


class Keepers(Crew[Keeper]):
    """One at a time."""

    def _start(self) -> Keeper:
        return Keeper()


@pytest.mark.parametrize("way", ["ended by itself", "given back as unfit", "closed"])
def test_a_process_ended_in_the_midst_of_its_work_leaves_no_file(way: str) -> None:
    crew = Keepers(1)
    keeper = crew.take()
    assert (keeper.made / "font").exists()
    if way == "ended by itself":
        keeper.process.kill()
        keeper.process.join(5)
        crew.give(keeper, again=True)
        another = crew.take()
        assert another is not keeper
    elif way == "given back as unfit":
        crew.give(keeper, again=False)
    else:
        crew.close()
    assert not keeper.made.parent.exists()
    crew.close()
