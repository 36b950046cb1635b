"""The table of mails: what is to be sent, to whom, and how it went. Working rows; their acts are logged."""

from sqlalchemy import ForeignKeyConstraint, Index, PrimaryKeyConstraint, Table, UniqueConstraint

from heaterapp.archive.columns import own_id as _id
from heaterapp.archive.columns import text as _text
from heaterapp.archive.columns import whole as _whole
from heaterapp.archive.tables import metadata

mail = Table(
    "mail",
    metadata,
    _id(),
    _whole("organisation"),
    _whole("record"),
    _text("key", 100),
    _text("address", 320),
    _text("language", 2),
    _whole("asked_by"),
    _text("asked_at", 20),
    _whole("entry"),
    _text("state", 20),
    _whole("tries"),
    _text("next_at", 20),
    _text("tried_at", 20, null=True),
    _text("said", 500),
    _text("sent_at", 20, null=True),
    _text("message_id", 300),
    _whole("share", null=True),
    _text("claim", 32, null=True),
    _text("claimed_until", 20, null=True),
    PrimaryKeyConstraint("id"),
    UniqueConstraint("organisation", "key"),
    ForeignKeyConstraint(["organisation", "record"], ["record.organisation", "record.id"]),
    ForeignKeyConstraint(["organisation", "asked_by"], ["person.organisation", "person.id"]),
    Index(None, "organisation", "record"),
    Index(None, "organisation", "state", "id"),
    Index(None, "state", "next_at"),
)
