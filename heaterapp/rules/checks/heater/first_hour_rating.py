"""The heater's first-hour rating suits the bathrooms and bedrooms.

Why: a heater too small runs cold, is turned up, and scalds.
Fix: fit a heater with the first-hour rating of the table.
"""

from decimal import Decimal

from ...questions.plate import STORAGE
from ...report import Result, Worked, authority, engineer, fails, meets
from ...units import Gallon, against_least

CLAUSES = ("heater.first_hour",)
WHEN = STORAGE


def check(first_hour_gal: Gallon, first_hour_needed_gal: Worked, job_kind: str | None = None) -> Result:
    needed = first_hour_needed_gal.value
    if not isinstance(needed, Decimal):
        said = f"Not in the table: {first_hour_needed_gal.says}."
        ask = authority if job_kind == "same_place" else engineer
        return ask(said, first_hour_gal, None, "gal")
    found, least = against_least(first_hour_gal, needed)
    said = f"First-hour rating {found} gal, {least} gal asked."
    if first_hour_gal >= needed:
        return meets(said, first_hour_gal, needed, "gal")
    if job_kind == "same_place":
        return authority(
            said + " On a like-for-like replacement ask the authority.", first_hour_gal, needed, "gal"
        )
    return fails(said, first_hour_gal, needed, "gal")
