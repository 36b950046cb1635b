"""What a row of an import must be beside the kinds of its columns: what its writer would have kept.

An export comes from anywhere, and its log vouches for itself alone.
"""

import json
import re
from collections.abc import Callable, Mapping
from typing import Any

from sqlalchemy import Connection, Table

from heaterapp.archive import (
    checking,
    inspections,
    logos,
    office_tables,
    phone_tables,
    seal_tables,
    seals,
    tables,
)
from heaterapp.archive.arriving import LARGEST_PHOTO
from heaterapp.archive.canonical import sha256
from heaterapp.archive.desk_rows import MOST_CHANGES, checked_facts
from heaterapp.archive.desk_shapes import RESULTS, STAGES
from heaterapp.archive.errors import Invalid
from heaterapp.archive.inspection_items import LONGEST_CHECK, LONGEST_ITEM, MOST_ITEMS
from heaterapp.archive.kept_rules import digest_of
from heaterapp.archive.mail_shapes import LANGUAGES, STATES
from heaterapp.archive.mail_tables import mail
from heaterapp.archive.moving.reading import ImportRefused
from heaterapp.archive.organisations import IMPORTED, check_settings

JPEG = b"\xff\xd8\xff"
DIGEST = re.compile(r"[0-9a-f]{64}")
PHOTO = re.compile(r"photo-.*\.jpg")
LONGEST_SETTING, MOST_SERVED = 2_000, 1_000
Row = Mapping[str, Any]


def refuse_unkept(table: Table, row: Row, where: str) -> None:
    """Refuse a row that no writer of this archive would have kept. Raises ImportRefused, naming the field."""
    look = LOOKS.get(table.name)
    if look is None:
        return
    try:
        look(row)
    except Invalid as refused:
        raise ImportRefused(f"{where}, {refused}.".replace("..", ".")) from refused


def refuse_unkept_settings(connection: Connection, organisation: int, settings: str, where: str) -> None:
    """Refuse settings that cannot be saved here, once the records are there. Raises ImportRefused."""
    try:
        check_settings(connection, organisation, json.loads(settings))
    except Invalid as refused:
        raise ImportRefused(f"{where}, settings: {refused}.") from refused


def _settings(row: Row) -> None:
    for name, held in json.loads(row["settings"]).items():
        field = f"settings: {name[:60]}"
        if name in ("prefixes", "mail", IMPORTED):
            if not isinstance(held, dict) or any(isinstance(one, (dict, list)) for one in held.values()):
                raise Invalid(field, "an object of texts and numbers was expected")
            if name == IMPORTED and not _is_whole(held.get("upto"), least=0):
                raise Invalid(field, "the number of an entry was expected")
        elif name == "places_served":
            if not isinstance(held, list) or len(held) > MOST_SERVED:
                raise Invalid(field, "a list was expected")
            for one in held:
                checking.line(field, one, LONGEST_SETTING)
        elif isinstance(held, (dict, list)) or (isinstance(held, str) and len(held) > LONGEST_SETTING):
            raise Invalid(field, f"a number or a text of at most {LONGEST_SETTING} characters was expected")


def _ruleset(row: Row) -> None:
    # A name that is no digest is in no ruleset's way; under a digest only its own rules may stand.
    if DIGEST.fullmatch(row["digest"]) and digest_of(row["body"]) != row["digest"]:
        raise Invalid("digest", "the digest of the very rules in body was expected")


def _payload(row: Row) -> None:
    if row["body"] is not None and PHOTO.fullmatch(row["name"]):
        _picture("body", row["body"], LARGEST_PHOTO)


def _logo(row: Row) -> None:
    _picture("body", row["body"], logos.LARGEST)


def _seal(row: Row) -> None:
    checking.content("certificate", row["certificate"], seals.LARGEST)
    if sha256(row["certificate"]) != row["fingerprint"]:
        raise Invalid("fingerprint", "the SHA-256 of the very certificate was expected")


def _upload(row: Row) -> None:
    _picture("body", row["body"], LARGEST_PHOTO)
    if row["size"] != len(row["body"]):
        raise Invalid("size", f"{len(row['body'])} was expected, as many bytes as body has")


def _picture(field: str, body: bytes, largest: int) -> None:
    checking.content(field, body, largest)
    if not body.startswith(JPEG):
        raise Invalid(field, "a JPEG picture was expected")


def _line(row: Row) -> None:
    checking.choice("stage", row["stage"], STAGES)
    checking.choice("state", row["state"], ("draft", "issued", "erased"))
    for name in ("day", "permit_issued_on", "permit_expires_on", "final_on"):
        checking.iso_date(name, row[name] or "")


def _desk(row: Row) -> None:
    checked_facts(json.loads(row["facts"]))
    changes = json.loads(row["changes"])
    if len(changes) > MOST_CHANGES or not all(map(_is_change, changes)):
        raise Invalid("changes", f"at most {MOST_CHANGES}, each with what was and what is, were expected")


def _is_change(one: Any) -> bool:
    if not isinstance(one, dict) or not isinstance(one.get("names"), dict):
        return False
    pairs = one["names"].values()
    return (
        _is_whole(one.get("revision"))
        and isinstance(one.get("at"), str)
        and (one.get("by") is None or _is_whole(one["by"]))
        and (one.get("inspection") is None or _is_whole(one["inspection"]))
        and isinstance(one.get("reason", ""), str)
        and all(isinstance(pair, list) and len(pair) == 2 for pair in pairs)
        and not any(isinstance(said, (dict, list)) for pair in pairs for said in pair)
    )


def _inspection(row: Row) -> None:
    longest = {**inspections.LONGEST, **inspections.LONGEST_RESULT}
    inspections.checked_facts(json.loads(row["facts"]), longest)
    checking.choice("result", row["result"], ("booked", *RESULTS))
    for name in ("booked_for", "result_on"):
        checking.iso_date(name, row[name] or "")
    asked = json.loads(row["asked"])
    if len(asked) > MOST_ITEMS or not all(map(_is_item, asked)):
        raise Invalid("asked", f"at most {MOST_ITEMS} items, each with check, text, who and fixed_on")


def _is_item(one: Any) -> bool:
    if not isinstance(one, dict) or not (one.get("met_by") is None or _is_whole(one["met_by"])):
        return False
    try:
        checking.line("check", one.get("check"), LONGEST_CHECK)
        checking.line("text", one.get("text"), LONGEST_ITEM)
        checking.line("who", one.get("who"), 200)
        checking.iso_date("fixed_on", one.get("fixed_on"))
        checking.iso_date("accepted_on", one.get("accepted_on", ""))
    except Invalid:
        return False
    return True


def _mail(row: Row) -> None:
    checking.choice("state", row["state"], STATES)
    checking.choice("language", row["language"], LANGUAGES)
    for name, longest in (("address", 320), ("said", 500), ("message_id", 300)):
        checking.line(name, row[name], longest)
    if (row["claim"] is None) != (row["claimed_until"] is None):
        raise Invalid("claim", "a claim with its end, or neither, was expected")


def _is_whole(held: Any, least: int | None = None) -> bool:
    return isinstance(held, int) and not isinstance(held, bool) and (least is None or held >= least)


LOOKS: dict[str, Callable[[Row], None]] = {
    tables.organisation.name: _settings,
    tables.ruleset.name: _ruleset,
    tables.payload.name: _payload,
    office_tables.logo.name: _logo,
    phone_tables.upload.name: _upload,
    seal_tables.seal.name: _seal,
    office_tables.desk_line.name: _line,
    office_tables.desk.name: _desk,
    office_tables.inspection.name: _inspection,
    mail.name: _mail,
}
