"""Bodies that lie outside the database; on PostgreSQL, TRUNCATE empties nothing that is written once.

Revision ID: 0006
"""

import sqlalchemy as sa
from alembic import op

from heaterapp.archive.dialect import truncate_guards

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None

WRITTEN_ONCE = (
    "log", "ruleset", "record", "payload", "submission", "finding", "void", "said", "sweep",
    "sweep_finding", "logo",
)  # fmt: skip


def upgrade() -> None:
    op.create_table(
        "loose_blob",
        sa.Column("organisation", sa.Integer(), nullable=False),
        sa.Column("digest", sa.String(64), nullable=False),
        sa.Column("due_at", sa.String(20), nullable=False),
        sa.ForeignKeyConstraint(
            ["organisation"], ["organisation.organisation"], name="fk_loose_blob_organisation"
        ),
        sa.PrimaryKeyConstraint("organisation", "digest", name="pk_loose_blob"),
    )
    op.create_index("ix_loose_blob_due_at", "loose_blob", ["due_at"], unique=False)
    for statement in truncate_guards(op.get_bind().dialect.name, WRITTEN_ONCE).values():
        op.get_bind().exec_driver_sql(statement)


def downgrade() -> None:
    if op.get_bind().execute(
        sa.text("SELECT count(*) FROM payload WHERE salt IS NOT NULL AND body IS NULL")
    ).scalar():
        raise RuntimeError("bodies lie outside the database: what names those to be let go is not taken away")
    op.drop_table("loose_blob")
    for name in truncate_guards(op.get_bind().dialect.name, WRITTEN_ONCE):
        op.get_bind().exec_driver_sql(f"DROP FUNCTION {name}() CASCADE")
