"""The screen on an outdoor opening for air is not too fine.

Why: a fine screen fills with lint and leaves and shuts the air off.
Fix: change the screen for one with a coarser mesh, or take it out of a duct that ends in an attic.
"""

from decimal import Decimal

from ...catalog import NotHere
from ...questions.air import INDOOR_AIR, TO_OUTDOORS
from ...report import Result, fails, meets, not_applicable
from ...units import Inch, tape_least

CLAUSES = ("air.screen",)
WHEN = INDOOR_AIR & TO_OUTDOORS


def check(air_screen_mesh_in: Inch | NotHere, *, least_mesh: Inch) -> Result:
    if not isinstance(air_screen_mesh_in, Decimal):
        return not_applicable("There is no screen.")
    found, least = tape_least(air_screen_mesh_in, least_mesh)
    said = f"Mesh {found} in; not finer than {least} in."
    answer = meets if air_screen_mesh_in >= least_mesh else fails
    return answer(said, air_screen_mesh_in, least_mesh, "in")
