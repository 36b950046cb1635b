"""The fasteners hold a third of the heater's weight.

Why: what pulls out holds nothing.
Fix: use longer or thicker lag screws, centered in the studs.
"""

from decimal import Decimal

from ...questions.plate import STORAGE
from ...questions.straps import STRAPS
from ...report import Result, Worked, authority, engineer, fails, meets, unanswered
from ...units import plain
from ...when import is_

CLAUSES = ("seismic.force", "seismic.lag_withdrawal")
WHEN = STORAGE & STRAPS & ~is_("bracing_required", "no")


def check(
    strap_kind: str, strap_anchor: str, lag_withdrawal_lb: Worked | None = None, lag_allowable_lb: Worked | None = None,
    strap_leg_tension_lb: Worked | None = None, strap_allowable_lb: Worked | None = None, *, stated: bool, listed: str,
) -> Result:  # fmt: skip
    if strap_anchor == "drywall_only":
        return (fails if stated else authority)(
            "Wallboard holds nothing.", "wallboard", "a third of the weight"
        )
    if strap_kind == listed:
        return meets("A listed kit, fixed as its sheet says.", "listed kit", "a third of the weight")
    if strap_anchor != "lag_in_stud":
        return engineer(
            "No value is held here for this anchor: follow its maker, or have it designed.",
            strap_anchor.replace("_", " "),
            "a third of the weight",
        )
    pulls, holds = (f.value if f is not None else None for f in (lag_withdrawal_lb, lag_allowable_lb))
    if not isinstance(pulls, tuple) or not isinstance(holds, Decimal):
        return unanswered(
            "To answer: strap heights, tank size, gap, anchor spacing, and the lag screws.",
            needs=("lag_diameter_in", "lag_length_in", "wall_cover_in", "anchor_spacing_in"),
        )
    worst = max(pulls)
    said = f"Each lag is pulled with {plain(worst, 0)} lb at a third of the weight; it holds {plain(holds, 0)} lb."
    tension, strap = (f.value if f is not None else None for f in (strap_leg_tension_lb, strap_allowable_lb))
    if worst > holds:
        return (fails if stated else authority)(said, worst, holds, "lb")
    if isinstance(tension, tuple) and isinstance(strap, Decimal) and max(tension) > strap:
        return authority(
            f"{said} A strap's leg is pulled with {plain(max(tension), 0)} lb; {plain(strap, 0)} lb is allowed, from memory of the steel.",
            max(tension),
            strap,
            "lb",
        )
    return meets(said, worst, holds, "lb")
