"""The straps and their lag screws hold a third of the heater's weight.

Why: what pulls out holds nothing.
Fix: use longer or thicker lag screws, into the middle of the studs.
"""

from decimal import Decimal
from typing import NamedTuple

from ...questions import as_read
from ...questions.plate import STORAGE
from ...questions.straps import STRAPS
from ...report import Result, Worked, authority, engineer, fails, meets, silent, unanswered
from ...units import Degree, Inch, Ratio, against_most, tape_least
from ...when import is_

CLAUSES = ("seismic.force", "seismic.penetration", "seismic.lag_sizes", "seismic.strap_strength", "seismic.pull_and_shear")
WHEN = STORAGE & STRAPS & ~is_("bracing_required", "no")
_SECOND = "Add the strap that is missing: one low, one high."


class _Pair(NamedTuple):
    """A load, what may carry it, and what says so."""

    load: Decimal
    may: Decimal
    clause: str
    doubt: str = ""

    def told(self) -> tuple[str, str]:
        return against_most(self.load, self.may, 1)

    def use(self) -> tuple[bool, Decimal]:
        """What share of it is taken; whatever carries nothing comes before any share."""
        return (False, self.load / self.may) if self.may else (self.load > 0, Decimal(0))


def _nearest(pairs: list[_Pair]) -> _Pair:
    """The pair that governs: the one whose load takes the largest share of what may carry it."""
    return max(pairs, key=_Pair.use)


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
    into, least = max(lag_length_in - wall_cover_in, Decimal(0)), least_diameters * lag_diameter_in
    if into < least:
        deep, counts = tape_least(into, least)
        said = f"The lag screws enter the stud {deep} in at most; under {counts} in they count for nothing."
        return (fails if stated else authority)(said, into, least, "in", clause="seismic.penetration")
    holds = lag_allowable_lb.value if lag_allowable_lb else None
    if lag_allowable_lb is None or not isinstance(holds, Decimal):
        said = lag_allowable_lb.says if lag_allowable_lb else ""
        return engineer(said, None, third) if stated else silent(said)
    straight = _Pair(max(pulls), holds, "seismic.lag_sizes", "The length of its tip is from memory.")
    pull, carries = straight.told()
    said = f"Each lag screw is pulled by up to {pull} lb at a third of the weight; it may carry {carries} lb."
    besides, more = _slanting(straight, strap_leg_tension_lb, strap_allowable_lb, lag_slant_allowable_lb, strut_force_lb)
    load, may, clause, doubt = governs = _nearest([straight, *besides])
    said += more
    if load <= may:
        return meets(said, load, may, "lb")
    why = (said, lag_allowable_lb.says if governs is straight else "", doubt)
    return authority(" ".join(filter(None, why)), load, may, "lb", clause=clause)


def _slanting(
    straight: _Pair, leg: Worked | None, steel: Worked | None, together: Worked | None, strut: Worked | None
) -> tuple[list[_Pair], str]:
    """What a leg of a strap, and a lag pulled out and along the wall at once, carry; and the words for it."""
    tension, strap, slant, push = (f.value if f else None for f in (leg, steel, together, strut))
    pairs, said = list[_Pair](), ""
    if isinstance(tension, tuple) and isinstance(strap, Decimal):
        pairs.append(_Pair(max(tension), strap, "seismic.strap_strength"))
        if _nearest([straight, *pairs]) is pairs[-1]:
            pull, carries = pairs[-1].told()
            said += f" A leg of a strap is pulled by {pull} lb; it may carry {carries} lb."
    if isinstance(tension, tuple) and isinstance(slant, Decimal):
        most = max(*tension, push if isinstance(push, Decimal) else Decimal(0))
        pairs.append(_Pair(most, slant, "seismic.pull_and_shear", "The formula for both is from memory."))
        pull, carries = pairs[-1].told()
        said += f" Out and along the wall together it is {pull} lb of {carries} lb."
    elif together is not None:
        said += f" {together.says}"
    return pairs, said
