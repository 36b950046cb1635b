"""The line by which a corrected paper says what it corrects, and for which paper it was signed."""

from __future__ import annotations

from .filed import Filed
from .saying import own

LONGEST = 200
NOT_GIVEN = "not given"
CHANGED = "{what} was {old}, now {new}"


def corrects(filed: Filed) -> str:
    """Return the sentence, nothing for a paper that corrects no slip."""
    told = filed.context.get("correction")
    if not isinstance(told, dict):
        return ""
    changes = ", ".join(
        own(CHANGED, what=own(one["label"]), old=_given(one["old"]), new=_given(one["new"]))
        for one in told.get("changes", ())
    )
    why = "; ".join(filter(None, (filed.reason.rstrip(" .;"), str(filed.issued_by.get("name") or ""))))
    head = own("Revision {number}, corrects {old}", number=filed.revision, old=told["corrects"])
    said = f"{head}: {changes}" + (f" ({why})." if why else ".")
    if not told.get("signed_by"):
        return said
    named = {"paper": told["signed_for"], "name": told["signed_by"], "day": str(told["signed_at"])[:10]}
    return f"{said} {own('Signed for {paper} by {name} on {day}.', **named)}"


def _given(text: str) -> str:
    return text[:LONGEST] or own(NOT_GIVEN)
