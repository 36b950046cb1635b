"""There are as many straps as the tank's size asks for.

Why: a larger tank throws more weight on each strap.
Fix: add a strap at mid-height, or as the guide says for this size.
"""

from ...questions.plate import STORAGE
from ...questions.straps import STRAPS
from ...report import Result, authority, fails, meets
from ...units import Count, Gallon, Inches, plain
from ...when import is_

CLAUSES = ("seismic.placement", "seismic.guide")
WHEN = STORAGE & STRAPS & ~is_("bracing_required", "no")


def check(
    strap_heights_in: Inches,
    storage_gal: Gallon,
    *,
    least: Count,
    usual_to: Gallon | None = None,
    larger: Count | None = None,
    largest_to: Gallon | None = None,
) -> Result:
    count = len(strap_heights_in)
    if count < least:
        return fails(
            f"{count} strap{'' if count == 1 else 's'}; {plain(least)} asked.", str(count), plain(least)
        )
    if usual_to is None or larger is None or largest_to is None or storage_gal <= usual_to:
        return meets(f"{count} straps; {plain(least)} asked.", str(count), plain(least))
    if count >= larger and storage_gal <= largest_to:
        return meets(
            f"{count} straps; {plain(larger)} asked for {plain(storage_gal)} gal.",
            str(count),
            plain(larger),
            clause="seismic.guide",
        )
    asked = plain(larger) if storage_gal <= largest_to else f"more than {plain(larger)}, or a design,"
    return authority(
        f"{count} straps; the state's guide asks {asked} for {plain(storage_gal)} gal.",
        str(count),
        plain(larger),
        clause="seismic.guide",
    )
