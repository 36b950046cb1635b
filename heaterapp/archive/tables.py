"""The tables as the program sees them. `migrations` makes them; a test keeps the two equal.

Rows of RECORDED tables are written once. The rest are working rows.
"""


from sqlalchemy import (
    BigInteger,
    Boolean,
    Column,
    ForeignKeyConstraint,
    Index,
    LargeBinary,
    MetaData,
    PrimaryKeyConstraint,
    Table,
    UniqueConstraint,
    false,
)

from heaterapp.archive.columns import Whole
from heaterapp.archive.columns import own_id as _id
from heaterapp.archive.columns import text as _text
from heaterapp.archive.columns import whole as _whole

metadata = MetaData(
    naming_convention={
        "pk": "pk_%(table_name)s",
        "fk": "fk_%(table_name)s_%(referred_table_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    }
)


def _of(*names: str, to: str) -> ForeignKeyConstraint:
    table = to.partition(".")[0]
    targets = [f"{table}.{column}" for column in to.partition(".")[2].split(",")]
    return ForeignKeyConstraint(names, targets)


organisation = Table(
    "organisation",
    metadata,
    Column("organisation", Whole, nullable=False, autoincrement=True),
    _text("slug", 64),
    _text("name", 200),
    _text("licence", 100),
    _text("phone", 100),
    _text("address", 300),
    _text("settings"),
    PrimaryKeyConstraint("organisation"),
    UniqueConstraint("slug"),
)

person = Table(
    "person",
    metadata,
    _id(),
    _whole("organisation"),
    _text("login", 100),
    _text("name", 200),
    _text("role", 20),
    _text("licence", 100),
    _text("password_hash", 300),
    Column("disabled", Boolean(create_constraint=False), nullable=False, server_default=false()),
    _text("created_at", 20),
    PrimaryKeyConstraint("id"),
    UniqueConstraint("organisation", "login"),
    UniqueConstraint("organisation", "id"),
    _of("organisation", to="organisation.organisation"),
)

session = Table(
    "session",
    metadata,
    _id(),
    _whole("organisation"),
    _whole("person"),
    _text("token_hash", 64),
    _text("device", 300),
    _text("created_at", 20),
    _text("last_seen_at", 20),
    _text("expires_at", 20),
    _text("ended_at", 20, null=True),
    PrimaryKeyConstraint("id"),
    UniqueConstraint("token_hash"),
    _of("organisation", "person", to="person.organisation,id"),
    Index(None, "organisation", "person"),
)

throttle = Table(
    "throttle",
    metadata,
    _whole("organisation"),
    _text("kind", 20),
    _text("subject_hash", 64),
    _whole("failures"),
    Column("last_at", BigInteger, nullable=False),
    Column("blocked_until", BigInteger, nullable=False),
    PrimaryKeyConstraint("organisation", "kind", "subject_hash"),
    _of("organisation", to="organisation.organisation"),
    Index(None, "last_at"),
)

job = Table(
    "job",
    metadata,
    _whole("organisation"),
    _text("id", 36),
    _whole("installer", null=True),
    _text("answers"),
    _text("answer_revisions"),
    _text("signature", null=True),
    _whole("signature_revision", null=True),
    _text("state", 20),
    _whole("revision"),
    _text("created_at", 20),
    _text("updated_at", 20),
    PrimaryKeyConstraint("organisation", "id"),
    _of("organisation", to="organisation.organisation"),
    _of("organisation", "installer", to="person.organisation,id"),
    Index(None, "organisation", "updated_at", "id"),
    Index(None, "organisation", "installer", "updated_at", "id"),
)

counter = Table(
    "counter",
    metadata,
    _whole("organisation"),
    _text("kind", 20),
    _whole("last"),
    PrimaryKeyConstraint("organisation", "kind"),
    _of("organisation", to="organisation.organisation"),
)

log_head = Table(
    "log_head",
    metadata,
    _whole("organisation"),
    _whole("seq"),
    _text("digest", 64),
    PrimaryKeyConstraint("organisation"),
    _of("organisation", to="organisation.organisation"),
)

log = Table(
    "log",
    metadata,
    _whole("organisation"),
    _whole("seq"),
    _text("at", 20),
    _text("act", 20),
    _whole("actor", null=True),
    _whole("record", null=True),
    _text("body"),
    _text("previous", 64),
    _text("digest", 64),
    PrimaryKeyConstraint("organisation", "seq"),
    UniqueConstraint("organisation", "digest"),
    _of("organisation", to="organisation.organisation"),
    Index(None, "organisation", "record", "seq"),
    Index(None, "organisation", "act", "seq"),
)

ruleset = Table(
    "ruleset",
    metadata,
    _whole("organisation"),
    _text("digest", 100),
    _text("version", 100),
    Column("body", LargeBinary, nullable=False),
    PrimaryKeyConstraint("organisation", "digest"),
    _of("organisation", to="organisation.organisation"),
)

record = Table(
    "record",
    metadata,
    _id(),
    _whole("organisation"),
    _text("number", 32),
    _text("kind", 20),
    _whole("serial"),
    _text("job_id", 36),
    _whole("revision"),
    _whole("supersedes", null=True),
    _text("issued_at", 20),
    _whole("issued_by"),
    _text("ruleset_digest", 100),
    _text("ruleset_version", 100),
    _text("previous_head", 64),
    _text("content_digest", 64),
    _text("check_code", 20),
    PrimaryKeyConstraint("id"),
    UniqueConstraint("organisation", "id"),
    UniqueConstraint("organisation", "number"),
    UniqueConstraint("organisation", "kind", "serial"),
    UniqueConstraint("organisation", "job_id", "kind", "revision"),
    UniqueConstraint("organisation", "supersedes"),
    _of("organisation", "job_id", to="job.organisation,id"),
    _of("organisation", "issued_by", to="person.organisation,id"),
    _of("organisation", "supersedes", to="record.organisation,id"),
    _of("organisation", "ruleset_digest", to="ruleset.organisation,digest"),
    Index(None, "number"),
)

payload = Table(
    "payload",
    metadata,
    _whole("organisation"),
    _whole("record"),
    _text("name", 64),
    Column("salt", LargeBinary, nullable=True),
    Column("body", LargeBinary, nullable=True),
    _text("digest", 64),
    PrimaryKeyConstraint("organisation", "record", "name"),
    _of("organisation", "record", to="record.organisation,id"),
)

submission = Table(
    "submission",
    metadata,
    _whole("organisation"),
    _text("key", 100),
    _whole("record"),
    PrimaryKeyConstraint("organisation", "key"),
    UniqueConstraint("organisation", "record"),
    _of("organisation", "record", to="record.organisation,id"),
)

pending = Table(
    "pending",
    metadata,
    _whole("organisation"),
    _whole("record"),
    PrimaryKeyConstraint("organisation", "record"),
    _of("organisation", "record", to="record.organisation,id"),
)

finding = Table(
    "finding",
    metadata,
    Column("record", Whole, nullable=False, autoincrement=False),
    _whole("organisation"),
    _whole("installer", null=True),
    _text("facts"),
    _text("words"),
    PrimaryKeyConstraint("record"),
    _of("organisation", "record", to="record.organisation,id"),
)

share = Table(
    "share",
    metadata,
    _id(),
    _whole("organisation"),
    _whole("record"),
    _text("token_hash", 64),
    _text("created_at", 20),
    _whole("created_by", null=True),
    _text("expires_at", 20, null=True),
    _text("revoked_at", 20, null=True),
    PrimaryKeyConstraint("id"),
    UniqueConstraint("token_hash"),
    _of("organisation", "record", to="record.organisation,id"),
    Index(None, "organisation", "record"),
)

RECORDED = ("log", "ruleset", "record", "payload", "submission", "finding")
