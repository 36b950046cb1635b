"""What the office does with records: voids, holds, sweeps, rechecks, the desk, invitations, passkeys, logos.

Revision ID: 0005
"""

import sqlalchemy as sa
from alembic import op

from heaterapp.archive.dialect import drop_guards, guards
from heaterapp.archive.migrations.the_desk import make_desk
from heaterapp.archive.migrations.the_sweep import keep

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None
WRITTEN_ONCE = ("void", "said", "sweep", "sweep_finding", "logo")
TABLES = (
    "logo",
    "challenge",
    "chore",
    "passkey",
    "invite",
    "inspection",
    "desk",
    "desk_line",
    "recheck_hit",
    "recheck",
    "sweep_finding",
    "sweep",
    "hold",
    "said",
    "void",
)
STEP = 1000
RECORDS = sa.text("SELECT organisation, id FROM record WHERE id > :after ORDER BY id LIMIT :step")
BODIES = sa.text(
    "SELECT name, body FROM payload WHERE organisation = :organisation AND record = :record"
    " AND name IN ('job', 'report')"
)


def whole(name: str, null: bool = False) -> sa.Column:
    return sa.Column(name, sa.Integer(), nullable=null)


def words(name: str, length: int | None = None, null: bool = False) -> sa.Column:
    return sa.Column(name, sa.String(length) if length else sa.Text(), nullable=null)


