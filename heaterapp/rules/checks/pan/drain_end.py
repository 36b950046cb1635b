"""The pan's drain ends where it may.

Why: a pan that drains nowhere only delays the flood.
Fix: run the drain to a floor drain, a receptor or outdoors; where that cannot be done, a water shutoff and an alarm.
"""

from ...questions import as_read
from ...questions.relief import PAN
from ...report import Result, authority, fails, meets, not_applicable, unanswered
from ...units import Inch, eighths, tape_mark, tape_shown
from . import NO_PAN_ASKED, asked_for

CLAUSES = ("pan.drain_end", "pan.fitted")
WHEN = PAN


def check(
    pan_drain_end: str, pan_drain_end_height_in: Inch | None = None, job_kind: str | None = None, old_pan_had_drain: bool | None = None,
    old_pan_fitted: bool | None = None, pan_substitute: str | None = None, heater_kind: str | None = None,
    leak_would_damage: bool | None = None,
    *, allowed: tuple[str, ...], lowest: Inch | None = None, highest: Inch | None = None, old_without_drain_stays: bool,
    heaters: tuple[str, ...], always: bool = False,
) -> Result:  # fmt: skip
    if not asked_for(heater_kind, leak_would_damage, heaters, always):
        return not_applicable(NO_PAN_ASKED)
    limit, shown = (
        ", ".join(as_read("pan_drain_end", word) for word in words) for words in (allowed, (pan_drain_end,))
    )
    if pan_drain_end == "none":
        had_none = job_kind == "same_place" and (old_pan_had_drain is False or old_pan_fitted is False)
        if old_without_drain_stays and had_none:
            return not_applicable("Replacement: no drain is asked where there was none.")
        if pan_substitute not in (None, "none"):
            instead = as_read("pan_substitute", str(pan_substitute))
            return authority(f"No pan drain; in its place: {instead}. Ask the authority.", "no drain", limit)
        return fails("The pan has no drain.", "no drain", limit)
    if pan_drain_end not in allowed:
        return authority(f"The pan drain ends: {shown}. Ask the authority.", shown, limit)
    if pan_drain_end != "outdoors" or lowest is None or highest is None:
        return meets(f"The pan drain ends: {shown}.", shown, limit)
    if pan_drain_end_height_in is None:
        return unanswered("To answer: the height of the drain's end.", needs=("pan_drain_end_height_in",))
    limit = f"{eighths(lowest)} to {eighths(highest)}"
    said = f"The pan drain ends outdoors {tape_shown(pan_drain_end_height_in, lowest, highest)} in above the ground, {limit} in asked."
    kept = lowest <= pan_drain_end_height_in <= highest
    return (meets if kept else fails)(said, tape_mark(pan_drain_end_height_in, lowest, highest), limit, "in")
