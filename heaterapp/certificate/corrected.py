"""The line by which a corrected paper says what it corrects, and for which paper it was signed."""

from __future__ import annotations

from .filed import Filed

LONGEST = 200
NOT_GIVEN = "not given"


def corrects(filed: Filed) -> str:
    """Return the sentence, nothing for a paper that corrects no slip."""
    told = filed.context.get("correction")
    if not isinstance(told, dict):
        return ""
    changes = ", ".join(
        f"{one['label']} was {one['old'][:LONGEST] or NOT_GIVEN}, now {one['new'][:LONGEST] or NOT_GIVEN}"
        for one in told.get("changes", ())
    )
    why = "; ".join(filter(None, (filed.reason.rstrip(" .;"), str(filed.issued_by.get("name") or ""))))
    said = f"Revision {filed.revision}, corrects {told['corrects']}: {changes}" + (
        f" ({why})." if why else "."
    )
    if not told.get("signed_by"):
        return said
    return f"{said} Signed for {told['signed_for']} by {told['signed_by']} on {str(told['signed_at'])[:10]}."
