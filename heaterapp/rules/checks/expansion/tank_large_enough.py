"""The expansion tank, charged to the house pressure, is large enough.

Why: a small tank lets the pressure run up toward the relief valve at every heating.
Fix: fit a larger expansion tank, or lower the house pressure.
"""

from decimal import Decimal

from ...questions.plate import STORAGE
from ...questions.water import TANK
from ...report import Result, Worked, advice, authority, fails, meets, unanswered
from ...units import Gallon, Psi, against_least, against_most, plain, plain_up
from . import open_system, takes_too_little

CLAUSES = ("expansion.pressure_limit", "expansion.advised_limit", "expansion.peak", "expansion.control")
WHEN = STORAGE & TANK
_ADVISED = "The expansion tank keeps the pressure within good practice."


def _reached(peak: Worked, limit: Decimal) -> str:
    if not isinstance(peak.value, Decimal):
        return "it cannot hold the expansion"
    if peak.held_at is not None:
        return f"pressure would reach {plain(peak.held_at)} psi, where the relief valve opens"
    return f"pressure would reach {against_most(peak.value, limit, 1)[0]} psi"


def _found(peak: Worked) -> Decimal | str:
    if not isinstance(peak.value, Decimal):
        return "cannot hold"
    return peak.value if peak.held_at is None else "relief valve opens"


def _size(
    tank: Decimal, needed: Worked, most: Decimal, expands: Decimal, label: Decimal | None, advised: bool
) -> tuple[str, str]:
    """What of the size is wrong, and what to do.

    label  what the tank's label says it takes, where that is too little
    """
    if not isinstance(needed.value, Decimal):
        named = f"the {plain(most)} psi of good practice" if advised else f"{plain(most)} psi"
        none = "no size" if needed.barred else "no tank of a usual size"
        size = f"At this house pressure {none} keeps to {named}; this tank is {plain(tank)} gal"
        return size, "Lower the house pressure with the reducing valve, then size the tank again."
    if label is not None and tank >= needed.value:
        takes, all_of_it = against_least(label, expands)
        size = (
            f"A tank of {plain_up(needed.value)} gal would do and this one is {plain(tank)}, "
            f"but by its label it accepts {takes} gal of the {all_of_it} gal that expand"
        )
        return size, f"Fit an expansion tank that accepts at least {all_of_it} gal."
    has, asks = against_least(tank, needed.value, 1)
    size = f"Tank needs at least {asks} gal; this one is {has}"
    size += f", to stay within the {plain(most)} psi of good practice" if advised else ""
    accepts = "" if label is None else f" that accepts at least {against_least(label, expands)[1]} gal"
    return size, f"Fit an expansion tank of {plain_up(needed.value)} gal or more{accepts}, or lower the house pressure."


def check(
    expansion_tank_gal: Gallon, peak_pressure_as_recommended_psi: Worked, expansion_tank_needed_gal: Worked, thermal_expansion_gal: Gallon,
    expansion_acceptance_gal: Gallon | None = None, closed_system: Worked | None = None,
    relief_fitted: bool | None = None, relief_pressure_psi: Psi | None = None, expansion_tank_rating_psi: Psi | None = None, working_pressure_psi: Psi | None = None,
    house_pressure_psi: Psi | None = None, drew_water_before_reading: bool | None = None,
    *, limit: Psi | None = None, advised_limit: Psi, always: bool = False,
) -> Result | tuple[Result, ...]:  # fmt: skip
    if (opened := open_system(closed_system, always)) is not None:
        return opened
    peak, would = peak_pressure_as_recommended_psi.value, peak_pressure_as_recommended_psi
    most = limit if limit is not None else advised_limit
    worst = " Worst case: the whole tank heated from cold, every tap shut."
    reached, found = _reached(would, most), _found(would)
    label = expansion_acceptance_gal if takes_too_little(thermal_expansion_gal, expansion_acceptance_gal) else None
    size, fix = _size(expansion_tank_gal, expansion_tank_needed_gal, most, thermal_expansion_gal, label, limit is None)
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
        return over(f"{size}: {reached}.{worst}{again}", found, limit, "psi", fix=fix)
    if not isinstance(peak, Decimal):
        return over(f"{size}: {reached}.{worst}{again}", found, fix=fix, clause="expansion.peak")
    if relief_pressure_psi is None and relief_fitted is not False:
        return unanswered("To answer: the relief valve's pressure setting.", needs=("relief_pressure_psi",))
    rated = [part for part in (relief_pressure_psi, expansion_tank_rating_psi, working_pressure_psi) if part is not None]
    if not rated:
        return unanswered("To answer: the working pressure on the plate.", needs=("working_pressure_psi",))
    hard = min(rated)
    if peak > hard or would.held_at is not None:
        rated_at = f", the lowest rated part is at {plain(hard)} psi" if hard != would.held_at else ""
        said = f"{size}: {_reached(would, hard)}{rated_at}.{worst}{again}"
        return over(said, found, hard, "psi", fix=fix, clause="expansion.peak")
    note = advice(
        "fails", f"{size}: {reached}.{worst}", found, advised_limit, "psi",
        fix=fix, clause="expansion.advised_limit", title=_ADVISED,
    )  # fmt: skip
    reaches, rated_for = against_most(peak, hard, 1)
    said = f"The book names no limit but what the parts are rated for, {rated_for} psi at the lowest; it peaks at {reaches} psi.{worst}"
    return meets(said, peak, hard, "psi", clause="expansion.peak"), note
