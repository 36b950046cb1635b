"""PostgreSQL: what is written once is not emptied by TRUNCATE either.

Revision ID: 0006
"""

from alembic import op

from heaterapp.archive.dialect import truncate_guards

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None

WRITTEN_ONCE = (
    "log", "ruleset", "record", "payload", "submission", "finding", "void", "sweep", "sweep_finding", "logo",
)  # fmt: skip


def upgrade() -> None:
    for statement in truncate_guards(op.get_bind().dialect.name, WRITTEN_ONCE).values():
        op.get_bind().exec_driver_sql(statement)


def downgrade() -> None:
    for name in truncate_guards(op.get_bind().dialect.name, WRITTEN_ONCE):
        op.get_bind().exec_driver_sql(f"DROP FUNCTION {name}() CASCADE")
