"""The straps and their lag screws hold a third of the heater's weight.

Why: what pulls out holds nothing.
Fix: use longer or thicker lag screws, into the middle of the studs.
"""

from decimal import Decimal

from ...questions import as_read
from ...questions.plate import STORAGE
from ...questions.straps import STRAPS
from ...report import Result, Worked, authority, engineer, fails, meets, silent, unanswered
from ...units import Degree, Inch, Ratio, against_most, tape_least
from ...when import is_

CLAUSES = ("seismic.force", "seismic.penetration", "seismic.lag_sizes", "seismic.strap_strength", "seismic.pull_and_shear")
WHEN = STORAGE & STRAPS & ~is_("bracing_required", "no")
_SECOND = "Add the strap that is missing: one low, one high."


def check(
    strap_kind: str, strap_anchor: str, lag_withdrawal_lb: Worked | None = None, lag_allowable_lb: Worked | None = None,
    strap_leg_tension_lb: Worked | None = None, strap_allowable_lb: Worked | None = None,
    lag_diameter_in: Inch | None = None, lag_length_in: Inch | None = None, wall_cover_in: Inch | None = None,
    strap_reactions_lb: Worked | None = None, lag_slant_allowable_lb: Worked | None = None,
    strut_angle_deg: Degree | None = None, strut_force_lb: Worked | None = None, *, stated: bool, least_diameters: Ratio,
) -> Result:  # fmt: skip
    third = "a third of the weight"
    if strap_kind == "listed_kit" and strap_anchor != "drywall_only":
        return meets("A listed kit, fixed as its sheet says.", as_read("strap_kind", strap_kind), third)
    if strap_anchor == "drywall_only":
        return (fails if stated else authority)("Wallboard holds nothing.", "wallboard", third)
    if strap_anchor != "lag_in_stud":
        said = "No strength is held here for this anchor: follow its maker's, or have it designed."
        return engineer(said, as_read("strap_anchor", strap_anchor), third) if stated else silent(said)
    sizes = {
        "lag_diameter_in": lag_diameter_in,
        "lag_length_in": lag_length_in,
        "wall_cover_in": wall_cover_in,
    }
    if strap_kind == "conduit_struts":
        # its lags carry the struts' pull besides
        sizes["strut_angle_deg"] = strut_angle_deg
    needs = tuple(name for name, value in sizes.items() if value is None)
    pulls = lag_withdrawal_lb.value if lag_withdrawal_lb else None
    if needs or strap_reactions_lb is None:
        lags = "the lag screws' size, the wallboard over the stud and the struts' angle" if strap_kind == "conduit_struts" else "the lag screws' size and the wallboard over the stud"
        said = lags if needs else "the tank's weight and size and the straps' heights"
        if not stated:
            return silent(f"The book states no force. To compare with a third of the weight, give {said}.")
        return unanswered(f"To answer: {said}.", needs=needs)
    if not isinstance(pulls, tuple):
        said = "One strap alone cannot hold the tank upright: there is nothing to compare."
        return authority(said, None, third, fix=_SECOND) if stated else silent(said)
    assert lag_length_in is not None
    assert wall_cover_in is not None
    assert lag_diameter_in is not None
    into, least = lag_length_in - wall_cover_in, least_diameters * lag_diameter_in
    if into < least:
        deep, counts = tape_least(max(into, Decimal(0)), least)
        said = f"The lag screws enter the stud {deep} in at most; under {counts} in they count for nothing."
        return (fails if stated else authority)(said, into, least, "in", clause="seismic.penetration")
    holds = lag_allowable_lb.value if lag_allowable_lb else None
    if lag_allowable_lb is None or not isinstance(holds, Decimal):
        said = lag_allowable_lb.says if lag_allowable_lb else ""
        return engineer(said, None, third) if stated else silent(said)
    worst = max(pulls)
    pull, carries = against_most(worst, holds, 1)
    said = (
        f"Each lag screw is pulled by up to {pull} lb at a third of the weight; it may carry {carries} lb."
    )
    if worst > holds:
        said = " ".join(filter(None, (said, lag_allowable_lb.says, "The length of its tip is from memory.")))
        return authority(said, worst, holds, "lb", clause="seismic.lag_sizes")
    held = (strap_leg_tension_lb, strap_allowable_lb, lag_slant_allowable_lb)
    tension, strap, slant = (f.value if f else None for f in held)
    if isinstance(tension, tuple) and isinstance(strap, Decimal) and max(tension) > strap:
        pull, carries = against_most(max(tension), strap, 1)
        said += f" A leg of a strap is pulled by {pull} lb; it may carry {carries} lb."
        return authority(said, max(tension), strap, "lb", clause="seismic.strap_strength")
    if isinstance(tension, tuple) and isinstance(slant, Decimal):
        return _slanted(said, max(*tension, _strut(strut_force_lb)), slant, (worst, holds))
    if lag_slant_allowable_lb is not None:
        said += f" {lag_slant_allowable_lb.says}"
    return meets(said, worst, holds, "lb")


def _strut(force: Worked | None) -> Decimal:
    return force.value if force and isinstance(force.value, Decimal) else Decimal(0)


def _slanted(said: str, load: Decimal, slant: Decimal, straight: tuple[Decimal, Decimal]) -> Result:
    """Out and along the wall together; what only pulls was judged before, and is shown where both are held."""
    pull, carries = against_most(load, slant, 1)
    said += f" Out and along the wall together it is {pull} lb of {carries} lb."
    if load > slant:
        return authority(f"{said} The formula for both is from memory.", load, slant, "lb", clause="seismic.pull_and_shear")
    return meets(said, *straight, "lb")
