"""The receptacle that the heater plugs into has ground-fault protection where the code asks it.

Why: on concrete, damp or wet ground, a fault in a cord can kill whoever touches the heater.
Fix: fit a ground-fault receptacle or breaker for this circuit, and press its test button.
"""

from ...questions import as_read
from ...questions.electric import PLUGGED
from ...report import Result, authority, fails, meets, silent, unanswered
from ...units import Ampere, Volt, against_most

CLAUSES = ("electric.ground_fault",)
WHEN = PLUGGED


def check(
    receptacle_gfci: bool | None = None, room: str | None = None, volts: Volt | None = None, breaker_a: Ampere | None = None,
    building_kind: str | None = None, job_kind: str | None = None,
    *, rooms: tuple[str, ...], rooms_in_doubt: tuple[str, ...], up_to_volts: Volt, up_to_amps: Ampere | None = None,
) -> Result:  # fmt: skip
    if receptacle_gfci is None:
        return unanswered("To answer: ground-fault protection of the receptacle.", needs=("receptacle_gfci",), kind="advice")
    if receptacle_gfci:
        return meets("The receptacle has ground-fault protection.", "protected", "protected")
    if building_kind == "business":
        return silent("The rule held here is for homes; a business has its own.")
    if room is None or volts is None or (breaker_a is None and up_to_amps is not None):
        return unanswered("To answer: where the receptacle is, and its circuit.", needs=("room", "volts", "breaker_a"))
    if volts > up_to_volts:
        found, most = against_most(volts, up_to_volts)
        return silent(f"This edition asks it up to {most} V; this is {found} V.")
    if up_to_amps is not None and breaker_a is not None and breaker_a > up_to_amps:
        found, most = against_most(breaker_a, up_to_amps)
        return silent(f"This edition asks it up to {most} A; this is {found} A.")
    if room in rooms_in_doubt:
        said = "No ground-fault protection. It is asked in an unfinished basement and where laundry is done: ask the authority whether this is one."
        return authority(said, "none", "protected")
    shown = as_read("room", room)
    if room not in rooms:
        return silent(f"This edition does not ask it here: {shown}.")
    if job_kind == "same_place":
        said = "No ground-fault protection. The receptacle may be as it was: ask the authority."
        return authority(said, "none", "protected")
    return fails(f"No ground-fault protection. Room: {shown}.", "none", "protected")
