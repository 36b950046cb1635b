"""The tables of the office: voids, holds, what a sweep looks up, rechecks, the desk, invitations, passkeys.

`void`, `said`, `sweep`, `sweep_finding` and `logo` are written once; a hold is held against its log entries
as a share is; the rest are working rows.
"""

from sqlalchemy import (
    Column,
    ForeignKeyConstraint,
    Index,
    LargeBinary,
    PrimaryKeyConstraint,
    Table,
    Text,
    UniqueConstraint,
)

from heaterapp.archive.columns import Whole
from heaterapp.archive.columns import mark as _mark
from heaterapp.archive.columns import own_id as _id
from heaterapp.archive.columns import text as _text
from heaterapp.archive.columns import whole as _whole
from heaterapp.archive.tables import metadata


def _of(table: str, column: str) -> ForeignKeyConstraint:
    return ForeignKeyConstraint(["organisation", column], [f"{table}.organisation", f"{table}.id"])


void = Table(
    "void",
    metadata,
    _whole("organisation"),
    _whole("record"),
    _text("voided_at", 20),
    _whole("voided_by"),
    _whole("entry"),
    PrimaryKeyConstraint("organisation", "record"),
    _of("record", "record"),
    _of("person", "voided_by"),
)

said = Table(
    "said",
    metadata,
    _whole("organisation"),
    _whole("seq"),
    _text("name", 20),
    _whole("record", null=True),
    _text("job_id", 36, null=True),
    Column("salt", LargeBinary, nullable=True),
    Column("body", Text, nullable=True),
    PrimaryKeyConstraint("organisation", "seq", "name"),
    ForeignKeyConstraint(["organisation"], ["organisation.organisation"]),
    Index(None, "organisation", "record"),
    Index(None, "organisation", "job_id"),
)

hold = Table(
    "hold",
    metadata,
    _id(),
    _whole("organisation"),
    _text("job_id", 36),
    _text("placed_at", 20),
    _whole("placed_by"),
    _text("reason", 300),
    _text("lifted_at", 20, null=True),
    _whole("lifted_by", null=True),
    _text("lifted_reason", 300, null=True),
    PrimaryKeyConstraint("id"),
    _of("job", "job_id"),
    _of("person", "placed_by"),
    Index(None, "organisation", "job_id"),
)

sweep = Table(
    "sweep",
    metadata,
    Column("record", Whole, nullable=False, autoincrement=False),
    _whole("organisation"),
    _mark("maker", 300),
    _mark("model", 300),
    _mark("serial", 300),
    _text("expansion_tank", 300),
    _text("place", 300),
    _text("worked_on", 10),
    PrimaryKeyConstraint("record"),
    _of("record", "record"),
    Index(None, "organisation", "model", "record"),
    Index(None, "organisation", "maker", "model", "record"),
    Index(None, "organisation", "serial", "record"),
    Index(None, "organisation", "expansion_tank", "record"),
)

sweep_finding = Table(
    "sweep_finding",
    metadata,
    _whole("organisation"),
    _text("check_name", 100),
    _text("verdict", 20),
    _whole("record"),
    PrimaryKeyConstraint("organisation", "check_name", "verdict", "record"),
    _of("record", "record"),
    Index(None, "organisation", "record"),
)

recheck = Table(
    "recheck",
    metadata,
    _id(),
    _whole("organisation"),
    _text("started_at", 20),
    _whole("started_by"),
    _text("moved_at", 20),
    _text("ruleset_digest", 100),
    _text("ruleset_version", 100),
    _whole("upto"),
    _whole("done_to"),
    _whole("total"),
    _whole("looked"),
    _whole("differing"),
    _whole("failed"),
    _text("finished_at", 20, null=True),
    PrimaryKeyConstraint("id"),
    UniqueConstraint("organisation", "id"),
    _of("person", "started_by"),
)

recheck_hit = Table(
    "recheck_hit",
    metadata,
    _whole("organisation"),
    _whole("recheck"),
    _whole("record"),
    _text("change", 200),
    _text("what"),
    PrimaryKeyConstraint("organisation", "recheck", "record", "change"),
    _of("recheck", "recheck"),
    _of("record", "record"),
    Index(None, "organisation", "recheck", "change", "record"),
)

