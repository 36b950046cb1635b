"""The heater is braced where the place wants it braced.

Why: an unbraced tank walks or falls in an earthquake, breaks its gas and water lines, and burns the house.
Fix: fit a strap in the upper third and one in the lower third, lagged into the studs.
"""

from ...questions.plate import STORAGE
from ...report import Result, Worked, fails, meets, not_applicable, unanswered

CLAUSES = ("seismic.required",)
WHEN = STORAGE


def check(bracing_required: Worked, strap_kind: str | None = None) -> Result:
    if bracing_required.value == "no":
        return not_applicable(bracing_required.says)
    if bracing_required.value is None:
        return unanswered(
            f"To answer: {bracing_required.says}.", needs=("seismic_design_category", "building_kind")
        )
    if strap_kind is None:
        return unanswered("To answer: the straps.", needs=("strap_kind",))
    if strap_kind == "none":
        return fails(f"Not braced. {bracing_required.says}", "no straps", "braced")
    return meets(f"Braced: {strap_kind.replace('_', ' ')}.", strap_kind.replace("_", " "), "braced")
