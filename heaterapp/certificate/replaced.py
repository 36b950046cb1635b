"""The line by which a paper says which one it replaces, what that one was, and what changed since."""

from __future__ import annotations

from typing import Any

from heaterapp.firm_clock import day_words
from heaterapp.rules import CATALOGUE
from heaterapp.sheet.answered import told

from .corrected import CHANGED, DAY
from .filed import Filed
from .saying import own

LONGEST = 80
"""Letters of an answer that are told; the answer itself stands in its record."""
HEADS = {
    "": "Replaces {number}",
    "void": "Replaces {number}, which was void",
    "item": "Replaces {number}, which had 1 item to put right",
    "items": "Replaces {number}, which had {count} items to put right",
}
GIVEN = "{what} was not given, now {new}"
GONE = "{what} was {old}, now not given"
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
    old, new = (_said(name, one.get(which)) for which in ("old", "new"))
    label = own(CATALOGUE[name].label)
    if not old:
        return own(GIVEN, what=label, new=new)
    return own(CHANGED, what=label, old=old, new=new) if new else own(GONE, what=label, old=old)


def _said(name: str, answer: Any) -> str:
    text = day_words(answer) if name == DAY and isinstance(answer, str) else told({name: answer}, name)
    return text if len(text) <= LONGEST else f"{text[:LONGEST].rstrip()}…"
