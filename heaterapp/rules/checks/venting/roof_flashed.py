"""The roof is flashed where the vent goes through.

Why: rain that runs down the vent rusts it and the heater, and rots the roof.
Fix: fit a flashing made for the roof's slope, and a storm collar above it.
"""

from ...questions.vent import ROOF
from ...report import Result, advice, unanswered

CLAUSES = ("venting.roof_flashing",)
WHEN = ROOF
KIND = "advice"


def check(vent_flashing: bool | None = None) -> Result:
    if vent_flashing is None:
        return unanswered("To answer: flashing at the roof.", needs=("vent_flashing",), kind="advice")
    if vent_flashing:
        return advice("meets", "Flashed where the vent goes through.", "flashed", "flashed")
    return advice("fails", "No flashing where the vent goes through.", "not flashed", "flashed")
