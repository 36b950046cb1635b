"""Mails with a paper and the homeowner's link: a queue, and what became of each.

Revision ID: 0011
"""

import sqlalchemy as sa
from alembic import op

revision = "0011"
down_revision = "0010"
branch_labels = None
depends_on = None


def whole(name: str, null: bool = False) -> sa.Column:
    return sa.Column(name, sa.Integer(), nullable=null)


def words(name: str, length: int, null: bool = False) -> sa.Column:
    return sa.Column(name, sa.String(length), nullable=null)


def upgrade() -> None:
    op.create_table(
        "mail",
        sa.Column("id", sa.Integer(), nullable=False, autoincrement=True),
        whole("organisation"),
        whole("record"),
        words("key", 100),
        words("address", 320),
        words("language", 2),
        whole("asked_by"),
        words("asked_at", 20),
        whole("entry"),
        words("state", 20),
        whole("tries"),
        words("next_at", 20),
        words("tried_at", 20, null=True),
        words("said", 500),
        words("sent_at", 20, null=True),
        words("message_id", 300),
        whole("share", null=True),
        words("claim", 32, null=True),
        words("claimed_until", 20, null=True),
        sa.ForeignKeyConstraint(
            ["organisation", "asked_by"], ["person.organisation", "person.id"], name="fk_mail_person"
        ),
        sa.ForeignKeyConstraint(
            ["organisation", "record"], ["record.organisation", "record.id"], name="fk_mail_record"
        ),
        sa.PrimaryKeyConstraint("id", name="pk_mail"),
        sa.UniqueConstraint("organisation", "key", name="uq_mail_organisation_key"),
    )
    op.create_index("ix_mail_organisation_record", "mail", ["organisation", "record"], unique=False)
    op.create_index("ix_mail_organisation_state_id", "mail", ["organisation", "state", "id"], unique=False)
    op.create_index("ix_mail_state_next_at", "mail", ["state", "next_at"], unique=False)


def downgrade() -> None:
    op.drop_table("mail")
