"""Something holds the tank along the wall too.

Why: a smooth strap pulls the same on both legs: along the wall it holds nothing.
Fix: use a listed kit, struts, or a second wall; widen the anchors so that the legs spread.
"""

from decimal import Decimal

from ...questions.plate import STORAGE
from ...questions.straps import STRAPS
from ...report import Result, Worked, advice
from ...units import plain
from ...when import is_

CLAUSES = ("seismic.sideways",)
KIND = "advice"
WHEN = STORAGE & STRAPS & ~is_("bracing_required", "no")


def check(
    strap_kind: str,
    strap_splay_deg: Worked | None = None,
    strut_force_lb: Worked | None = None,
    *,
    held_by: tuple[str, ...],
) -> Result:
    if strap_kind in held_by:
        forces = strut_force_lb.value if strut_force_lb is not None else None
        note = f" Up to {plain(max(forces), 0)} lb in a strut." if isinstance(forces, tuple) else ""
        return advice(
            "meets",
            f"Held along the wall by: {strap_kind.replace('_', ' ')}.{note}",
            strap_kind.replace("_", " "),
            "a listed kit or struts",
        )
    phi = strap_splay_deg.value if strap_splay_deg is not None else None
    if isinstance(phi, Decimal) and phi > 0:
        return advice(
            "authority",
            f"The legs spread {plain(phi, 1)} degrees, which helps; straps alone are not shown to hold along the wall.",
            phi,
            "a listed kit or struts",
            "deg",
        )
    return advice(
        "fails",
        "The legs do not spread: the straps give no restraint along the wall.",
        phi,
        "a listed kit or struts",
        "deg",
    )
