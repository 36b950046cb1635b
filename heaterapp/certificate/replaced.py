"""The line by which a paper says which one it replaces, what that one was, and what changed since."""

from __future__ import annotations

from typing import Any

from heaterapp.firm_clock import day_words
from heaterapp.rules import CATALOGUE, UnknownPlace, place
from heaterapp.sheet.answered import told

from .corrected import CHANGED, DAY, NOT_GIVEN
from .filed import Filed
from .saying import own

PLACE = "place"
LONGEST = 80
"""Letters of an answer that are told; the answer itself stands in its record."""
HEADS = {
    "": "Replaces {number}",
    "void": "Replaces {number}, which was void",
    "item": "Replaces {number}, which had 1 item to put right",
    "items": "Replaces {number}, which had {count} items to put right",
}
WAS = {
    "": CHANGED,
    "open": "{what} was not given, now {new}",
    "unmeasured": "{what} could not be measured, now {new}",
}
NOW = {"open": "{what} was {old}, now not given", "unmeasured": "{what} was {old}, now could not be measured"}
"""A change by what was not told before and now; why something was not measured is in somebody's own words."""
MORE = {"one": "1 more answer changed", "many": "{count} more answers changed"}


def replaces(filed: Filed) -> str:
    """Return the sentence, nothing for a paper that replaces none."""
    if not filed.replaces_number:
        return ""
    former = filed.context.get("replaced")
    if not isinstance(former, dict) or former.get("number") != filed.replaces_number:
        # What came between was not known to who signed.
        said = own(HEADS[""], number=filed.replaces_number)
        return f"{said}: {filed.reason}" if filed.reason else said
    count = int(former.get("items") or 0)
    kind = "void" if former.get("void") else "" if not count else "item" if count == 1 else "items"
    head = own(HEADS[kind], number=filed.replaces_number, count=count)
    more = int(former.get("more") or 0)
    changes = [_change(one) for one in former.get("changes", ()) if one.get("question") in CATALOGUE]
    if more:
        changes.append(own(MORE["one" if more == 1 else "many"], count=more))
    why = filed.reason.rstrip(" .;")
    said = f"{head}: {'; '.join(changes)}" if changes else head
    return f"{said} ({why})." if why else f"{said}."


def _change(one: dict[str, Any]) -> str:
    name = str(one["question"])
    untold, gone = (_untold(one.get(which)) for which in ("old", "new"))
    old, new = (_said(name, one.get(which)) for which in ("old", "new"))
    words = NOW[gone] if gone else WAS[untold]
    return own(words, what=own(CATALOGUE[name].label), old=old, new=new)


def _untold(answer: Any) -> str:
    return "unmeasured" if isinstance(answer, dict) else "open" if answer in (None, "", []) else ""


def _said(name: str, answer: Any) -> str:
    if isinstance(answer, dict):
        return own("not measured")
    if _untold(answer):
        return own(NOT_GIVEN)
    text = _read(name, answer)
    return text if len(text) <= LONGEST else f"{text[:LONGEST].rstrip()}…"


def _read(name: str, answer: Any) -> str:
    if name == DAY:
        return day_words(str(answer))
    if name == PLACE:
        try:
            return own(place(str(answer)).title)
        except UnknownPlace:
            return str(answer)
    if isinstance(answer, list) and any(isinstance(one, dict) for one in answer):
        return ", ".join(f"{one['in']} in, {one['btuh']} Btu/h" for one in answer)
    return told({name: answer}, name)
