"""The first tables: organisations and people, working jobs, records and their log.

Revision ID: 0001
"""

import sqlalchemy as sa
from alembic import op

from heaterapp.archive import dialect

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

TABLES = (
    "submission", "share", "pending", "payload", "finding", "record", "session", "job",
    "throttle", "ruleset", "person", "log_head", "log", "counter", "organisation",
)  # fmt: skip
KEPT = ("log", "ruleset", "record", "payload", "submission", "finding")


def whole(name: str, nullable: bool = False) -> sa.Column:
    return sa.Column(name, sa.Integer(), nullable=nullable)


def words(name: str, length: int | None = None, nullable: bool = False) -> sa.Column:
    return sa.Column(name, sa.String(length) if length else sa.Text(), nullable=nullable)


def upgrade() -> None:
    op.create_table(
        "organisation",
        sa.Column("organisation", sa.Integer(), autoincrement=True, nullable=False),
        words("slug", 64),
        words("name", 200),
        words("licence", 100),
        words("phone", 100),
        words("address", 300),
        words("settings"),
        sa.PrimaryKeyConstraint("organisation", name="pk_organisation"),
        sa.UniqueConstraint("slug", name="uq_organisation_slug"),
    )
    op.create_table(
        "counter",
        whole("organisation"),
        words("kind", 20),
        whole("last"),
        sa.ForeignKeyConstraint(
            ["organisation"], ["organisation.organisation"], name="fk_counter_organisation"
        ),
        sa.PrimaryKeyConstraint("organisation", "kind", name="pk_counter"),
    )
    op.create_table(
        "log",
        whole("organisation"),
        whole("seq"),
        words("at", 20),
        words("act", 20),
        whole("actor", nullable=True),
        whole("record", nullable=True),
        words("body"),
        words("previous", 64),
        words("digest", 64),
        sa.ForeignKeyConstraint(["organisation"], ["organisation.organisation"], name="fk_log_organisation"),
        sa.PrimaryKeyConstraint("organisation", "seq", name="pk_log"),
        sa.UniqueConstraint("organisation", "digest", name="uq_log_organisation_digest"),
    )
    op.create_index("ix_log_organisation_record_seq", "log", ["organisation", "record", "seq"], unique=False)
    op.create_table(
        "log_head",
        whole("organisation"),
        whole("seq"),
        words("digest", 64),
        sa.ForeignKeyConstraint(
            ["organisation"], ["organisation.organisation"], name="fk_log_head_organisation"
        ),
        sa.PrimaryKeyConstraint("organisation", name="pk_log_head"),
    )
    op.create_table(
        "person",
        sa.Column("id", sa.Integer(), autoincrement=True, nullable=False),
        whole("organisation"),
        words("login", 100),
        words("name", 200),
        words("role", 20),
        words("licence", 100),
        words("password_hash", 300),
        sa.Column("disabled", sa.Boolean(), server_default=sa.false(), nullable=False),
        words("created_at", 20),
        sa.ForeignKeyConstraint(
            ["organisation"], ["organisation.organisation"], name="fk_person_organisation"
        ),
        sa.PrimaryKeyConstraint("id", name="pk_person"),
        sa.UniqueConstraint("organisation", "id", name="uq_person_organisation_id"),
        sa.UniqueConstraint("organisation", "login", name="uq_person_organisation_login"),
    )
    op.create_table(
        "ruleset",
        whole("organisation"),
        words("digest", 100),
        words("version", 100),
        sa.Column("body", sa.LargeBinary(), nullable=False),
        sa.ForeignKeyConstraint(
            ["organisation"], ["organisation.organisation"], name="fk_ruleset_organisation"
        ),
        sa.PrimaryKeyConstraint("organisation", "digest", name="pk_ruleset"),
    )
    op.create_table(
        "throttle",
        whole("organisation"),
        words("kind", 20),
        words("subject_hash", 64),
        whole("failures"),
        sa.Column("last_at", sa.BigInteger(), nullable=False),
        sa.Column("blocked_until", sa.BigInteger(), nullable=False),
        sa.ForeignKeyConstraint(
            ["organisation"], ["organisation.organisation"], name="fk_throttle_organisation"
        ),
        sa.PrimaryKeyConstraint("organisation", "kind", "subject_hash", name="pk_throttle"),
    )
    op.create_index("ix_throttle_last_at", "throttle", ["last_at"], unique=False)
    op.create_table(
        "job",
        whole("organisation"),
        words("id", 36),
        whole("installer", nullable=True),
        words("answers"),
        words("answer_revisions"),
        words("signature", nullable=True),
        whole("signature_revision", nullable=True),
        words("state", 20),
        whole("revision"),
        words("created_at", 20),
        words("updated_at", 20),
        sa.ForeignKeyConstraint(
            ["organisation", "installer"], ["person.organisation", "person.id"], name="fk_job_person"
        ),
        sa.ForeignKeyConstraint(["organisation"], ["organisation.organisation"], name="fk_job_organisation"),
        sa.PrimaryKeyConstraint("organisation", "id", name="pk_job"),
    )
    op.create_index(
        "ix_job_organisation_installer_updated_at_id",
        "job",
        ["organisation", "installer", "updated_at", "id"],
        unique=False,
    )
    op.create_index(
        "ix_job_organisation_updated_at_id", "job", ["organisation", "updated_at", "id"], unique=False
    )
    op.create_table(
        "session",
        sa.Column("id", sa.Integer(), autoincrement=True, nullable=False),
        whole("organisation"),
        whole("person"),
        words("token_hash", 64),
        words("device", 300),
        words("created_at", 20),
        words("last_seen_at", 20),
        words("expires_at", 20),
        words("ended_at", 20, nullable=True),
        sa.ForeignKeyConstraint(
            ["organisation", "person"], ["person.organisation", "person.id"], name="fk_session_person"
        ),
        sa.PrimaryKeyConstraint("id", name="pk_session"),
        sa.UniqueConstraint("token_hash", name="uq_session_token_hash"),
    )
    op.create_index("ix_session_organisation_person", "session", ["organisation", "person"], unique=False)
    op.create_table(
        "record",
        sa.Column("id", sa.Integer(), autoincrement=True, nullable=False),
        whole("organisation"),
        words("number", 32),
        words("kind", 20),
        whole("serial"),
        words("job_id", 36),
        whole("revision"),
        whole("supersedes", nullable=True),
        words("issued_at", 20),
        whole("issued_by"),
        words("ruleset_digest", 100),
        words("ruleset_version", 100),
        words("previous_head", 64),
        words("content_digest", 64),
        words("check_code", 20),
        sa.ForeignKeyConstraint(
            ["organisation", "issued_by"], ["person.organisation", "person.id"], name="fk_record_person"
        ),
        sa.ForeignKeyConstraint(
            ["organisation", "job_id"], ["job.organisation", "job.id"], name="fk_record_job"
        ),
        sa.ForeignKeyConstraint(
            ["organisation", "ruleset_digest"],
            ["ruleset.organisation", "ruleset.digest"],
            name="fk_record_ruleset",
        ),
        sa.ForeignKeyConstraint(
            ["organisation", "supersedes"], ["record.organisation", "record.id"], name="fk_record_record"
        ),
        sa.PrimaryKeyConstraint("id", name="pk_record"),
        sa.UniqueConstraint("organisation", "id", name="uq_record_organisation_id"),
        sa.UniqueConstraint(
            "organisation", "job_id", "kind", "revision", name="uq_record_organisation_job_id_kind_revision"
        ),
        sa.UniqueConstraint("organisation", "kind", "serial", name="uq_record_organisation_kind_serial"),
        sa.UniqueConstraint("organisation", "number", name="uq_record_organisation_number"),
        sa.UniqueConstraint("organisation", "supersedes", name="uq_record_organisation_supersedes"),
    )
    op.create_index("ix_record_number", "record", ["number"], unique=False)
    op.create_table(
        "finding",
        sa.Column("record", sa.Integer(), autoincrement=False, nullable=False),
        whole("organisation"),
        whole("installer", nullable=True),
        words("facts"),
        words("words"),
        sa.ForeignKeyConstraint(
            ["organisation", "record"], ["record.organisation", "record.id"], name="fk_finding_record"
        ),
        sa.PrimaryKeyConstraint("record", name="pk_finding"),
    )
    op.create_table(
        "payload",
        whole("organisation"),
        whole("record"),
        words("name", 64),
        sa.Column("salt", sa.LargeBinary(), nullable=True),
        sa.Column("body", sa.LargeBinary(), nullable=True),
        words("digest", 64),
        sa.ForeignKeyConstraint(
            ["organisation", "record"], ["record.organisation", "record.id"], name="fk_payload_record"
        ),
        sa.PrimaryKeyConstraint("organisation", "record", "name", name="pk_payload"),
    )
    op.create_table(
        "pending",
        whole("organisation"),
        whole("record"),
        sa.ForeignKeyConstraint(
            ["organisation", "record"], ["record.organisation", "record.id"], name="fk_pending_record"
        ),
        sa.PrimaryKeyConstraint("organisation", "record", name="pk_pending"),
    )
    op.create_table(
        "share",
        sa.Column("id", sa.Integer(), autoincrement=True, nullable=False),
        whole("organisation"),
        whole("record"),
        words("token_hash", 64),
        words("created_at", 20),
        whole("created_by", nullable=True),
        words("expires_at", 20, nullable=True),
        words("revoked_at", 20, nullable=True),
        sa.ForeignKeyConstraint(
            ["organisation", "record"], ["record.organisation", "record.id"], name="fk_share_record"
        ),
        sa.PrimaryKeyConstraint("id", name="pk_share"),
        sa.UniqueConstraint("token_hash", name="uq_share_token_hash"),
    )
    op.create_index("ix_share_organisation_record", "share", ["organisation", "record"], unique=False)
    op.create_table(
        "submission",
        whole("organisation"),
        words("key", 100),
        whole("record"),
        sa.ForeignKeyConstraint(
            ["organisation", "record"], ["record.organisation", "record.id"], name="fk_submission_record"
        ),
        sa.PrimaryKeyConstraint("organisation", "key", name="pk_submission"),
        sa.UniqueConstraint("organisation", "record", name="uq_submission_organisation_record"),
    )

    kind = op.get_bind().dialect.name
    for statement in (dialect.guards(kind, KEPT) | dialect.word_index(kind)).values():
        op.get_bind().exec_driver_sql(statement)


def downgrade() -> None:
    connection = op.get_bind()
    if connection.execute(sa.text("SELECT count(*) FROM record")).scalar():
        raise RuntimeError("records have been issued: their tables are not taken away")
    kind = connection.dialect.name
    for statement in dialect.drop_guards(kind, KEPT) + dialect.drop_word_index(kind):
        connection.exec_driver_sql(statement)
    for table in TABLES:
        op.drop_table(table)
