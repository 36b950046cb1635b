"""The heater suits the elevation.

Why: thin air burns gas badly: soot, carbon monoxide, a heater that will not stay lit.
Fix: fit the maker's high-altitude kit, or a heater made for this elevation.
"""

from typing import Annotated

from ...catalog import Given
from ...questions.plate import FUEL
from ...report import Result, fails, meets, unanswered
from ...units import Foot, against_most

CLAUSES = ("heater.altitude",)
WHEN = FUEL


def check(
    elevation_ft: Annotated[Foot, Given],
    heater_altitude_limit_ft: Foot | None = None,
    high_altitude_kit: bool | None = None,
    *,
    unchanged_to: Foot,
) -> Result:
    limit = heater_altitude_limit_ft if heater_altitude_limit_ft is not None else unchanged_to
    found, most = against_most(elevation_ft, limit)
    said = f"{found} ft above sea level; the heater suits {most} ft" + (
        " by its plate." if heater_altitude_limit_ft is not None else " without a word on its plate."
    )
    if elevation_ft <= limit:
        return meets(said, elevation_ft, limit, "ft")
    if high_altitude_kit:
        return meets(said + " The maker's high-altitude kit is fitted.", elevation_ft, None, "ft")
    asked = {"heater_altitude_limit_ft": heater_altitude_limit_ft, "high_altitude_kit": high_altitude_kit}
    needs = tuple(name for name, answer in asked.items() if answer is None)
    if needs:
        said += " To answer: the plate's limit, or the maker's high-altitude kit."
        return unanswered(said, needs=needs)
    return fails(said + " No high-altitude kit.", elevation_ft, limit, "ft")
