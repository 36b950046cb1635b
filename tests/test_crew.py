"""Processes that work for the app's threads, and what they leave behind: nothing."""

from __future__ import annotations

import pytest

from heaterapp.crew import Crew
from tests.keeper import Keeper


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
