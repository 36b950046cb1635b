"""The air charge allows for the temperature at which it was set.

Why: air set warm reads low when it hangs in the cold, and the other way round.
Fix: set the gauge to the figure for the air temperature at the moment of setting.
"""

from decimal import Decimal

from ...calc.expansion import REDUCE_FIRST, precharge_at_air
from ...questions.water import TANK
from ...report import Result, Verdict, Worked, advice
from ...units import DegF, Psi, band_about, clear_of, plain

CLAUSES = ("expansion.precharge",)
KIND = "advice"
WHEN = TANK


def check(
    precharge_psi: Psi, precharge_at_air_f_psi: Psi, precharge_air_f: DegF, precharge_target_psi: Worked,
    installed_air_f: DegF, local_atmosphere_psia: Psi, precharge_installed_psi: Psi | None = None, *, near: Psi,
) -> Result:  # fmt: skip
    target = precharge_target_psi.value
    assert isinstance(target, Decimal)
    gap = abs((precharge_psi if precharge_installed_psi is None else precharge_installed_psi) - target)
    verdict: Verdict = "meets" if gap <= near else "fails"
    if precharge_target_psi.unsettled:
        said = f"It read {plain(precharge_psi)} psi at {plain(precharge_air_f)} F. {REDUCE_FIRST}"
        fix = f"Reduce the house pressure and read it again; then set the gauge as worked out from that for {plain(precharge_air_f)} F."
        return advice(verdict, said, precharge_psi, "the pressure there is now" if verdict == "meets" else "the reduced pressure", "psi", fix=fix)
    gauge, there = (clear_of(one, *precharge_target_psi.edges) for one in (precharge_at_air_f_psi, target))
    said = f"At {plain(precharge_air_f)} F the gauge should read {gauge} psi; it read {plain(precharge_psi)} psi."
    fix = f"Set the gauge to {gauge} psi at {plain(precharge_air_f)} F."
    if precharge_installed_psi is not None:
        fix = (
            f"Set the gauge to {gauge} psi at {plain(precharge_air_f)} F,"
            f" which is {there} psi at {plain(installed_air_f)} F where the tank hangs."
        )
    least, most = (
        precharge_at_air(max(target + way * near, Decimal(0)), installed_air_f, precharge_air_f, local_atmosphere_psia)
        for way in (-1, 1)
    )
    if verdict == "meets":
        least, most = min(least, precharge_psi), max(most, precharge_psi)
    found = clear_of(precharge_psi, least, most)
    return advice(verdict, said, found, band_about(least, most, Decimal(found)), "psi", fix=fix)
