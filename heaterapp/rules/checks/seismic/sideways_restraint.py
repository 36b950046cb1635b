"""Something holds the tank along the wall too.

Why: a smooth strap pulls the same on both legs: along the wall it holds nothing.
Fix: use a listed kit, struts or a second wall; set the anchors wider than the tank so that the legs spread.
"""

from decimal import Decimal

from ...questions.plate import STORAGE
from ...questions.straps import STRAPS
from ...report import Result, Worked, advice, authority, meets, unanswered
from ...units import Inch, plain
from ...when import is_

CLAUSES = ("seismic.sideways", "seismic.force")
WHEN = STORAGE & STRAPS & ~is_("bracing_required", "no")


def check(
    strap_kind: str, strap_splay_deg: Worked | None = None, strut_force_lb: Worked | None = None,
    tank_diameter_in: Inch | None = None, wall_gap_in: Inch | None = None, anchor_spacing_in: Inch | None = None,
    *, held_by: tuple[str, ...], stated: bool,
) -> Result:  # fmt: skip
    shown, limit = strap_kind.replace("_", " "), "a listed kit, struts or a second wall"
    clause = "seismic.force" if stated else ""
    if strap_kind == "listed_kit":
        return meets("A listed kit, fitted as its sheet says, holds along the wall.", shown, limit)
    if strap_kind in held_by:
        load = strut_force_lb.value if strut_force_lb else None
        said = (
            f"Struts hold along the wall, up to {plain(load, 0)} lb in each."
            if isinstance(load, Decimal)
            else "Struts hold along the wall."
        )
        return (
            authority(
                f"{said} Their strength is not worked here.",
                shown,
                limit,
                clause=clause,
                fix="Show the authority what the struts and their ends may carry, or use a listed kit.",
            )
            if stated
            else meets(said, shown, limit)
        )
    phi = strap_splay_deg.value if strap_splay_deg else None
    if not isinstance(phi, Decimal):
        asked = {
            "tank_diameter_in": tank_diameter_in,
            "wall_gap_in": wall_gap_in,
            "anchor_spacing_in": anchor_spacing_in,
        }
        needs = tuple(name for name, value in asked.items() if value is None)
        said = "To answer: tank diameter, gap to the wall and anchor spacing."
        return unanswered(said, needs=needs, clause=clause, kind="rule" if stated else "advice")
    if phi <= 0:
        said = f"The legs do not spread ({plain(phi, 1)} degrees): no sideways restraint from strap geometry."
        return authority(
            f"{said} Rely on a listed kit, struts or a second wall.", phi, limit, "deg", clause=clause
        )
    said = f"The legs spread {plain(phi, 1)} degrees, which helps, but straps alone are not shown to hold along the wall."
    return (
        authority(said, phi, limit, "deg", clause=clause)
        if stated
        else advice("fails", said, phi, limit, "deg")
    )
