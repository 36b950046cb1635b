"""Indexes of each firm's records by month and by day of the work, for days asked for without a word.

Revision ID: 0008
"""

from alembic import op

revision = "0008"
down_revision = "0007"
branch_labels = None
depends_on = None

# Frozen: what `facts` holds of the day, not read as JSON, which what is damaged may no longer be.
AFTER = """substr(facts, instr(facts, '"work_date":"') + 13, {})"""
MONTH, DAY = AFTER.format(7), AFTER.format(10)
TIMES = {
    "sqlite": {
        "month": f"CASE WHEN {MONTH} GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]' THEN {MONTH} ELSE '' END",
        "day": DAY,
    },
    "postgresql": {
        "month": """coalesce(substring(facts from '"work_date":"([0-9]{4}-[0-9]{2})'), '')""",
        "day": """substring(facts from '"work_date":"([0-9]{4}-[0-9]{2}-[0-9]{2})')""",
    },
}


def upgrade() -> None:
    connection = op.get_bind()
    for part, time in TIMES[connection.dialect.name].items():
        connection.exec_driver_sql(
            f"CREATE INDEX ix_finding_{part} ON finding (organisation, ({time}), record)"
        )


def downgrade() -> None:
    for part in ("month", "day"):
        op.get_bind().exec_driver_sql(f"DROP INDEX ix_finding_{part}")
