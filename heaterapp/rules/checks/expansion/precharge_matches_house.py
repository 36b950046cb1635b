"""The expansion tank's air charge matches the house pressure.

Why: charged too low the tank is full of cold water before the heating starts; too high it takes nothing in time.
Fix: shut the water off, open a tap, set the tank's air to the house pressure, and read it again.
"""

from decimal import Decimal

from ...questions.water import TANK
from ...report import Result, Worked, advice, fails, meets, unanswered
from ...units import Psi, plain

CLAUSES = ("expansion.precharge",)
WHEN = TANK


def check(
    precharge_psi: Psi,
    precharge_target_psi: Worked,
    peak_pressure_psi: Worked | None = None,
    *,
    near: Psi,
    far: Psi,
) -> Result | tuple[Result, ...]:
    target = precharge_target_psi.value
    if not isinstance(target, Decimal):
        return unanswered("To answer: the house pressure.", needs=("house_pressure_psi",))
    gap = abs(precharge_psi - target)
    said = (
        f"Air charge {plain(precharge_psi)} psi, house pressure {plain(target)} psi: {plain(gap)} psi apart."
    )
    fix = f"Set tank air to {plain(target, 1)} psi, with the water off and a tap open."
    if gap <= near:
        return meets(said, precharge_psi, target, "psi")
    if gap <= far:
        return meets(said, precharge_psi, target, "psi"), advice(
            "fails", f"{said} Within {plain(near)} psi is better.", precharge_psi, target, "psi", fix=fix
        )
    peak = peak_pressure_psi.value if peak_pressure_psi is not None else None
    if isinstance(peak, Decimal):
        said += f" The pressure would reach {plain(peak, 0)} psi."
    elif peak_pressure_psi is not None:
        said += " The tank cannot hold the expansion; the relief valve opens."
    return fails(said, precharge_psi, target, "psi", fix=fix)
