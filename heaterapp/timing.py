"""One promise beside its bar, and works timed in turns inside one run, since machines are noisy."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True)
class Measured:
    """One promise: what was found, and the most it may be."""

    name: str
    found: float
    bar: float
    unit: str

    @property
    def kept(self) -> bool:
        """At or below the bar."""
        return self.found <= self.bar

    def line(self) -> str:
        """The promise as one line of print."""
        word = "kept" if self.kept else "MISSED"
        return f"{self.name:58} {self.found:9.2f} {self.unit:2}  bar {self.bar:6.2f} {self.unit:2}  {word}"


def in_turns(
    rounds: int, works: dict[str, Callable[[], object]], clock: Callable[[], float] = time.perf_counter
) -> dict[str, float]:
    """The median time of each work, taken in turns, the first round thrown away.

    rounds   how often each is timed
    works    name -> what is timed
    clock    [s]; `time.process_time` for work of this process alone, whatever else the machine does
    returns  name -> [s]
    """
    taken: dict[str, list[float]] = {name: [] for name in works}
    for _ in range(rounds + 1):
        for name, work in works.items():
            began = clock()
            work()
            taken[name].append(clock() - began)
    return {name: statistics.median(times[1:]) for name, times in taken.items()}
