"""Every record is indexed anew: serials by their last characters, names with and without their apostrophe.

The index is not evidence: it is worked out from the record and its facts, and `verify`
holds it to that. The rule is frozen here, and whoever changes it ships the same step again
under a new number.

Revision ID: 0002
"""

import sqlalchemy as sa
from alembic import op

from heaterapp.archive import dialect
from heaterapp.archive.migrations.the_words import words_of_record

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

STEP = 1000
ROWS = sa.text(
    "SELECT f.record AS record, f.installer AS installer, f.facts AS facts, r.organisation AS organisation,"
    " r.kind AS kind, r.number AS number, r.issued_at AS issued_at"
    " FROM finding f JOIN record r ON r.id = f.record WHERE f.record > :after ORDER BY f.record LIMIT :step"
)
WORDS = sa.text("UPDATE finding SET words = :words WHERE record = :record")


def upgrade() -> None:
    connection = op.get_bind()
    kind = connection.dialect.name
    for statement in dialect.drop_guards(kind, ("finding",)) + dialect.drop_word_index(kind):
        connection.exec_driver_sql(statement)
    after = 0
    while rows := connection.execute(ROWS, {"after": after, "step": STEP}).mappings().all():
        changes = []
        for row in rows:
            changes.append({"record": row["record"], "words": words_of_record(row)})
        connection.execute(WORDS, changes)
        after = rows[-1]["record"]
    for statement in (dialect.guards(kind, ("finding",)) | dialect.word_index(kind)).values():
        connection.exec_driver_sql(statement)
    if kind == "sqlite":
        connection.exec_driver_sql("INSERT INTO finding_words(finding_words) VALUES ('rebuild')")


def downgrade() -> None:
    """The older rule finds by fewer words; more of them do it no harm."""
