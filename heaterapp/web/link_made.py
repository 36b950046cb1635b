"""The homeowner's link that was just made: one for its form sent twice, shown to the session that made it.

The session holds the form's key and no token: with the server's own secret that gives the link again, and
without it nothing. In the database lies the token's hash alone.
"""

from __future__ import annotations

import base64
import hmac
import re
import secrets
from datetime import datetime, timedelta
from typing import NamedTuple

from flask import current_app, session, url_for

from heaterapp import archive
from heaterapp.archive.shares import TOKEN_BYTES
from heaterapp.web import link_ends
from heaterapp.web.security import current_organisation, store
from heaterapp.web.settings import public_address

KEY = re.compile(r"share-[0-9a-f]{32}")
MADE = "link_made"
SHOWN = timedelta(minutes=30)


class Made(NamedTuple):
    """A link as a page shows it."""

    address: str
    until: str
    """The last day on which it opens; nothing where it does not end."""


NONE = Made("", "")


def fresh_key() -> str:
    """Return what a form carries so that, sent twice, it makes one link."""
    return f"share-{secrets.token_hex(16)}"


def make(record: archive.Hit | archive.Record, key: str, person: int, ends: datetime | None) -> None:
    """Make the link of a form's key, once, and let this session show it.

    key   as `fresh_key` made it; another is replaced by a fresh one
    ends  when it opens no more, None for never
    """
    key = key if KEY.fullmatch(key) else fresh_key()
    at, organisation = _id_of(record), current_organisation().id
    _, made = store().shares.make(organisation, at, person, ends, _token_of(organisation, at, key))
    if made.revoked_at is None:
        session[MADE] = [record.number, key, int(store().database.moment().timestamp())]


def made(record: archive.Hit | archive.Record, once: bool = False) -> Made:
    """Return the link that this session made to a record in the last half hour, while it opens; or none.

    once  forget it then
    """
    held = session.get(MADE)
    if not held or held[0] != record.number:
        return NONE
    if once:
        session.pop(MADE)
    _, key, at = held
    if store().database.moment().timestamp() - at > SHOWN.total_seconds():
        return NONE
    organisation, own = current_organisation().id, _id_of(record)
    token = _token_of(organisation, own, key)
    share = store().shares.lookup(token)
    if share is None or (share.organisation, share.record) != (organisation, own):
        return NONE
    return Made(public_address(url_for("share.page", token=token)), link_ends.last_day(share))


def _id_of(record: archive.Hit | archive.Record) -> int:
    return record.record if isinstance(record, archive.Hit) else record.id


def _token_of(organisation: int, record: int, key: str) -> str:
    told = f"share {organisation} {record} {key}".encode()
    token = hmac.digest(str(current_app.config["SECRET_KEY"]).encode(), told, "sha256")
    return base64.urlsafe_b64encode(token[:TOKEN_BYTES]).decode()
