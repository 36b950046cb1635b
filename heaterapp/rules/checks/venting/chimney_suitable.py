"""The masonry chimney suits the heater.

Why: an unlined, cold or dirty chimney does not draw, and its mortar lets gases into the house.
Fix: have the chimney inspected and cleaned, or reline it with a listed liner of the right size.
"""

from ...questions.vent import MASONRY
from ...report import Result, authority, engineer, fails, meets

CLAUSES = ("venting.masonry",)
WHEN = MASONRY


def check(
    vent_kind: str,
    draft_kind: str,
    chimney_inspected_clean: bool,
    chimney_exterior: bool,
    job_kind: str | None = None,
) -> Result:
    limit = "lined, inside, inspected, clear and clean"
    if not chimney_inspected_clean:
        return fails("The chimney was not inspected and found clear.", "not inspected", limit)
    if vent_kind == "masonry_unlined":
        said = "The chimney is unlined."
        if job_kind == "same_place":
            return authority(
                said
                + " It may stay only when the new heater is like the old one in type, input and efficiency.",
                "unlined",
                limit,
            )
        return fails(said, "unlined", limit)
    if draft_kind == "fan_assisted":
        return engineer(
            "A fan-assisted heater in a masonry chimney is sized by tables of its own.", "fan-assisted", limit
        )
    if chimney_exterior:
        return engineer(
            "A chimney with a side outdoors chills the gases: reline it, or have it designed.",
            "a side outdoors",
            limit,
        )
    return meets("Lined, inside the house, inspected and clear.", "lined", limit)
