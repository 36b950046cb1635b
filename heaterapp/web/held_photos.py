"""A photo that came before its job is signed: made anew, and held until a record takes it."""

from __future__ import annotations

from flask import current_app

from heaterapp import archive, photo
from heaterapp.languages import say
from heaterapp.web.refused import Refused
from heaterapp.web.security import store

LARGEST_UPLOAD = 15_000_000
NO_DARKROOM = "Photos cannot be looked at just now. It is tried again by itself."


def held_photo(person: archive.Person, sha256: str, body: bytes) -> tuple[int, int]:
    """Make a photo anew and hold it; one that is held already stays.

    raises  Refused: too_large, not_a_photo, full, busy
    """
    uploads = store().uploads
    known = uploads.photos(person.organisation, [sha256]).get(sha256)
    if known is not None:
        return known.width, known.height
    try:
        made = photo.tidied(body)
    except photo.NotAPhoto as none:
        large = none.code == "too_large"
        code = "too_large" if large else "not_a_photo"
        raise Refused(413 if large else 415, code, say(str(none)), why=none.code) from None
    except photo.DarkroomFailed as failed:
        current_app.logger.error("no photo could be opened: %s", failed)
        raise Refused(503, "busy", say(NO_DARKROOM)) from None
    try:
        width, height = uploads.hold(
            person.organisation, person.id, sha256, made.body, made.width, made.height
        )
    except archive.HeldFull as full:
        raise Refused(503, "full", say(str(full))) from None
    return int(width), int(height)
