"""The log is found by its acts, as an organisation's own amendments are.

Revision ID: 0003
"""

from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_index("ix_log_organisation_act_seq", "log", ["organisation", "act", "seq"], unique=False)


def downgrade() -> None:
    op.drop_index("ix_log_organisation_act_seq", "log")
