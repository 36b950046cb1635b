"""The expansion tank's air charge matches the house pressure.

Why: charged too low the tank is full of cold water before the heating starts; too high it takes nothing in time.
Fix: shut the water off, open a tap, set the tank's air to the house pressure, and read it again.
"""

from decimal import Decimal

from ...calc.expansion import REDUCE_FIRST
from ...questions.water import TANK
from ...report import Result, Worked, advice, authority, fails, meets
from ...units import Psi, plain

CLAUSES = ("expansion.precharge",)
WHEN = TANK


def check(
    precharge_psi: Psi, precharge_target_psi: Worked, house_pressure_psi: Psi | None = None, prv_fitted: bool | None = None,
    precharge_at_air_f_psi: Psi | None = None, peak_pressure_psi: Worked | None = None,
    drew_water_before_reading: bool | None = None, *, near: Psi, far: Psi,
) -> Result | tuple[Result, ...]:  # fmt: skip
    target = precharge_target_psi.value
    assert isinstance(target, Decimal)
    gap, reduce_first = abs(precharge_psi - target), precharge_target_psi.unsettled
    setting = "reducing valve's setting" if prv_fitted else "street pressure"
    basis = "house pressure" if house_pressure_psi is not None else setting
    said = f"Air charge {plain(precharge_psi)} psi, {basis} {plain(target)} psi: {plain(gap)} psi apart."
    shown: tuple[Decimal, Decimal | str, str] = (precharge_psi, target, "psi")
    fix = f"Set tank air to {plain(target, 1)} psi, with the water off and a tap open."
    if reduce_first:
        said = f"{said} {REDUCE_FIRST}"
        shown = (precharge_psi, "the reduced pressure", "psi")
        fix = "Reduce the house pressure first, draw water and read it again. Then set tank air to that, with the water off and a tap open."
    if gap <= near:
        return meets(said, *shown)
    if gap <= far:
        if precharge_at_air_f_psi is not None and abs(precharge_psi - precharge_at_air_f_psi) <= near:
            return meets(f"{said} Right for the air temperature at which it was set.", *shown)
        return meets(said, *shown), advice(
            "fails", f"{said} Within {plain(near)} psi is better.", *shown, fix=fix
        )
    if house_pressure_psi is not None and drew_water_before_reading is False and precharge_psi < target:
        said += " The pressure was read without drawing water first, so it may read high: draw water and read again."
        return authority(
            said, *shown, fix="Draw water, read the house pressure again, then set tank air to it."
        )
    peak = peak_pressure_psi.value if peak_pressure_psi is not None else None
    if isinstance(peak, Decimal) and peak_pressure_psi is not None:
        opens = "; the relief valve opens first" if peak_pressure_psi.says else ""
        said += f" The pressure would reach {plain(peak, 0)} psi{opens}."
    elif peak_pressure_psi is not None:
        said += " The tank cannot hold the expansion; the relief valve opens."
    return fails(said, *shown, fix=fix)
