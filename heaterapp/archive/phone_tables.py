"""The tables of what phones send: photos held until a record takes them, and what arrived whole."""

from sqlalchemy import (
    Column,
    ForeignKeyConstraint,
    Index,
    LargeBinary,
    PrimaryKeyConstraint,
    String,
    Table,
    Text,
    UniqueConstraint,
)

from heaterapp.archive.columns import Whole
from heaterapp.archive.tables import metadata


def _of(*names: str, to: str) -> ForeignKeyConstraint:
    targets = [f"{to}.{name}" for name in ("organisation", "id")]
    return ForeignKeyConstraint(names, targets)


upload = Table(
    "upload",
    metadata,
    Column("organisation", Whole, nullable=False),
    Column("sha256", String(64), nullable=False),
    Column("person", Whole, nullable=False),
    Column("created_at", String(20), nullable=False),
    Column("width", Whole, nullable=False),
    Column("height", Whole, nullable=False),
    Column("size", Whole, nullable=False),
    Column("body", LargeBinary, nullable=False),
    PrimaryKeyConstraint("organisation", "sha256"),
    _of("organisation", "person", to="person"),
    Index(None, "created_at"),
)

arrival = Table(
    "arrival",
    metadata,
    Column("organisation", Whole, nullable=False),
    Column("draft", String(36), nullable=False),
    Column("record", Whole, nullable=False),
    Column("person", Whole, nullable=False),
    Column("received_at", String(20), nullable=False),
    Column("content_sha256", String(64), nullable=False),
    Column("report_sha256", String(64), nullable=False),
    Column("differs", Text, nullable=False),
    PrimaryKeyConstraint("organisation", "draft"),
    UniqueConstraint("organisation", "record"),
    _of("organisation", "record", to="record"),
    _of("organisation", "person", to="person"),
)
