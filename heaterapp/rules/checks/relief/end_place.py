"""The relief pipe ends where it may.

Why: scalding water must come out where it hurts nobody, floods nothing and is seen.
Fix: run the pipe to one of the places the book names.
"""

from ...questions import as_read
from ...questions.relief import FITTED
from ...report import Result, authority, fails, meets, unanswered

CLAUSES = ("relief.end_place",)
WHEN = FITTED


def check(
    relief_end: str, pan_fitted: bool | None = None, pan_drain_end: str | None = None, old_relief_end: str | None = None,
    room: str | None = None, *, allowed: tuple[str, ...], in_doubt: tuple[str, ...], pan_needs_drain: bool, replacement_may_keep: tuple[str, ...] = (),
    replacement_where_none: tuple[str, ...] = (),
) -> Result:  # fmt: skip
    limit = ", ".join(as_read("relief_end", word) for word in allowed)
    fix = f"Run the pipe, falling all the way, to one of these: {limit}."
    shown = as_read("relief_end", relief_end)
    if relief_end == "pan" and relief_end in allowed and pan_needs_drain:
        if pan_fitted is False:
            return fails("Said to end in the pan, and no pan is fitted.", "no pan", limit)
        if pan_drain_end is None:
            return unanswered("To answer: where the pan's drain ends.", needs=("pan_drain_end",))
        if pan_drain_end == "none":
            said = "Ends in a pan that has no drain: the pan would overflow. Ask the authority."
            return authority(
                said, "pan without drain", limit, fix="Give the pan a drain, or run the pipe past the pan."
            )
    if relief_end in allowed:
        return meets(f"The pipe ends: {shown}.", shown, limit)
    kept = relief_end in replacement_may_keep and old_relief_end in (relief_end, "none")
    if kept or (relief_end in replacement_where_none and old_relief_end == "none"):
        return meets(
            f"The pipe ends: {shown}, as a replacement may here.", shown, limit
        )
    if relief_end in in_doubt:
        here = "many authorities accept a garage floor" if room == "garage" else "a floor that does not drain would flood"
        said = f"The pipe ends: {shown}. The book names: {limit}; {here}. Ask."
        return authority(said, shown, limit, fix=fix)
    if relief_end == "none":
        return fails(
            "No pipe on the relief valve: scalding water would spray into the room.", shown, limit, fix=fix
        )
    return fails(
        f"The pipe ends: {shown}. It may end: {limit}.", shown, limit, fix=fix
    )
