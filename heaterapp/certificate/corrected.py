"""The line by which a corrected paper says what it corrects, and for which paper it was signed."""

from __future__ import annotations

from heaterapp import firm_days

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
    day = _day(filed, str(told["signed_at"]))
    named = {"paper": told["signed_for"], "name": told["signed_by"], "day": day}
    return f"{said} {own('Signed for {paper} by {name} on {day}.', **named)}"


def _day(filed: Filed, stamp: str) -> str:
    """The firm's own day of a UTC stamp; of a firm that named no time zone UTC's, said as that."""
    settings = filed.organisation.get("settings") or {}
    try:
        # One without its zone would be taken as of this machine's.
        day = str(firm_days.day_of(stamp, firm_days.zone_of(settings))) if stamp.endswith("Z") else ""
    except ValueError:
        day = ""
    if not day:
        return stamp[:10]
    return day if settings.get("time_zone") else f"{day} UTC"


def _given(text: str) -> str:
    return text[:LONGEST] or own(NOT_GIVEN)
