"""The line by which a corrected paper says what it corrects, and for which paper it was signed."""

from __future__ import annotations

from collections.abc import Mapping

from heaterapp import firm_days
from heaterapp.firm_clock import day_words, moment_of

from .filed import Filed
from .saying import own

LONGEST = 200
DAY = "work_date"
NOT_GIVEN = "not given"
CHANGED = "{what} was {old}, now {new}"


def corrects(filed: Filed) -> str:
    """Return the sentence, nothing for a paper that corrects no slip."""
    told = filed.context.get("correction")
    if not isinstance(told, dict):
        return ""
    # What was given may have commas of its own, as an address has.
    changes = "; ".join(
        own(CHANGED, what=own(one["label"]), old=_given(one, "old"), new=_given(one, "new"))
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


def signed_for(filed: Filed) -> str:
    """Return the number of the paper that was signed, where a slip was put right since; else nothing."""
    told = filed.context.get("correction")
    return str((told if isinstance(told, dict) else filed.context).get("signed_for") or "")


def _day(filed: Filed, stamp: str) -> str:
    """The firm's own day of a UTC stamp; of a firm that named no time zone UTC's, said as that."""
    read = moment_of(stamp)
    if read is None:
        return stamp[:10]
    if not filed.settings.get("time_zone"):
        return f"{stamp[:10]} UTC"
    return day_words(str(read.astimezone(firm_days.zone_of(filed.settings)).date()))


def _given(change: Mapping[str, str], which: str) -> str:
    text = day_words(change[which]) if change.get("question") == DAY else change[which]
    return text[:LONGEST] or own(NOT_GIVEN)
