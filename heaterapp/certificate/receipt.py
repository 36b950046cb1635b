"""The homeowner's receipt on the paper: signed, or why not."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from markupsafe import Markup

from heaterapp.filling.signed import NOT_SIGNED

from . import wording
from .ink import strokes_svg
from .paper import Signature

ROLE = "For the homeowner"
NOBODY = "not signed"


def receipt_of(one: Mapping[str, Any]) -> Signature:
    """Print what became of the homeowner's signature.

    one  role, name, relation, statement, method typed, drawn, declined or not_home, at (UTC), strokes
    """
    moment = wording.moment(one.get("at"))
    relation = str(one.get("relation") or "")[:60]
    name = str(one.get("name") or "")[:200]
    role = f"{ROLE} ({relation})" if relation else ROLE
    reason = NOT_SIGNED.get(str(one.get("method")))
    if reason:
        return Signature(name or NOBODY, role, reason, f"Noted by the installer {moment}.", Markup())
    ink = strokes_svg(one)
    hashed = str(one.get("answers_sha256") or "")[:64]
    how = f"Signed {moment}, {'drawn' if ink else 'typed'}. {wording.ELECTRONIC} Answers SHA-256 {hashed}"
    drawn = Markup(ink)  # noqa: S704 - whole numbers only
    return Signature(name, role, str(one.get("statement") or "")[:1000], how, drawn)