def upgrade() -> None:
    op.create_table(
        "void",
        whole("organisation"),
        whole("record"),
        words("voided_at", 20),
        whole("voided_by"),
        whole("entry"),
        sa.ForeignKeyConstraint(
            ["organisation", "voided_by"], ["person.organisation", "person.id"], name="fk_void_person"
        ),
        sa.ForeignKeyConstraint(
            ["organisation", "record"], ["record.organisation", "record.id"], name="fk_void_record"
        ),
        sa.PrimaryKeyConstraint("organisation", "record", name="pk_void"),
    )
    op.create_table(
        "said",
        whole("organisation"),
        whole("seq"),
        words("name", 20),
        whole("record", null=True),
        words("job_id", 36, null=True),
        sa.Column("salt", sa.LargeBinary(), nullable=True),
        words("body", null=True),
        sa.ForeignKeyConstraint(["organisation"], ["organisation.organisation"], name="fk_said_organisation"),
        sa.PrimaryKeyConstraint("organisation", "seq", "name", name="pk_said"),
    )
    op.create_index("ix_said_organisation_record", "said", ["organisation", "record"], unique=False)
    op.create_index("ix_said_organisation_job_id", "said", ["organisation", "job_id"], unique=False)
    op.create_table(
        "hold",
        sa.Column("id", sa.Integer(), nullable=False, autoincrement=True),
        whole("organisation"),
        words("job_id", 36),
        words("placed_at", 20),
        whole("placed_by"),
        words("reason", 300),
        words("lifted_at", 20, null=True),
        whole("lifted_by", null=True),
        words("lifted_reason", 300, null=True),
        sa.ForeignKeyConstraint(
            ["organisation", "job_id"], ["job.organisation", "job.id"], name="fk_hold_job"
        ),
        sa.ForeignKeyConstraint(
            ["organisation", "placed_by"], ["person.organisation", "person.id"], name="fk_hold_person"
        ),
        sa.PrimaryKeyConstraint("id", name="pk_hold"),
    )
    op.create_index("ix_hold_organisation_job_id", "hold", ["organisation", "job_id"], unique=False)
    op.create_table(
        "sweep",
        sa.Column("record", sa.Integer(), nullable=False, autoincrement=False),
        whole("organisation"),
        words("maker", 300),
        words("model", 300),
        words("serial", 300),
        words("expansion_tank", 300),
        words("place", 300),
        words("worked_on", 10),
        sa.ForeignKeyConstraint(
            ["organisation", "record"], ["record.organisation", "record.id"], name="fk_sweep_record"
        ),
        sa.PrimaryKeyConstraint("record", name="pk_sweep"),
    )
    op.create_index(
        "ix_sweep_organisation_expansion_tank_record",
        "sweep",
        ["organisation", "expansion_tank", "record"],
        unique=False,
    )
    op.create_index(
        "ix_sweep_organisation_model_record", "sweep", ["organisation", "model", "record"], unique=False
    )
    op.create_index(
        "ix_sweep_organisation_maker_model_record",
        "sweep",
        ["organisation", "maker", "model", "record"],
        unique=False,
    )
    op.create_index(
        "ix_sweep_organisation_serial_record", "sweep", ["organisation", "serial", "record"], unique=False
    )
    op.create_table(
        "sweep_finding",
        whole("organisation"),
        words("check_name", 100),
        words("verdict", 20),
        whole("record"),
        sa.ForeignKeyConstraint(
            ["organisation", "record"], ["record.organisation", "record.id"], name="fk_sweep_finding_record"
        ),
        sa.PrimaryKeyConstraint("organisation", "check_name", "verdict", "record", name="pk_sweep_finding"),
    )
    op.create_index(
        "ix_sweep_finding_organisation_record", "sweep_finding", ["organisation", "record"], unique=False
    )
    op.create_table(
        "recheck",
        sa.Column("id", sa.Integer(), nullable=False, autoincrement=True),
        whole("organisation"),
        words("started_at", 20),
        whole("started_by"),
        words("moved_at", 20),
        words("ruleset_digest", 100),
        words("ruleset_version", 100),
        whole("upto"),
        whole("done_to"),
        whole("total"),
        whole("looked"),
        whole("differing"),
        whole("failed"),
        words("finished_at", 20, null=True),
        sa.ForeignKeyConstraint(
            ["organisation", "started_by"], ["person.organisation", "person.id"], name="fk_recheck_person"
        ),
        sa.PrimaryKeyConstraint("id", name="pk_recheck"),
        sa.UniqueConstraint("organisation", "id", name="uq_recheck_organisation_id"),
    )
    op.create_table(
        "recheck_hit",
        whole("organisation"),
        whole("recheck"),
        whole("record"),
        words("change", 200),
        words("what"),
        sa.ForeignKeyConstraint(
            ["organisation", "recheck"], ["recheck.organisation", "recheck.id"], name="fk_recheck_hit_recheck"
        ),
        sa.ForeignKeyConstraint(
            ["organisation", "record"], ["record.organisation", "record.id"], name="fk_recheck_hit_record"
        ),
        sa.PrimaryKeyConstraint("organisation", "recheck", "record", "change", name="pk_recheck_hit"),
    )
    op.create_index(
        "ix_recheck_hit_organisation_recheck_change_record",
        "recheck_hit",
        ["organisation", "recheck", "change", "record"],
        unique=False,
    )
    make_desk()
    op.create_table(
        "invite",
        sa.Column("id", sa.Integer(), nullable=False, autoincrement=True),
        whole("organisation"),
        words("token_hash", 64),
        words("name", 200),
        words("role", 20),
        words("licence", 100),
        words("created_at", 20),
        whole("created_by"),
        words("expires_at", 20),
        words("used_at", 20, null=True),
        whole("person", null=True),
        words("revoked_at", 20, null=True),
        sa.ForeignKeyConstraint(
            ["organisation", "created_by"], ["person.organisation", "person.id"], name="fk_invite_person"
        ),
        sa.PrimaryKeyConstraint("id", name="pk_invite"),
        sa.UniqueConstraint("token_hash", name="uq_invite_token_hash"),
    )
    op.create_index(
        "ix_invite_organisation_created_at", "invite", ["organisation", "created_at"], unique=False
    )
    op.create_table(
        "passkey",
        sa.Column("id", sa.Integer(), nullable=False, autoincrement=True),
        whole("organisation"),
        whole("person"),
        words("credential", 1400),
        sa.Column("public_key", sa.LargeBinary(), nullable=False),
        whole("sign_count"),
        words("name", 100),
        words("created_at", 20),
        words("last_used_at", 20, null=True),
        sa.ForeignKeyConstraint(
            ["organisation", "person"], ["person.organisation", "person.id"], name="fk_passkey_person"
        ),
        sa.PrimaryKeyConstraint("id", name="pk_passkey"),
        sa.UniqueConstraint("credential", name="uq_passkey_credential"),
    )
    op.create_index("ix_passkey_organisation_person", "passkey", ["organisation", "person"], unique=False)
    op.create_table(
        "chore",
        whole("organisation"),
        words("name", 40),
        words("begun_at", 20),
        words("done_at", 20, null=True),
        words("said", 300),
        sa.ForeignKeyConstraint(
            ["organisation"], ["organisation.organisation"], name="fk_chore_organisation"
        ),
        sa.PrimaryKeyConstraint("organisation", "name", name="pk_chore"),
    )
    op.create_table(
        "challenge",
        whole("organisation"),
        words("challenge_hash", 64),
        words("expires_at", 20),
        sa.ForeignKeyConstraint(
            ["organisation"], ["organisation.organisation"], name="fk_challenge_organisation"
        ),
        sa.PrimaryKeyConstraint("organisation", "challenge_hash", name="pk_challenge"),
    )
    op.create_index("ix_challenge_expires_at", "challenge", ["expires_at"], unique=False)
    op.create_table(
        "logo",
        whole("organisation"),
        words("digest", 64),
        sa.Column("body", sa.LargeBinary(), nullable=False),
        words("kept_at", 20),
        sa.ForeignKeyConstraint(["organisation"], ["organisation.organisation"], name="fk_logo_organisation"),
        sa.PrimaryKeyConstraint("organisation", "digest", name="pk_logo"),
    )
    _fill_sweep(op.get_bind())
    for statement in guards(op.get_bind().dialect.name, WRITTEN_ONCE).values():
        op.get_bind().exec_driver_sql(statement)


def _fill_sweep(connection: sa.Connection) -> None:
    """Write the rows of the records that are there, a record at a time: a report is some 100 KB."""
    after = 0
    while found := connection.execute(RECORDS, {"after": after, "step": STEP}).all():
        for organisation, record in found:
            this = {"organisation": organisation, "record": record}
            bodies = dict(connection.execute(BODIES, this).all())
            if bodies.get("job") is not None:
                keep(connection, organisation, record, bodies["job"], bodies.get("report"))
        after = found[-1][1]


def downgrade() -> None:
    if op.get_bind().execute(sa.text("SELECT count(*) FROM void")).scalar():
        raise RuntimeError("records have been voided: their table is not taken away")
    if op.get_bind().execute(sa.text("SELECT count(*) FROM logo")).scalar():
        raise RuntimeError("papers may carry a logo: its table is not taken away")
    for statement in drop_guards(op.get_bind().dialect.name, WRITTEN_ONCE):
        op.get_bind().exec_driver_sql(statement)
    for table in TABLES:
        op.drop_table(table)
