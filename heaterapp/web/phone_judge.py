"""The phone's wishes answered here, while its own Python is not up or cannot be; nothing is saved."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, Response, request

from heaterapp.filling import door
from heaterapp.filling.wish import LONGEST_WISH
from heaterapp.languages import say
from heaterapp.web.security import require

blueprint = Blueprint("phone_judge", __name__, url_prefix="/phone/api")
TOO_LARGE = "A wish: expected at most {count} characters. Nothing was changed."


@blueprint.post("/judge")
@require("installer", "owner")
def judge() -> Any:
    """Answer one wish as `filling.door` does: 200, or 400 where the door could not read it."""
    if (request.content_length or 0) > LONGEST_WISH:
        return {"error": say(TOO_LARGE, count=LONGEST_WISH), "code": "too_large"}, 413
    sent = request.get_data() if request.is_json else b""
    answer = door.call(sent.decode("utf-8", "replace"))
    # The door itself says what is wrong with a wish, in the words that the phone's own engine would use.
    bad = answer.startswith('{"error"') and '"code": "bad_wish"' in answer
    return Response(answer, 400 if bad else 200, mimetype="application/json")
