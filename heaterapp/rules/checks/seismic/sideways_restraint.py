"""Something holds the tank along the wall too.

Why: a smooth strap pulls the same on both legs: along the wall it holds nothing.
Fix: use a listed kit, struts or a second wall; set the anchors wider than the tank so that the legs spread.
"""

from decimal import Decimal

from ...questions import as_read
from ...questions.plate import STORAGE
from ...questions.straps import STRAPS
from ...report import Result, Worked, advice, authority, engineer, meets, unanswered
from ...units import HUNDREDTHS, Degree, Inch, against_most, clear_of, plain_up
from ...when import is_

CLAUSES = ("seismic.sideways", "seismic.force", "seismic.strut_strength")
WHEN = STORAGE & STRAPS & ~is_("bracing_required", "no")

_STRUTS = "Fit larger or shorter struts, or a listed kit."
_ENDS = "Show the authority what the struts and their ends may carry, or use a listed kit."


def check(
    strap_kind: str, strap_splay_deg: Worked | None = None, strut_force_lb: Worked | None = None,
    tank_diameter_in: Inch | None = None, wall_gap_in: Inch | None = None, anchor_spacing_in: Inch | None = None,
    strut_allowable_lb: Worked | None = None, strut_angle_deg: Degree | None = None, strut_diameter_in: Inch | None = None,
    strut_length_in: Inch | None = None, strap_reactions_lb: Worked | None = None, *, held_by: tuple[str, ...], stated: bool,
) -> Result:  # fmt: skip
    shown, limit = as_read("strap_kind", strap_kind), "a listed kit, struts or a second wall"
    clause = "seismic.force" if stated else ""
    if strap_kind == "listed_kit":
        return meets("A listed kit, fitted as its sheet says, holds along the wall.", shown, limit)
    if strap_kind in held_by:
        load, may = (f.value if f else None for f in (strut_force_lb, strut_allowable_lb))
        push = f"Struts hold along the wall, up to {plain_up(load, 1)} lb in each." if isinstance(load, Decimal) else "Struts hold along the wall."
        if isinstance(load, Decimal) and isinstance(may, Decimal):
            side, carries = against_most(load, may, 1)
            said = f"Along the wall a strut takes up to {side} lb at a third of the weight; a tube of this size and length may carry {carries} lb."
            if load > may:
                return authority(f"{said} Its steel is from memory.", load, may, "lb", clause="seismic.strut_strength", fix=_STRUTS)
            said += " Its flattened ends are not worked here."
            return authority(said, load, may, "lb", clause=clause, fix=_ENDS) if stated else meets(said, load, may, "lb")
        if not stated:
            return meets(push, shown, limit)
        sizes = {"strut_angle_deg": strut_angle_deg, "strut_diameter_in": strut_diameter_in, "strut_length_in": strut_length_in}
        needs = tuple(name for name, value in sizes.items() if value is None)
        if needs or strap_reactions_lb is None:
            wanted = "the angle, diameter and length of the struts" if needs else "the tank's weight and size and the straps' heights"
            return unanswered(f"To answer: {wanted}.", needs=needs, clause=clause)
        said = (strut_allowable_lb.says if strut_allowable_lb and may is None else strap_reactions_lb.says) or "Not worked here."
        return engineer(f"{push} {said}", shown, limit, clause=clause, fix=_ENDS)
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
        said = f"The legs do not spread ({clear_of(phi, Decimal(0), places=HUNDREDTHS)} degrees): no sideways restraint from strap geometry."
        return authority(
            f"{said} Rely on a listed kit, struts or a second wall.", phi, limit, "deg", clause=clause
        )
    said = f"The legs spread {clear_of(phi, Decimal(0), places=HUNDREDTHS)} degrees, which helps, but straps alone are not shown to hold along the wall."
    return (
        authority(said, phi, limit, "deg", clause=clause)
        if stated
        else advice("fails", said, phi, limit, "deg")
    )
