"""The table of bodies that lie in the place for blobs and that no record names, yet or any more."""

from sqlalchemy import Column, ForeignKeyConstraint, Index, PrimaryKeyConstraint, String, Table

from heaterapp.archive.columns import Whole
from heaterapp.archive.tables import metadata

loose_blob = Table(
    "loose_blob",
    metadata,
    Column("organisation", Whole, nullable=False),
    Column("digest", String(64), nullable=False),
    Column("due_at", String(20), nullable=False),
    PrimaryKeyConstraint("organisation", "digest"),
    ForeignKeyConstraint(["organisation"], ["organisation.organisation"]),
    Index(None, "due_at"),
)
