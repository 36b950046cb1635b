"""No leaked propane can lie where the burner stands.

Why: propane is heavier than air: what leaks below the ground stays there, and waits for a flame.
Fix: set the heater above the ground, or show the authority what it accepts: a detector, a drain to outdoors, a fan.
"""

from ...questions import as_read
from ...questions.plate import FUEL
from ...report import Result, authority, meets
from ...when import is_

CLAUSES = ("place.propane_low",)
WHEN = FUEL & is_("gas_kind", "propane")


def check(room: str, *, rooms: tuple[str, ...]) -> Result:
    shown = as_read("room", room)
    if room in rooms:
        said = f"A propane burner in a {shown}: a leak would lie there. Some codes bar it, some accept it with a detector. Ask."
        return authority(said, shown, "above the ground")
    return meets(f"Stands in: {shown}, where a leak does not lie.", shown, "above the ground")
