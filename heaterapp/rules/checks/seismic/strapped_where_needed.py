"""The heater is strapped where the place wants it strapped.

Why: an unstrapped tank walks or falls in an earthquake, breaks its gas and water lines, and burns the house.
Fix: fit a strap in the upper third and one in the lower third, lagged into the studs.
"""

from decimal import Decimal

from ...questions import as_read
from ...report import Result, Worked, authority, engineer, fails, meets, not_applicable, unanswered
from ...units import HUNDREDTHS, Pound, against_most, tape_range

CLAUSES = ("seismic.required", "seismic.existing")


def check(
    bracing_required: Worked, heater_kind: str, strap_kind: str | None = None, job_kind: str | None = None,
    seismic_design_category: str | None = None,
    lower_strap_band_in: Worked | None = None, upper_strap_band_in: Worked | None = None,
    operating_weight_lb: Worked | None = None,
    *, existing_too: bool | None = None, by_design: bool = False, categories_in_doubt: tuple[str, ...] = (),
    light: Pound | None = None,
) -> Result:  # fmt: skip
    in_doubt = seismic_design_category in categories_in_doubt and not heater_kind.endswith("instantaneous")
    if bracing_required.value == "no" and not in_doubt:
        return not_applicable(bracing_required.says)
    if strap_kind is None:
        return unanswered("To answer: the kind of straps.", needs=("strap_kind",))
    clause = "seismic.existing" if existing_too and job_kind == "existing" else ""
    shown = as_read("strap_kind", strap_kind)
    if strap_kind != "none" and by_design and not in_doubt:
        said = f"Strapped: {shown}. {bracing_required.says} This book wants supports designed for the building code's force."
        return engineer(said, shown, "designed supports", fix="Show the authority a design for this heater, or ask what it accepts.")
    if strap_kind != "none":
        return meets(f"Strapped: {shown}. {bracing_required.says}", shown, "strapped", clause=clause)
    if in_doubt:
        return authority(f"No straps. {bracing_required.says} Ask the authority.", "none", "strapped", clause=clause)
    weight = operating_weight_lb.value if operating_weight_lb is not None else None
    if light is not None and isinstance(weight, Decimal) and weight <= light:
        full, most = against_most(weight, light, HUNDREDTHS)
        said = f"No straps. The full heater weighs {full} lb; up to {most} lb low on the floor may be free of the building code's force. Ask the authority."
        return authority(said, weight, light, "lb", clause=clause)
    low, high = (one.value if one else None for one in (lower_strap_band_in, upper_strap_band_in))
    fix = ""
    if isinstance(low, tuple) and isinstance(high, tuple):
        note = lower_strap_band_in.says if lower_strap_band_in else ""
        fix = f"Fit one strap {tape_range(*low)} in and one {tape_range(*high)} in from the floor, lagged into the studs. {note}".strip()
        if lower_strap_band_in and lower_strap_band_in.unsettled:
            fix = f"Fit one strap low on the tank and one {tape_range(*high)} in from the floor, lagged into the studs. {note}"
    return fails(f"No straps. {bracing_required.says}", "none", "strapped", clause=clause, fix=fix)
