"""The expansion tank's air charge matches the house pressure.

The charge is what the air has at the temperature where the tank hangs, where that is another than when it was set.

Why: charged too low the tank is full of cold water before the heating starts; too high it takes nothing in time.
Fix: shut the water off, open a tap, set the tank's air to the house pressure, and read it again.
"""

from decimal import Decimal

from ...calc.expansion import REDUCE_FIRST, TANK_CANNOT_HOLD_IT
from ...questions.water import TANK
from ...report import Result, Worked, advice, authority, fails, meets
from ...units import DegF, Psi, band_about, clear_of, plain, plain_up

CLAUSES = ("expansion.precharge",)
WHEN = TANK


def check(
    precharge_psi: Psi, precharge_target_psi: Worked, house_pressure_psi: Psi | None = None, prv_fitted: bool | None = None,
    precharge_installed_psi: Psi | None = None, precharge_at_air_f_psi: Psi | None = None,
    precharge_air_f: DegF | None = None, installed_air_f: DegF | None = None, peak_pressure_psi: Worked | None = None,
    drew_water_before_reading: bool | None = None, *, near: Psi, far: Psi,
) -> Result | tuple[Result, ...]:  # fmt: skip
    target = precharge_target_psi.value
    assert isinstance(target, Decimal)
    charge = precharge_psi if precharge_installed_psi is None else precharge_installed_psi
    gap, reduce_first, edges = abs(charge - target), precharge_target_psi.unsettled, precharge_target_psi.edges
    to_set = clear_of(target, *edges)
    setting = "reducing valve's setting" if prv_fitted else "street pressure"
    basis = "house pressure" if house_pressure_psi is not None else setting
    said = f"Air charge {plain(precharge_psi)} psi, {basis} {clear_of(target, *edges)} psi: {clear_of(gap, near, far)} psi apart."
    # either side of the target is wrong: what was found is rounded to the nearest, for the rule as for the advice
    found = clear_of(charge, target, *(target + way * reach for way in (-1, 1) for reach in (near, far)))
    held, better = (
        (found, band_about(target - reach, target + reach, Decimal(found)), "psi") for reach in (far, near)
    )
    fix = f"Set tank air to {to_set} psi, with the water off and a tap open."
    if precharge_installed_psi is not None and precharge_air_f is not None and installed_air_f is not None:
        apart = clear_of(gap, near, far, places=1)
        set_at, hangs_at = plain(precharge_air_f), plain(installed_air_f)
        said = (
            f"Air charge {plain(precharge_psi)} psi at {set_at} F, which is {plain(charge, 1)} psi at {hangs_at} F where the tank hangs;"
            f" {basis} {clear_of(target, *edges)} psi: {apart} psi apart."
        )
        fix = f"Set tank air to {to_set} psi at {hangs_at} F, where the tank hangs, with the water off and a tap open."
        if precharge_at_air_f_psi is not None:
            read = clear_of(precharge_at_air_f_psi, *edges)
            fix = f"Set the gauge to {read} psi at {set_at} F, which is {to_set} psi at {hangs_at} F where the tank hangs, with the water off and a tap open."
    if reduce_first:
        said = f"{said} {REDUCE_FIRST}"
        held = found, "the pressure there is now" if gap <= far else "the reduced pressure", "psi"
        better = found, "the reduced pressure", "psi"
        fix = "Reduce the house pressure first, draw water and read it again. Then set tank air to that, with the water off and a tap open."
    if gap <= near and not reduce_first:
        return meets(said, *held)
    if gap <= far:
        why = f"{said} Within {plain(near)} psi is better." if gap > near else said
        return meets(said, *held), advice("fails", why, *better, fix=fix)
    if house_pressure_psi is not None and drew_water_before_reading is False and charge < target:
        said += " The pressure was read without drawing water first, so it may read high: draw water and read again."
        return authority(
            said, *held, fix="Draw water, read the house pressure again, then set tank air to it."
        )
    peak = peak_pressure_psi.value if peak_pressure_psi is not None else None
    if peak_pressure_psi is not None and peak_pressure_psi.held_at is not None:
        said += f" The pressure would reach {plain(peak_pressure_psi.held_at)} psi, where the relief valve opens."
    elif isinstance(peak, Decimal):
        said += f" The pressure would reach {plain_up(peak)} psi."
    elif peak_pressure_psi is not None and peak_pressure_psi.says == TANK_CANNOT_HOLD_IT:
        said += " The tank cannot hold the expansion; the relief valve opens."
    return fails(said, *held, fix=fix)
