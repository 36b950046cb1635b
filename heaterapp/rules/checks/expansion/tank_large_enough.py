"""The expansion tank, charged to the house pressure, is large enough.

Why: a small tank lets the pressure run up toward the relief valve at every heating.
Fix: fit a larger expansion tank, or lower the house pressure.
"""

from decimal import Decimal

from ...questions.plate import STORAGE
from ...questions.water import TANK
from ...report import Result, Worked, advice, authority, fails, meets, unanswered
from ...units import Gallon, Psi, against_least, against_most, plain, plain_up

CLAUSES = ("expansion.pressure_limit", "expansion.advised_limit", "expansion.peak")
WHEN = STORAGE & TANK
_ADVISED = "The expansion tank keeps the pressure within good practice."


def _reached(peak: object, limit: Decimal) -> str:
    if not isinstance(peak, Decimal):
        return "it cannot hold the expansion"
    return f"pressure would reach {against_most(peak, limit, 1)[0]} psi"


def _size(tank: Decimal, needed: object, most: Decimal, holds: bool, advised: bool) -> tuple[str, str]:
    """What of the size is wrong, and what to do."""
    if not isinstance(needed, Decimal):
        named = f"the {plain(most)} psi of good practice" if advised else f"{plain(most)} psi"
        size = f"At this house pressure no size keeps to {named}; this tank is {plain(tank)} gal"
        return size, "Lower the house pressure with the reducing valve, then size the tank again."
    if not holds and tank >= needed:
        size = f"A tank of {plain_up(needed)} gal would do and this one is {plain(tank)}, but by its label it takes too little water"
        return size, "Fit an expansion tank whose label says that it takes all of the expansion."
    has, asks = against_least(tank, needed, 1)
    size = f"Tank needs at least {asks} gal; this one is {has}"
    size += f", to stay within the {plain(most)} psi of good practice" if advised else ""
    return size, f"Fit an expansion tank of {plain_up(needed)} gal or more, or lower the house pressure."


def check(
    expansion_tank_gal: Gallon, peak_pressure_as_recommended_psi: Worked, expansion_tank_needed_gal: Worked,
    relief_fitted: bool | None = None, relief_pressure_psi: Psi | None = None, expansion_tank_rating_psi: Psi | None = None, working_pressure_psi: Psi | None = None,
    house_pressure_psi: Psi | None = None, drew_water_before_reading: bool | None = None,
    *, limit: Psi | None = None, advised_limit: Psi,
) -> Result | tuple[Result, ...]:  # fmt: skip
    peak, needed = peak_pressure_as_recommended_psi.value, expansion_tank_needed_gal.value
    most = limit if limit is not None else advised_limit
    worst = " Worst case: the whole tank heated from cold, every tap shut."
    reached = _reached(peak, most)
    size, fix = _size(expansion_tank_gal, needed, most, isinstance(peak, Decimal), limit is None)
    trapped = house_pressure_psi is not None and drew_water_before_reading is False
    over = authority if trapped else fails
    again = (
        " The pressure was read without drawing water first: draw water and read again." if trapped else ""
    )
    if isinstance(peak, Decimal) and peak <= most:
        held = f"{plain(most)} psi at most"
        if limit is None:
            held = f"within the {plain(most)} psi that good practice advises; the book names no limit"
        return meets(
            f"Charged to the house pressure it peaks at {against_most(peak, most, 1)[0]} psi, {held}.{worst}",
            peak,
            most,
            "psi",
        )
    if limit is not None:
        return over(f"{size}: {reached}.{worst}{again}", peak or "cannot hold", limit, "psi", fix=fix)
    if not isinstance(peak, Decimal):
        return over(f"{size}: {reached}.{worst}{again}", "cannot hold", fix=fix, clause="expansion.peak")
    if relief_pressure_psi is None and relief_fitted is not False:
        return unanswered("To answer: the relief valve's pressure setting.", needs=("relief_pressure_psi",))
    rated = [part for part in (relief_pressure_psi, expansion_tank_rating_psi, working_pressure_psi) if part is not None]
    if not rated:
        return unanswered("To answer: the working pressure on the plate.", needs=("working_pressure_psi",))
    hard = min(rated)
    if peak > hard or (relief_pressure_psi is not None and peak >= relief_pressure_psi):
        named = "the relief valve is set to" if hard == relief_pressure_psi else "the lowest rated part is at"
        return over(
            f"{size}: {_reached(peak, hard)}, {named} {plain(hard)} psi.{worst}{again}",
            peak,
            hard,
            "psi",
            fix=fix,
            clause="expansion.peak",
        )
    note = advice(
        "fails", f"{size}: {reached}.{worst}", peak, advised_limit, "psi",
        fix=fix, clause="expansion.advised_limit", title=_ADVISED,
    )  # fmt: skip
    reaches, rated_for = against_most(peak, hard, 1)
    said = f"The book names no limit but what the parts are rated for, {rated_for} psi at the lowest; it peaks at {reaches} psi.{worst}"
    return meets(said, peak, hard, "psi", clause="expansion.peak"), note
