"""No water leaks from the heater or its pipes.

Why: a joint that weeps today rusts the tank, feeds mold and lets go one night.
Fix: shut the water off, remake what leaks, fill again, and look at every joint under full house pressure.
"""

from ...report import Result, fails, meets, unanswered

CLAUSES = ("supply.water_test",)


def check(no_leaks_seen: bool | None = None) -> Result:
    # Nobody is held up for saying nothing of it; the paper then says nothing either.
    if no_leaks_seen is None:
        return unanswered("To answer: whether water leaks were seen.", needs=("no_leaks_seen",), kind="advice")
    if no_leaks_seen:
        return meets("Under pressure, and no leak seen.", "none seen", "no leak")
    return fails("Water leaks were seen: the piping is not proved tight.", "leaks seen", "no leak")
