"""What a phone sent, as part of the record's own content: the parcel to the byte, and its photos."""

import json
from collections.abc import Mapping

from sqlalchemy import ColumnElement, Connection, delete, insert, or_

from heaterapp.archive import checking, faults, phone_tables, tables
from heaterapp.archive.canonical import canonical, salted, sha256
from heaterapp.archive.errors import Invalid
from heaterapp.archive.wish import Photo, Submission

PARCEL, PHOTOS = "parcel.json", "photos.json"
DIFFERS = "differs"
MOST_PHOTOS = 40
LARGEST_PARCEL, LARGEST_PHOTO = 2_000_000, 6_000_000
LONGEST_WORD, LONGEST_NOTE = 60, 300
_name = tables.payload.c.name
_photo_names = or_(_name == PHOTOS, _name.like("photo-%.jpg"))


def vouched_differs(salt: bytes, differs: str) -> str:
    """Return what the log keeps of an arrival's differences; without the salt it confirms no guess at them.

    salt  the parcel's own
    """
    return salted(salt, DIFFERS, differs.encode("utf-8", "surrogateescape"))


def of_photos() -> ColumnElement:
    """The condition, on a payload's row, that it is a photo or the list of them."""
    return _photo_names


def from_phone() -> ColumnElement:
    """The condition, on a payload's row, that it came with a parcel and is no paper of ours."""
    return or_(_name == PARCEL, _photo_names)


def is_from_phone(name: str) -> bool:
    return name in (PARCEL, PHOTOS) or (name.startswith("photo-") and name.endswith(".jpg"))


def content(wish: Submission) -> dict[str, bytes]:
    """Return name -> bytes of what the record keeps beside job, report and signature. Raises Invalid."""
    kept: dict[str, bytes] = {}
    if wish.parcel is not None:
        kept[PARCEL] = checking.content("parcel", wish.parcel, LARGEST_PARCEL)
    elif wish.arrival is not None:
        raise Invalid("parcel", "the bytes that arrived")
    if len(wish.photos) > MOST_PHOTOS:
        raise Invalid("photos", f"at most {MOST_PHOTOS}")
    if wish.photos:
        kept[PHOTOS] = canonical([_told(photo) for photo in wish.photos]).encode()
    for number, photo in enumerate(wish.photos, 1):
        kept[f"photo-{number}.jpg"] = checking.content("photo", photo.body, LARGEST_PHOTO)
    return kept


def _told(photo: Photo) -> dict[str, object]:
    return {
        "kind": checking.line("photo kind", photo.kind, LONGEST_WORD, empty=False),
        "note": checking.line("photo note", photo.note, LONGEST_NOTE),
        "chosen": bool(photo.chosen),
        "taken_at": checking.line("photo time", photo.taken_at, LONGEST_WORD),
        "sha256": photo.sha256,
        "stored_sha256": sha256(photo.body),
        "width": photo.width,
        "height": photo.height,
    }


def read_photos(bodies: Mapping[str, bytes]) -> tuple[Photo, ...]:
    """Return the photos of a record from its payloads, in the order of its list."""
    listed = json.loads(bodies.get(PHOTOS) or "[]")
    return tuple(
        Photo(
            kind=told["kind"],
            note=told["note"],
            chosen=told["chosen"],
            taken_at=told["taken_at"],
            sha256=told["sha256"],
            width=told["width"],
            height=told["height"],
            body=bodies[f"photo-{number}.jpg"],
        )
        for number, told in enumerate(listed, 1)
    )


def vouched(wish: Submission, salts: Mapping[str, bytes]) -> dict[str, str]:
    """Return what the log entry of an issue keeps of an arrival."""
    return {DIFFERS: vouched_differs(salts[PARCEL], differs_of(wish))} if wish.parcel is not None else {}


def differs_of(wish: Submission) -> str:
    return wish.arrival.differs if wish.arrival else ""


def keep(connection: Connection, wish: Submission, record: int, now: str) -> None:
    """Note what arrived, and let go of the held photos that the record has now. Inside the issuing."""
    if wish.parcel is None:
        return
    upload = phone_tables.upload
    taken = (upload.c.organisation == wish.organisation, upload.c.sha256.in_({p.sha256 for p in wish.photos}))
    connection.execute(delete(upload).where(*taken))
    faults.at("after_photos_taken")
    connection.execute(
        insert(phone_tables.arrival).values(
            organisation=wish.organisation,
            draft=wish.key,
            record=record,
            person=wish.person,
            received_at=now,
            content_sha256=sha256(wish.parcel),
            report_sha256=sha256(wish.report),
            differs=differs_of(wish),
        )
    )
    faults.at("after_arrival")
