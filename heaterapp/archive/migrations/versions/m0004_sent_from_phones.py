"""Photos held until a record takes them, and what arrived from phones.

Revision ID: 0004
"""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def whole(name: str) -> sa.Column:
    return sa.Column(name, sa.Integer(), nullable=False)


def words(name: str, length: int | None = None) -> sa.Column:
    return sa.Column(name, sa.String(length) if length else sa.Text(), nullable=False)


def upgrade() -> None:
    op.create_table(
        "upload",
        whole("organisation"),
        words("sha256", 64),
        whole("person"),
        words("created_at", 20),
        whole("width"),
        whole("height"),
        whole("size"),
        sa.Column("body", sa.LargeBinary(), nullable=False),
        sa.ForeignKeyConstraint(
            ["organisation", "person"], ["person.organisation", "person.id"], name="fk_upload_person"
        ),
        sa.PrimaryKeyConstraint("organisation", "sha256", name="pk_upload"),
    )
    op.create_index("ix_upload_created_at", "upload", ["created_at"], unique=False)
    op.create_table(
        "arrival",
        whole("organisation"),
        words("draft", 36),
        whole("record"),
        whole("person"),
        words("received_at", 20),
        words("content_sha256", 64),
        words("report_sha256", 64),
        words("differs"),
        sa.ForeignKeyConstraint(
            ["organisation", "record"], ["record.organisation", "record.id"], name="fk_arrival_record"
        ),
        sa.ForeignKeyConstraint(
            ["organisation", "person"], ["person.organisation", "person.id"], name="fk_arrival_person"
        ),
        sa.PrimaryKeyConstraint("organisation", "draft", name="pk_arrival"),
        sa.UniqueConstraint("organisation", "record", name="uq_arrival_organisation_record"),
    )


def downgrade() -> None:
    if op.get_bind().execute(sa.text("SELECT count(*) FROM arrival")).scalar():
        raise RuntimeError("what phones sent has been issued: its table is not taken away")
    op.drop_table("arrival")
    op.drop_table("upload")
