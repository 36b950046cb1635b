"""What the ZIP of a whole organisation is made of, for writing and reading alike."""

import re
from functools import cache

from alembic.script import ScriptDirectory
from sqlalchemy import Column, LargeBinary, Table

from heaterapp.archive import blob_tables, office_tables, phone_tables, seal_tables, tables
from heaterapp.archive.database import configuration
from heaterapp.archive.tables import metadata

FORMAT, VERSION = "heaterapp organisation", 1
MANIFEST, SUMS = "manifest.json", "SHA256SUMS"
STAY = (
    tables.session, tables.throttle, office_tables.chore, office_tables.invite, office_tables.passkey,
    office_tables.challenge, blob_tables.loose_blob, seal_tables.seal_key,
)  # fmt: skip
"""Sign-ins, what lives for a while only, notes of bodies to be swept, the private key of the seal: none goes
along. Whoever takes a firm in makes a key there: two places must not seal as one."""
BODIES = (tables.payload, tables.ruleset, phone_tables.upload, office_tables.logo)
"""Tables with a `body` that is a member of its own."""
MEMBER = re.compile(r"tables/([a-z_]{1,40})\.jsonl|(payload|ruleset|upload|logo)/[0-9a-f]{64}")


def moved() -> list[Table]:
    """Return the tables that go along, each after those it points at."""
    return [table for table in metadata.sorted_tables if table not in STAY]


def lines_of(table: Table) -> str:
    return f"tables/{table.name}.jsonl"


def is_member(column: Column) -> bool:
    """Say whether this column's bytes are a member of their own; other bytes stand in the line, in hex."""
    return isinstance(column.type, LargeBinary) and column.name == "body"


@cache
def tables_of() -> str:
    """Return the revision of the tables that this program has."""
    return str(ScriptDirectory.from_config(configuration()).get_current_head())
