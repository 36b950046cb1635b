"""What a phone sends, taken apart and bounded: nothing of it is believed but what was checked here."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from heaterapp.archive.arriving import LARGEST_PARCEL, LONGEST_NOTE, LONGEST_WORD, MOST_PHOTOS
from heaterapp.archive.checking import printable
from heaterapp.archive.shapes import KINDS
from heaterapp.languages import say
from heaterapp.web import strict_json
from heaterapp.web.received import read_signatures
from heaterapp.web.refused import Refused

FORM = 1
NAMES = (
    "form", "draft", "job", "base", "answers", "kind", "report_sha256", "ruleset", "signatures", "photos",
    "device", "person",
)  # fmt: skip
OLD_FORM = (
    "This job was signed on another version of the page. Open it with a signal so that the page renews"
    " itself, look at it once more, and sign again."
)
TOO_LARGE = "This job is larger than 2 MB without its photos. Shorten its notes."
NOT_AS_IT_SHOULD = (
    "The job did not arrive as it should ({what}). Nothing was issued, and it is still on the phone."
)
SHA256 = re.compile(r"[0-9a-f]{64}")
MOMENT = re.compile(r"[12][0-9]{3}-[01][0-9]-[0-3][0-9]T[0-2][0-9]:[0-5][0-9]:[0-6][0-9](\.[0-9]{1,6})?Z")
_PHOTO_KIND = re.compile(r"[a-z][a-z0-9_]{0,39}")
LARGEST_ID = 2**31 - 1


@dataclass(frozen=True)
class Parcel:
    """One signed job as a phone sent it. Answers are still as they came."""

    body: bytes
    sha256: str
    draft: str
    job: str
    """The server's own job: the one it was taken from, else the draft's id."""
    began: Mapping[str, Any]
    """The server's answers that the phone began with, none for a new job."""
    answers: Mapping[str, Any]
    kind: str
    report_sha256: str | None
    ruleset: Mapping[str, str] | None
    signatures: list[dict[str, Any]]
    photos: list[dict[str, Any]]
    person: int | None


def read_parcel(body: bytes, draft: str) -> Parcel:
    """Take a parcel apart.

    body    its exact bytes
    draft   the id that it was sent under
    raises  Refused: too_large, bad_parcel, old_form, unsigned
    """
    if len(body) > LARGEST_PARCEL:
        raise Refused(413, "too_large", say(TOO_LARGE))
    try:
        said = strict_json.read(body)
    except strict_json.NotJson as bad:
        raise _bad(f"the job itself: {bad}") from None
    if not isinstance(said, dict) or "form" not in said:
        raise _bad("the job itself: an object with its form")
    if said["form"] != FORM or isinstance(said["form"], bool):
        raise Refused(422, "old_form", say(OLD_FORM))
    for name in sorted({*said} ^ {*NAMES}):
        raise _bad(f"{name[:40]}: {'missing' if name in NAMES else 'not known here'}")
    if said["draft"] != _uuid("draft", said["draft"]) or said["draft"] != draft:
        raise _bad("draft: the id that it was sent under")
    report, ruleset = said["report_sha256"], said["ruleset"]
    _texts("device", said["device"], ("made_at", "signed_at", "agent"), 500)
    return Parcel(
        body=body,
        sha256=hashlib.sha256(body).hexdigest(),
        draft=draft,
        job=draft if said["job"] is None else _uuid("job", said["job"]),
        began=_base(said["base"]),
        answers=_answers("answers", said["answers"]),
        kind=_kind(said["kind"]),
        report_sha256=None if report is None else _digest("report_sha256", report),
        ruleset=None if ruleset is None else _ruleset(ruleset),
        signatures=read_signatures(said["signatures"]),
        photos=_photos(said["photos"]),
        person=_person(said["person"]),
    )


def _bad(what: str) -> Refused:
    # What is wrong with a parcel is for who mends the program, and stays as it is.
    return Refused(422, "bad_parcel", say(NOT_AS_IT_SHOULD, what=what))


def _uuid(name: str, value: Any) -> str:
    try:
        if isinstance(value, str) and len(value) <= 40:
            return str(UUID(value))
    except ValueError:
        pass
    raise _bad(f"{name}: a UUID")


def _digest(name: str, value: Any) -> str:
    if not isinstance(value, str) or not SHA256.fullmatch(value):
        raise _bad(f"{name}: 64 hex digits")
    return value


def _kind(value: Any) -> str:
    if not isinstance(value, str) or value not in KINDS:
        raise _bad(f"kind: one of {', '.join(KINDS)}")
    return value


def _texts(name: str, value: Any, names: tuple[str, ...], longest: int) -> dict[str, str]:
    fit = isinstance(value, dict) and set(value) == set(names)
    if not fit or not all(isinstance(one, str) and len(one) <= longest for one in value.values()):
        raise _bad(f"{name}: {', '.join(names)}, each a text of at most {longest} characters")
    return dict(value)


def _ruleset(value: Any) -> dict[str, str]:
    kept = _texts("ruleset", value, ("version", "digest"), 100)
    _digest("ruleset", kept["digest"])
    if not kept["version"].isprintable():
        raise _bad("ruleset: a version of one line")
    return kept


def _answers(name: str, value: Any) -> dict[str, Any]:
    if not isinstance(value, dict) or not all(0 < len(key) <= 100 for key in value):
        raise _bad(f"{name}: one object, question to answer")
    return value


def _base(value: Any) -> dict[str, Any]:
    if value is None:
        return {}
    if not isinstance(value, dict) or set(value) != {"revision", "answers"}:
        raise _bad("base: revision and answers, or null")
    if type(value["revision"]) is not int or not 0 <= value["revision"] <= LARGEST_ID:
        raise _bad("base: a revision that is a whole number")
    return _answers("base", value["answers"])


def _person(value: Any) -> int | None:
    if value is not None and (type(value) is not int or not 0 < value <= LARGEST_ID):
        raise _bad("person: an id, or null")
    return value


def _photos(value: Any) -> list[dict[str, Any]]:
    if not isinstance(value, list) or len(value) > MOST_PHOTOS:
        raise _bad(f"photos: a list of at most {MOST_PHOTOS}")
    for one in value:
        if not isinstance(one, dict) or set(one) != {"sha256", "kind", "note", "chosen", "taken_at"}:
            raise _bad("photos: sha256, kind, note, chosen and taken_at of each")
        _digest("photos", one["sha256"])
        if not isinstance(one["kind"], str) or not _PHOTO_KIND.fullmatch(one["kind"]):
            raise _bad(f"photos: a kind of small letters, at most {LONGEST_WORD}")
        note = one["note"]
        if not isinstance(note, str) or len(note) > LONGEST_NOTE or not printable(note):
            raise _bad(f"photos: a note of one line, at most {LONGEST_NOTE} characters")
        # One that was taken again on line may have no time, and goes along to a later paper so.
        dated = one["taken_at"] == "" or _is_moment(one["taken_at"])
        if not isinstance(one["chosen"], bool) or not dated:
            raise _bad("photos: chosen true or false, taken_at a time such as 2026-03-14T09:26:53Z, or empty")
    if len({one["sha256"] for one in value}) != len(value):
        raise _bad("photos: each picture once")
    return value


def _is_moment(value: Any) -> bool:
    return isinstance(value, str) and bool(MOMENT.fullmatch(value))
