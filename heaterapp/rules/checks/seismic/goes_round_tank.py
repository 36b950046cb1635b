"""The straps go right round the tank.

Why: a strap across the front alone lets the tank roll out sideways.
Fix: start at the wall, go right round the tank, and back to the wall.
"""

from ...questions.plate import STORAGE
from ...questions.straps import STRAPS
from ...report import Result, advice, authority, meets, not_applicable
from ...units import Ratio, eighths
from ...when import is_

CLAUSES = ("seismic.wrap",)
WHEN = STORAGE & STRAPS & ~is_("bracing_required", "no")
KIND = "advice"


def check(strap_kind: str, strap_wraps_tank: bool | None = None, *, as_advice: bool, turns: Ratio) -> Result:
    if strap_wraps_tank:
        return meets("The straps go right round.", kind="advice" if as_advice else "rule")
    if strap_kind == "listed_kit":
        return not_applicable("A listed kit goes as its sheet says.", kind="advice")
    if strap_wraps_tank is None:
        return advice(
            "unanswered",
            "To answer: whether the straps go right round the tank.",
            needs=("strap_wraps_tank",),
        )
    said = "The straps do not go right round the tank."
    fix = f"Start at the wall, go {eighths(turns)} turns round the tank, and back to the wall."
    return advice("fails", said, fix=fix) if as_advice else authority(said, fix=fix)
