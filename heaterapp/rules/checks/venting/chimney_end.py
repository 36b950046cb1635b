"""The chimney or single-wall pipe ends high enough.

Why: wind rolling over roof and walls presses the gases back down a short chimney.
Fix: have the chimney or pipe raised to the height given.
"""

from decimal import Decimal

from ...questions.vent import CHIMNEYS, ROOF
from ...report import Result, Worked, authority, fails, meets, unanswered
from ...units import HUNDREDTHS, Foot, Inch, plain, tape_least
from ...when import is_

CLAUSES = ("venting.chimney_end",)
WHEN = ROOF & is_("vent_kind", *CHIMNEYS, "single_wall")


def check(
    vent_kind: str, vent_above_roof_in: Inch, chimney_end_needed_in: Worked | None = None, job_kind: str | None = None,
    *, chimney_above_roof: Inch, pipe_above_roof: Inch, within: Foot,
) -> Result:  # fmt: skip
    needed = pipe_above_roof if vent_kind == "single_wall" else chimney_above_roof
    if chimney_end_needed_in is not None and isinstance(chimney_end_needed_in.value, Decimal):
        needed = chimney_end_needed_in.value
    elif vent_above_roof_in >= needed:
        said = f"To answer: what of the building stands within {plain(within)} ft, and how high."
        return unanswered(said, needs=("chimney_end_needed_in",))
    found, least = tape_least(vent_above_roof_in, needed, HUNDREDTHS)
    said = f"Ends {found} in above the roof, {least} in asked, with what stands within {plain(within)} ft."
    if vent_above_roof_in >= needed:
        return meets(said, vent_above_roof_in, needed, "in")
    if job_kind == "same_place" and vent_kind != "single_wall":
        return authority(
            said + " The chimney is as it was: ask the authority.", vent_above_roof_in, needed, "in"
        )
    return fails(said, vent_above_roof_in, needed, "in")
