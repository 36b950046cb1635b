"""The tank is of a size that the place's strap details cover.

Why: the details were worked out for ordinary tanks; a larger one needs its own.
Fix: ask the building department for approval before installing, with a design for this size.
"""

from ...questions.plate import STORAGE
from ...questions.straps import STRAPS
from ...report import Result, authority, meets
from ...units import Gallon, plain
from ...when import is_

CLAUSES = ("seismic.guide",)
WHEN = STORAGE & STRAPS & ~is_("bracing_required", "no")


def check(storage_gal: Gallon, *, largest_to: Gallon) -> Result:
    said = f"{plain(storage_gal)} gal; the state's details cover up to {plain(largest_to)} gal."
    if storage_gal <= largest_to:
        return meets(said, storage_gal, largest_to, "gal")
    return authority(said, storage_gal, largest_to, "gal")
