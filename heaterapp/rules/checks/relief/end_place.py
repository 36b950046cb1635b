"""The relief pipe ends where it may.

Why: scalding water must come out where it hurts nobody, floods nothing and is seen.
Fix: run the pipe to a place of the list.
"""

from ...questions.relief import FITTED
from ...report import Result, authority, fails, meets

CLAUSES = ("relief.end_place",)
WHEN = FITTED


def check(
    relief_end: str,
    pan_drain_end: str | None = None,
    *,
    allowed: tuple[str, ...],
    in_doubt: tuple[str, ...],
    pan_needs_drain: bool,
) -> Result:
    shown = {"none": "no pipe", "crawl_space": "crawl space"}.get(relief_end, relief_end)
    limit = ", ".join(allowed)
    if relief_end == "pan" and pan_needs_drain and pan_drain_end in (None, "none"):
        return authority(
            "Ends in a pan that has no drain: the pan would overflow. Ask the authority.",
            "pan without drain",
            limit,
        )
    if relief_end in allowed:
        return meets(f"Ends: {shown}.", shown, limit)
    if relief_end in in_doubt:
        return authority(
            f"Ends: {shown}. The book speaks of a drain or outdoors; authorities differ on a floor.",
            shown,
            limit,
        )
    return fails(f"Ends: {shown}.", shown, limit)
