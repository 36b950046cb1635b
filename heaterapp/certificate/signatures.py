"""Who signed, what, when and how; and the homeowner's receipt: signed, or why not."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from markupsafe import Markup

from heaterapp.filling.signed import NOT_SIGNED, SIGNED_WORDS
from heaterapp.languages import SOURCE, spoken

from . import wording
from .corrected import signed_for
from .filed import Filed
from .ink import strokes_svg
from .paper import Signature
from .parties import line, named
from .saying import foreign, lowered, own

ROLES = {"installer": "Installer", "office": "Office", "owner": "Contractor"}
ROLE = "For the homeowner"
RELATIONS = ("Owner", "Tenant", "Neighbor")
"""What the form proposes; whatever else somebody typed stands as typed."""
NOBODY = "not signed"
HOW = {"drawn": "Signed {moment}, drawn.", "typed": "Signed {moment}, typed."}
READ_IN = {"es": "The words were shown in Spanish too."}
"""Said where somebody had what was signed in another language beside the English, by that language."""
TRANSLATED = "Translation; signed in English: {words}"
SHOWN = "Translation, shown when it was signed: {words}"
UNDATED = {"drawn": "Signed, drawn.", "typed": "Signed, typed."}


def receipt_of(one: Mapping[str, Any], settings: Mapping[str, Any], paper: str = "") -> Signature:
    """Print what became of the homeowner's signature.

    one       role, name, relation, statement, method typed, drawn, declined or not_home, at (UTC), strokes
    settings  the firm's, as the record kept them
    paper     the number of the paper that was signed, where it is another
    """
    moment = wording.moment(one.get("at"), settings)
    relation = _relation(str(one.get("relation") or "")[:60])
    name = str(one.get("name") or "")[:200]
    role = f"{own(ROLE)} ({relation})" if relation else own(ROLE)
    reason = NOT_SIGNED.get(str(one.get("method")))
    if reason:
        noted = own("Noted by the installer {moment}.", moment=moment)
        return Signature(name or own(NOBODY), role, own(reason), noted, Markup())
    ink = strokes_svg(one)
    hashed = str(one.get("answers_sha256") or "")[:64]
    signed = own(HOW["drawn" if ink else "typed"], moment=moment)
    how = line(signed, _read_in(one), f"{_electronic(paper)} {own('Answers SHA-256')} {hashed}")
    drawn = Markup(ink)  # noqa: S704 - whole numbers only
    statement, translation = _words(one)
    return Signature(name, role, statement, how, drawn, translation)


def _electronic(paper: str) -> str:
    return own(wording.ELECTRONIC_OF, number=paper) if paper else own(wording.ELECTRONIC)


def _relation(typed: str) -> str:
    if spoken() == SOURCE or typed.capitalize() not in RELATIONS:
        return typed
    return lowered(own(typed.capitalize()))


def _words(one: Mapping[str, Any]) -> tuple[str, str]:
    """What was signed, as it stands in the record, and what it says in the language of the paper."""
    signed = str(one.get("statement") or "")[:1000]
    if spoken() == SOURCE or signed not in SIGNED_WORDS:
        return foreign(signed), ""
    return foreign(signed), own(SHOWN if one.get("read_in") == spoken() else TRANSLATED, words=own(signed))


def _read_in(one: Mapping[str, Any]) -> str:
    said = _words(one)[1] and one.get("read_in") == spoken()
    return "" if said else own(READ_IN.get(str(one.get("read_in")), ""))


def signatures_of(filed: Filed) -> tuple[Signature, ...]:
    """Every signature of a record as it is printed."""
    given = json.loads(filed.signature)["signatures"] if filed.signature else []
    found, paper = [], signed_for(filed)
    for one in given:
        if one.get("role") == "homeowner":
            found.append(receipt_of(one, filed.settings, paper))
            continue
        ink = strokes_svg(one)
        method = "drawn" if ink else "typed"
        moment = wording.moment(one.get("at"), filed.settings)
        hashed = str(one.get("answers_sha256") or "")[:64]
        how = line(
            own(HOW[method], moment=moment) if moment else own(UNDATED[method]),
            _read_in(one),
            _electronic(paper),
            named(own("Answers SHA-256"), hashed),
        )
        statement, translation = _words(one)
        found.append(
            Signature(
                str(one.get("name") or "")[:200],
                own(_role(filed, one)),
                statement,
                how,
                Markup(ink),  # noqa: S704 - whole numbers only
                translation,
            )
        )
    return tuple(found)


def _role(filed: Filed, one: Mapping[str, Any]) -> str:
    if filed.kind == "findings_report":
        return wording.LOOKED_OVER
    return ROLES.get(str(one.get("role")), str(one.get("role") or "Installer")[:60])
