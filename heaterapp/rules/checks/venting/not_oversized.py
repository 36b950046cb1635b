"""Vent and connector are not too large for the heater's outlet.

Why: gases cool and slow in a large flue, condense, and spill.
Fix: reline the flue or fit smaller pipe, within the sizes and the area allowed for this outlet.
"""

from decimal import Decimal

from ...questions.vent import NATURAL, VENTED
from ...report import Result, Worked, fails, meets
from ...units import HUNDREDTHS, Inch, Ratio, against_most, eighths, plain, tape_most

CLAUSES = ("venting.oversize",)
WHEN = NATURAL & VENTED


def check(
    draft_hood_outlet_in: Inch, vent_area_ratio: Worked, connector_diameter_in: Inch | None = None,
    *, most_ratio: Ratio, sizes: tuple[Decimal, ...], sizes_above: Decimal,
) -> Result:  # fmt: skip
    ratio = vent_area_ratio.value
    assert isinstance(ratio, Decimal)
    area, most = against_most(ratio, most_ratio, HUNDREDTHS)
    said = f"The vent's area is {area} times the outlet's; {most} times at most."
    if ratio > most_ratio:
        return fails(said, ratio, most_ratio, "ratio")
    larger = sorted(size for size in sizes if size > draft_hood_outlet_in)
    reach = min(int(sizes_above), len(larger))
    widest = larger[reach - 1] if reach else draft_hood_outlet_in
    if connector_diameter_in is not None and connector_diameter_in > widest:
        larger_by = f"{plain(sizes_above)} size{'' if sizes_above == 1 else 's'} larger"
        found, limit = tape_most(connector_diameter_in, widest)
        return fails(
            f"Connector {found} in on a {eighths(draft_hood_outlet_in)} in outlet: {larger_by}, {limit} in, is the most.",
            connector_diameter_in,
            widest,
            "in",
        )
    return meets(said, ratio, most_ratio, "ratio")
