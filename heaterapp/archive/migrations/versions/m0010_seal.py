"""The certificates of the firms' seals, and the key of each that is in use.

Revision ID: 0010
"""

import sqlalchemy as sa
from alembic import op

revision = "0010"
down_revision = "0008"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "seal",
        sa.Column("organisation", sa.Integer(), nullable=False),
        sa.Column("fingerprint", sa.String(64), nullable=False),
        sa.Column("certificate", sa.LargeBinary(), nullable=False),
        sa.Column("made_at", sa.String(20), nullable=False),
        sa.Column("retired_at", sa.String(20), nullable=True),
        sa.ForeignKeyConstraint(["organisation"], ["organisation.organisation"], name="fk_seal_organisation"),
        sa.PrimaryKeyConstraint("organisation", "fingerprint", name="pk_seal"),
    )
    op.create_table(
        "seal_key",
        sa.Column("organisation", sa.Integer(), nullable=False),
        sa.Column("fingerprint", sa.String(64), nullable=False),
        sa.Column("body", sa.LargeBinary(), nullable=False),
        sa.ForeignKeyConstraint(
            ["organisation", "fingerprint"],
            ["seal.organisation", "seal.fingerprint"],
            name="fk_seal_key_seal",
        ),
        sa.PrimaryKeyConstraint("organisation", "fingerprint", name="pk_seal_key"),
    )


def downgrade() -> None:
    for table in ("seal_key", "seal"):
        op.drop_table(table)
