"""What was typed into a form whose sign-in had ended: carried through the sign-in, sent again by a press.

Every form says, signed, whose page it stands on. What was typed rides in the page, signed
too, so that nobody can put words into somebody else's sign-in, and it is given back only
to the person whose page it was.
"""

from __future__ import annotations

import json
from functools import lru_cache
from typing import Any

from flask import current_app, request
from itsdangerous import BadData, Signer, URLSafeTimedSerializer

from heaterapp.archive.shapes import Person

FIELD, WHOSE = "typed_before", "whose"
LARGEST = 300_000
KEPT_FOR_S = 24 * 3600
_NEVER = frozenset({"csrf_token", "password", "present", "fresh", "mail_password", FIELD, WHOSE})


def mark_of(person: Person | None) -> str:
    """Whose page a form stands on, signed."""
    return _signed(str(current_app.secret_key), person.id) if person else ""


@lru_cache(maxsize=1000)
def _signed(secret: str, person: int) -> str:
    return _marks(secret).sign(str(person)).decode()


def gathered() -> str:
    """The form of this request, signed, for a hidden field; empty where it cannot be told whose it is."""
    try:
        whose = int(_marks(str(current_app.secret_key)).unsign(request.form.get(WHOSE, "")))
    except (BadData, ValueError):
        return ""
    typed = [(name, text) for name, text in request.form.items(multi=True) if name not in _NEVER]
    # A file that was chosen cannot ride along; a box for one that stayed empty is nothing.
    files = any(one.filename for one in request.files.values())
    if files or sum(len(name) + len(text) for name, text in typed) > LARGEST:
        return ""
    return str(_parcels().dumps({"path": request.path, "typed": typed, "whose": whose}))


def carried() -> str:
    """What the sign-in form carries on from the form before it, if it is one of our parcels."""
    kept = request.form.get(FIELD, "")
    return kept if _opened(kept) else ""


def given_back(kept: str, person: Person) -> dict[str, Any] | None:
    """The path and the fields to send again, if it was this person's page.

    returns  {"path": ..., "typed": [[name, text], ...]}; None for anything else
    """
    held = _opened(kept)
    return held if held and held["whose"] == person.id else None


def _opened(kept: str) -> dict[str, Any] | None:
    try:
        return dict(_parcels().loads(kept, max_age=KEPT_FOR_S))
    except BadData:
        return None


def _parcels() -> URLSafeTimedSerializer:
    return URLSafeTimedSerializer(str(current_app.secret_key), salt="typed before", serializer=json)


def _marks(secret: str) -> Signer:
    return Signer(secret, salt="whose page")
