"""The signatures that come with a parcel: the installer's, and what became of the homeowner's."""

from __future__ import annotations

import json
import re
from typing import Any

from heaterapp.archive.checking import printable
from heaterapp.filling.signed import CONSENT, RECEIPT, STATEMENTS
from heaterapp.languages import LANGUAGES, SOURCE, say
from heaterapp.rules import LONGEST_TEXT
from heaterapp.web.refused import Refused
from heaterapp.web.strokes import read_strokes

INSTALLER = {"role", "name", "statement", "consent", "method", "at", "answers_sha256"}
HOMEOWNER = {"role", "name", "relation", "statement", "method", "at", "answers_sha256"}
OPTIONAL = {"strokes", "read_in"}
METHODS = {"installer": ("typed", "drawn"), "homeowner": ("typed", "drawn", "declined", "not_home")}
UNSIGNED_BY_HOMEOWNER = ("declined", "not_home")
LONGEST_RELATION = 60
# Statements and consents that a page of an earlier version showed, by kind: what was signed then counts.
EARLIER_STATEMENTS: dict[str, tuple[str, ...]] = {kind: () for kind in STATEMENTS}
EARLIER_CONSENTS: tuple[str, ...] = ()
EARLIER_RECEIPTS: tuple[str, ...] = ()
_MOMENT = re.compile(r"([12][0-9]{3}-[01][0-9]-[0-3][0-9]T[0-2][0-9]:[0-5][0-9]:[0-6][0-9])(\.[0-9]{1,6})?Z")
SIGN_AGAIN = "Look at the job once more on the phone and sign it again."
WHOSE = {"installer": "The installer's signature", "homeowner": "The homeowner's receipt"}
NOT_WHOLE = "{whose} did not arrive whole."
NAME_NEEDED = "{whose} needs a name of at most {count} characters and a time."
RELATION_TOO_LONG = "{whose}: who signed is told in at most {count} characters."


def unsigned(what: str) -> Refused:
    """A refusal because of how a job was signed."""
    return Refused(422, "unsigned", f"{what} {say(SIGN_AGAIN)}")


def read_signatures(given: Any) -> list[dict[str, Any]]:
    """Return the signatures as the record keeps them: the installer's, then the homeowner's if any.

    raises  Refused, code unsigned
    """
    fit = isinstance(given, list) and 1 <= len(given) <= len(METHODS)
    if not fit or not all(isinstance(one, dict) for one in given):
        raise unsigned(say("The job came without its signature."))
    by_role = {one.get("role"): one for one in given if isinstance(one.get("role"), str)}
    if len(by_role) != len(given) or "installer" not in by_role or not set(by_role) <= set(METHODS):
        raise unsigned(say("The installer's signature is missing, or somebody signed twice."))
    return [_signature(by_role[role], role) for role in METHODS if role in by_role]


def _signature(one: dict[str, Any], role: str) -> dict[str, Any]:
    wanted = INSTALLER if role == "installer" else HOMEOWNER
    whose = say(WHOSE[role])
    if not wanted <= set(one) <= wanted | OPTIONAL or one["method"] not in METHODS[role]:
        raise unsigned(say(NOT_WHOLE, whose=whose))
    kept: dict[str, Any] = {name: one[name] for name in sorted(wanted)}
    if not all(isinstance(value, str) for value in kept.values()):
        raise unsigned(say(NOT_WHOLE, whose=whose))
    at = _MOMENT.fullmatch(kept["at"])
    named = kept["name"] = kept["name"].strip()
    nameless = role == "homeowner" and kept["method"] in UNSIGNED_BY_HOMEOWNER
    if not at or len(named) > LONGEST_TEXT or not printable(named) or not (named or nameless):
        raise unsigned(say(NAME_NEEDED, whose=whose, count=LONGEST_TEXT))
    kept["at"] = at.group(1) + "Z"
    if "read_in" in one:
        # The words of what is signed are English; a form in another language shows them in that as well.
        if one["read_in"] not in tuple(LANGUAGES.keys() - {SOURCE}) or (nameless and not kept["statement"]):
            raise unsigned(say(NOT_WHOLE, whose=whose))
        kept["read_in"] = one["read_in"]
    relation = kept.get("relation", "")
    if len(relation) > LONGEST_RELATION or not printable(relation):
        raise unsigned(say(RELATION_TOO_LONG, whose=whose, count=LONGEST_RELATION))
    strokes = _strokes(one.get("strokes"))
    if (kept["method"] == "drawn") != (strokes is not None):
        raise unsigned(say(NOT_WHOLE, whose=whose))
    return kept | ({"strokes": strokes} if strokes else {})


def _strokes(given: Any) -> Any:
    if given is None:
        return None
    try:
        return read_strokes(json.dumps(given))
    except ValueError as unreadable:
        raise unsigned(str(unreadable)) from None


def check_signed(signatures: list[dict[str, Any]], kind: str, answers_sha256: str) -> None:
    """Hold what was signed against what is to be issued.

    signatures      as `read_signatures` gave them
    kind            of the paper
    answers_sha256  of the answers that came along
    raises          Refused, code unsigned
    """
    for one in signatures:
        if one["answers_sha256"] != answers_sha256:
            raise unsigned(say("The answers are not the ones that were signed."))
        if one["role"] == "installer":
            fits = one["statement"] in (STATEMENTS[kind], *EARLIER_STATEMENTS[kind])
            fits = fits and one["consent"] in (CONSENT, *EARLIER_CONSENTS)
        else:
            fits = one["statement"] in (RECEIPT, *EARLIER_RECEIPTS)
            fits = fits or (one["method"] in UNSIGNED_BY_HOMEOWNER and not one["statement"])
        if not fits:
            raise unsigned(say("The statement that was signed is not the one that belongs to this paper."))