desk_line = Table(
    "desk_line",
    metadata,
    _whole("organisation"),
    _text("job_id", 36),
    _text("opened_at", 20),
    _text("state", 20),
    _whole("installer", null=True),
    _text("stage", 20),
    _text("day", 10, null=True),
    _text("permit_issued_on", 10, null=True),
    _text("permit_expires_on", 10, null=True),
    _text("final_on", 10, null=True),
    _text("heater_kind", 40),
    _text("address"),
    _text("owner"),
    _text("words"),
    PrimaryKeyConstraint("organisation", "job_id"),
    _of("job", "job_id"),
    Index(None, "organisation", "opened_at", "job_id"),
    Index(None, "organisation", "state", "opened_at", "job_id"),
    Index(None, "organisation", "stage", "opened_at", "job_id"),
    Index(None, "organisation", "installer", "opened_at", "job_id"),
    Index(None, "organisation", "state", "day"),
    Index(None, "organisation", "permit_expires_on"),
)

desk = Table(
    "desk",
    metadata,
    _whole("organisation"),
    _text("job_id", 36),
    _whole("revision"),
    _text("updated_at", 20),
    _text("facts"),
    _text("changes"),
    PrimaryKeyConstraint("organisation", "job_id"),
    _of("job", "job_id"),
)

inspection = Table(
    "inspection",
    metadata,
    _id(),
    _whole("organisation"),
    _text("job_id", 36),
    _text("booked_for", 10),
    _text("result", 20),
    _text("result_on", 10, null=True),
    _whole("open_items"),
    _whole("revision"),
    _text("facts"),
    _text("asked"),
    _text("created_at", 20),
    _whole("created_by"),
    _text("updated_at", 20),
    PrimaryKeyConstraint("id"),
    _of("job", "job_id"),
    _of("person", "created_by"),
    Index(None, "organisation", "job_id"),
    Index(None, "organisation", "result", "booked_for"),
    Index(None, "organisation", "result_on"),
)

invite = Table(
    "invite",
    metadata,
    _id(),
    _whole("organisation"),
    _text("token_hash", 64),
    _text("name", 200),
    _text("role", 20),
    _text("licence", 100),
    _text("created_at", 20),
    _whole("created_by"),
    _text("expires_at", 20),
    _text("used_at", 20, null=True),
    _whole("person", null=True),
    _text("revoked_at", 20, null=True),
    PrimaryKeyConstraint("id"),
    UniqueConstraint("token_hash"),
    _of("person", "created_by"),
    Index(None, "organisation", "created_at"),
)

passkey = Table(
    "passkey",
    metadata,
    _id(),
    _whole("organisation"),
    _whole("person"),
    _text("credential", 1400),
    Column("public_key", LargeBinary, nullable=False),
    _whole("sign_count"),
    _text("name", 100),
    _text("created_at", 20),
    _text("last_used_at", 20, null=True),
    PrimaryKeyConstraint("id"),
    UniqueConstraint("credential"),
    _of("person", "person"),
    Index(None, "organisation", "person"),
)

chore = Table(
    "chore",
    metadata,
    _whole("organisation"),
    _text("name", 40),
    _text("begun_at", 20),
    _text("done_at", 20, null=True),
    _text("said", 300),
    PrimaryKeyConstraint("organisation", "name"),
    ForeignKeyConstraint(["organisation"], ["organisation.organisation"]),
)

challenge = Table(
    "challenge",
    metadata,
    _whole("organisation"),
    _text("challenge_hash", 64),
    _text("expires_at", 20),
    PrimaryKeyConstraint("organisation", "challenge_hash"),
    ForeignKeyConstraint(["organisation"], ["organisation.organisation"]),
    Index(None, "expires_at"),
)

logo = Table(
    "logo",
    metadata,
    _whole("organisation"),
    _text("digest", 64),
    Column("body", LargeBinary, nullable=False),
    _text("kept_at", 20),
    PrimaryKeyConstraint("organisation", "digest"),
    ForeignKeyConstraint(["organisation"], ["organisation.organisation"]),
)

RECORDED = ("void", "said", "sweep", "sweep_finding", "logo")
