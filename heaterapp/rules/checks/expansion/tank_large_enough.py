"""The expansion tank, charged to the house pressure, is large enough.

Why: a small tank lets the pressure run up toward the relief valve at every heating.
Fix: fit a larger expansion tank, or lower the house pressure.
"""

from decimal import Decimal

from ...questions.plate import STORAGE
from ...questions.water import TANK
from ...report import Result, Worked, advice, fails, meets, unanswered
from ...units import Gallon, Psi, plain

CLAUSES = ("expansion.pressure_limit", "expansion.advised_limit")
WHEN = STORAGE & TANK


def check(
    expansion_tank_gal: Gallon, peak_pressure_as_recommended_psi: Worked, expansion_tank_needed_gal: Worked, relief_pressure_psi: Psi | None = None,
    expansion_tank_rating_psi: Psi | None = None, *, limit: Psi | None = None, advised_limit: Psi,
) -> Result | tuple[Result, ...]:  # fmt: skip
    peak, needed = peak_pressure_as_recommended_psi.value, expansion_tank_needed_gal.value
    most = limit if limit is not None else advised_limit
    size = (
        f"Tank needs at least {plain(needed, 1)} gal; this one is {plain(expansion_tank_gal, 1)}"
        if isinstance(needed, Decimal)
        else f"At this house pressure no size holds {plain(most)} psi; this tank is {plain(expansion_tank_gal, 1)} gal"
    )
    fix = (
        f"Fit an expansion tank of {plain(needed, 1)} gal or more, or lower the house pressure."
        if isinstance(needed, Decimal)
        else "Lower the house pressure with the reducing valve, then size the tank again."
    )
    worst = " Worst case: the whole tank heated from cold, every tap shut."
    if not isinstance(peak, Decimal):
        return fails(
            f"{size}: it cannot hold the expansion.{worst}", expansion_tank_gal, needed, "gal", fix=fix
        )
    reached = f"pressure would reach {plain(peak, 0)} psi"
    if peak <= most:
        return meets(
            f"Charged to the house pressure it peaks at {plain(peak, 1)} psi, {plain(most)} psi at most.{worst}",
            peak,
            most,
            "psi",
        )
    if limit is not None:
        return fails(f"{size}: {reached}.{worst}", peak, limit, "psi", fix=fix)
    parts = [part for part in (relief_pressure_psi, expansion_tank_rating_psi) if part is not None]
    if relief_pressure_psi is None:
        return unanswered("To answer: the relief valve's pressure setting.", needs=("relief_pressure_psi",))
    hard = min(parts)
    note = advice(
        "fails",
        f"{size}, to stay within {plain(advised_limit)} psi: {reached}.{worst}",
        peak,
        advised_limit,
        "psi",
        fix=fix,
        clause="expansion.advised_limit",
    )
    if peak >= relief_pressure_psi or peak > hard:
        return fails(
            f"{size}: {reached}, the lowest rated part is at {plain(hard)} psi.{worst}",
            peak,
            hard,
            "psi",
            fix=fix,
        )
    return meets(
        f"The book names no limit; it peaks at {plain(peak, 1)} psi, below the lowest rated part at {plain(hard)} psi.{worst}",
        peak,
        hard,
        "psi",
    ), note
