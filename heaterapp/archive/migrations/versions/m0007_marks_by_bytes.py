"""PostgreSQL sorts a heater's marks by character codes: a sweep by model goes by an index there too.

Revision ID: 0007
"""

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None

MARKS = ("maker", "model", "serial")


def _collated(collation: str | None) -> None:
    if op.get_bind().dialect.name == "postgresql":
        for name in MARKS:
            op.alter_column("sweep", name, type_=sa.String(300, collation=collation), existing_nullable=False)


def upgrade() -> None:
    _collated("C")


def downgrade() -> None:
    _collated(None)
