"""The lag screws are as large and long as the usual details have them.

Why: a short screw ends in the wallboard; a thin one bends.
Fix: use lag screws of the size named, with washers, into the middle of the studs.
"""

from ...questions.plate import STORAGE
from ...questions.straps import LAGS
from ...report import Result, advice, authority, meets
from ...units import Inch, eighths, tape_shown
from ...when import is_

CLAUSES = ("seismic.lag",)
WHEN = STORAGE & LAGS & ~is_("strap_kind", "listed_kit") & ~is_("bracing_required", "no")
KIND = "advice"


def check(
    lag_diameter_in: Inch, lag_length_in: Inch, *, diameter: Inch, length: Inch, as_advice: bool
) -> Result:
    found = f"{tape_shown(lag_diameter_in, diameter)} x {tape_shown(lag_length_in, length)}"
    limit = f"{eighths(diameter)} x {eighths(length)}"
    said = f"Lag screws {found} in; {limit} in or larger is usual."
    if lag_diameter_in >= diameter and lag_length_in >= length:
        return meets(said, found, limit, "in", kind="advice" if as_advice else "rule")
    return advice("fails", said, found, limit, "in") if as_advice else authority(said, found, limit, "in")
