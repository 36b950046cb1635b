"""What became of the homeowner's signature, as a form says it: signed for receipt, declined, or not home."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from heaterapp import rules
from heaterapp.archive.checking import printable
from heaterapp.filling.signed import RECEIPT
from heaterapp.languages import say
from heaterapp.web.received import LONGEST_RELATION, RELATION_TOO_LONG, UNSIGNED_BY_HOMEOWNER, WHOSE
from heaterapp.web.strokes import read_strokes

SIGNS, NOT_HOME = "signs", "not_home"
NAMES = ("homeowner", "homeowner_name", "relation", "homeowner_strokes", "nobody_home")
WHETHER = "Say whether the homeowner signs."
BOTH_WAYS = (
    "You pressed \u201cSign with nobody home\u201d, and the homeowner's part is filled in. Choose what became"
    " of the homeowner's signature, then sign."
)
WHO = "Type the homeowner's name, at most {longest} characters."


def read(given: Mapping[str, str]) -> tuple[dict[str, Any], dict[str, str]]:
    """Return the receipt as the record keeps it, but for when and for which answers; and what is wrong.

    given  the fields of `NAMES`, each as typed
    """
    answer, name, relation = (given.get(one, "").strip() for one in NAMES[:3])
    if given.get("nobody_home"):
        filled = any(given.get(one, "").strip() for one in NAMES[1:4])
        if answer not in ("", NOT_HOME) or (not answer and filled):
            return {}, {"homeowner": say(BOTH_WAYS)}
        answer = NOT_HOME
    if answer in UNSIGNED_BY_HOMEOWNER:
        unsigned = {"role": "homeowner", "name": "", "relation": "", "statement": "", "method": answer}
        return unsigned, {}
    if answer != SIGNS:
        return {}, {"homeowner": say(WHETHER)}
    errors: dict[str, str] = {}
    if not name or len(name) > rules.LONGEST_TEXT or not printable(name):
        errors["homeowner_name"] = say(WHO, longest=rules.LONGEST_TEXT)
    if len(relation) > LONGEST_RELATION or not printable(relation):
        whose = say(WHOSE["homeowner"])
        errors["relation"] = say(RELATION_TOO_LONG, whose=whose, count=LONGEST_RELATION)
    try:
        strokes = read_strokes(given.get("homeowner_strokes", ""))
    except ValueError as unreadable:
        return {}, {**errors, "homeowner_strokes": str(unreadable)}
    signed: dict[str, Any] = {
        "role": "homeowner", "name": name, "relation": relation, "statement": RECEIPT,
        "method": "drawn" if strokes else "typed",
    }  # fmt: skip
    return signed | ({"strokes": strokes} if strokes else {}), errors
