"""Bracing against earthquake: where the straps sit, what they hold to, and whether they would hold."""

from decimal import Decimal

from ...calc.strapping import Band, controls_clearance, lower_third
from ...report import Worked
from ...units import tape_ends, tape_range

OR_ACCEPTED = "Or ask the authority to accept a strap clear above the controls, as low as that allows."


def conflict_above(
    base: Decimal,
    height: Decimal,
    width: Decimal | None,
    controls_top: Decimal | None,
    clearance: Decimal | None,
    *found: Decimal,
) -> str:
    """Why no strap above the controls can be in the lower third too, with both numbers; empty where one can.

    found  where the strap is: both numbers are on its side in print as in truth
    """
    if controls_top is None or clearance is None:
        return ""
    third = lower_third(base, height)
    ends = third.high_in
    free = controls_clearance(ends, width or Decimal(0), controls_top, above_only=True).inches
    if free >= clearance:
        return ""
    _, end = tape_ends(*third, *found)
    begins = ends + clearance - free
    begin, _ = tape_ends(begins, max(begins, base + height), *found)
    if width is None:
        return (
            f"On this tank no height above the controls meets both rules: the lower third ends {end} in"
            f" from the floor, clear of the controls begins half the strap's width over {begin} in."
        )
    return (
        f"On this tank no height above the controls meets both rules: the lower third ends {end} in"
        f" from the floor, clear of the controls begins at {begin} in."
    )


def room_below(band: Worked | None, base: Decimal, width: Decimal | None) -> bool:
    """Whether the legal heights given leave room for a whole strap on the tank: then the two rules do not conflict."""
    if band is None or not isinstance(band.value, tuple):
        return False
    rise = band.value[1] - base
    return rise + rise >= (width or Decimal(0))


def put_a_strap(
    band: Worked | None, width: Decimal | None, found: Decimal | None = None, third: Band | None = None
) -> str:
    """Where to put a strap, by its figure; without the strap's width, what that adds.

    found  where the strap is: the heights are printed so finely that it is not among them unless it may stay
    third  the third that its check holds it to: heights beyond that are the controls'
    """
    if band is None or not isinstance(band.value, tuple):
        return ""
    if band.unsettled:
        return f"Put a strap low on the tank. {band.says}"
    beside = () if found is None else (found,)
    if third is not None and band.value != tuple(third):
        return f"Put a strap {tape_range(*band.value, *beside)} in from the floor, to its center, clear of the controls."
    return f"Put a strap {tape_range(*band.value, *beside)} in from the floor, to its center. {band.says if width is None else ''}".strip()
