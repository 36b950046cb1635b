"""The tables of the seal: `seal`, the certificates, and `seal_key`, the one private key that is in use.

A certificate goes wherever its firm goes, so that what was sealed verifies anywhere; a key stays where it
was made. Both are held against the log: a certificate's row but for `retired_at` is written once.
"""

from sqlalchemy import Column, ForeignKeyConstraint, LargeBinary, PrimaryKeyConstraint, Table

from heaterapp.archive.columns import text as _text
from heaterapp.archive.columns import whole as _whole
from heaterapp.archive.tables import metadata

seal = Table(
    "seal",
    metadata,
    _whole("organisation"),
    _text("fingerprint", 64),
    Column("certificate", LargeBinary, nullable=False),
    _text("made_at", 20),
    _text("retired_at", 20, null=True),
    PrimaryKeyConstraint("organisation", "fingerprint"),
    ForeignKeyConstraint(["organisation"], ["organisation.organisation"]),
)

seal_key = Table(
    "seal_key",
    metadata,
    _whole("organisation"),
    _text("fingerprint", 64),
    Column("body", LargeBinary, nullable=False),
    PrimaryKeyConstraint("organisation", "fingerprint"),
    ForeignKeyConstraint(["organisation", "fingerprint"], ["seal.organisation", "seal.fingerprint"]),
)
