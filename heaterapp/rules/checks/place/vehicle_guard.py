"""A heater that a vehicle could strike is guarded.

Why: one bump breaks the gas or water connection.
Fix: set a post or rail, raise the heater, or move it out of the path.
"""

from ...report import Result, fails, meets, unanswered
from ...when import is_
from . import clause_of

CLAUSES = ("place.vehicle_guard", "place.vehicle_guard_mechanical")
WHEN = is_("room", "garage")


def check(
    in_vehicle_path: bool, vehicle_guard: bool | None = None, heater_kind: str | None = None, *, mechanical: bool = False
) -> Result:
    clause = clause_of("place.vehicle_guard", heater_kind, mechanical)
    limit = "guarded or out of the path"
    if not in_vehicle_path:
        return meets("Out of the vehicles' path.", "out of the path", limit, clause=clause)
    if vehicle_guard is None:
        return unanswered("To answer: a post, wall or platform guards it.", needs=("vehicle_guard",))
    if vehicle_guard:
        return meets("In the vehicles' path, and guarded.", "guarded", limit, clause=clause)
    return fails("In the vehicles' path, and not guarded.", "not guarded", limit, clause=clause)
