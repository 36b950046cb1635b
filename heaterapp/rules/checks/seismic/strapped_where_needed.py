"""The heater is strapped where the place wants it strapped.

Why: an unstrapped tank walks or falls in an earthquake, breaks its gas and water lines, and burns the house.
Fix: fit a strap in the upper third and one in the lower third, lagged into the studs.
"""

from ...report import Result, Worked, fails, meets, not_applicable, unanswered
from ...units import tape_range

CLAUSES = ("seismic.required", "seismic.existing")


def check(
    bracing_required: Worked, strap_kind: str | None = None, job_kind: str | None = None,
    lower_strap_band_in: Worked | None = None, upper_strap_band_in: Worked | None = None,
    *, existing_too: bool | None = None,
) -> Result:  # fmt: skip
    if bracing_required.value == "no":
        return not_applicable(bracing_required.says)
    if strap_kind is None:
        return unanswered("To answer: the kind of straps.", needs=("strap_kind",))
    clause = "seismic.existing" if existing_too and job_kind == "existing" else ""
    shown = strap_kind.replace("_", " ")
    if strap_kind != "none":
        return meets(f"Strapped: {shown}. {bracing_required.says}", shown, "strapped", clause=clause)
    low, high = (one.value if one else None for one in (lower_strap_band_in, upper_strap_band_in))
    fix = ""
    if isinstance(low, tuple) and isinstance(high, tuple):
        note = lower_strap_band_in.says if lower_strap_band_in else ""
        fix = f"Fit one strap {tape_range(*low)} in and one {tape_range(*high)} in from the floor, lagged into the studs. {note}".strip()
    return fails(f"No straps. {bracing_required.says}", "none", "strapped", clause=clause, fix=fix)
