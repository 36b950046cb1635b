"""The part of migration 0005 that makes the desk and gives each job its line there; as frozen as it.

A line's words are no evidence: whoever changes the rule they are made by ships the step again.
"""

import json

import sqlalchemy as sa
from alembic import op

from heaterapp.archive.migrations.the_words import line_of

LINES_BY = (
    *(("opened_at", "job_id"), ("state", "opened_at", "job_id"), ("stage", "opened_at", "job_id")),
    *(("installer", "opened_at", "job_id"), ("state", "day"), ("permit_expires_on",)),
)
STEP = 1000
JOBS = sa.text(
    "SELECT organisation, id, answers, state, installer, created_at FROM job WHERE organisation > :firm"
    " OR (organisation = :firm AND id > :after) ORDER BY organisation, id LIMIT :step"
)
DESK = sa.text(
    "INSERT INTO desk_line (organisation, job_id, opened_at, state, installer, stage, day, heater_kind,"
    " address, owner, words) VALUES (:organisation, :id, :created_at, :state, :installer, '', :day,"
    " :heater_kind, :address, :owner, :words)"
)


def whole(name: str, null: bool = False) -> sa.Column:
    return sa.Column(name, sa.Integer(), nullable=null)


def words(name: str, length: int | None = None, null: bool = False) -> sa.Column:
    return sa.Column(name, sa.String(length) if length else sa.Text(), nullable=null)


def of_job(table: str) -> sa.ForeignKeyConstraint:
    return sa.ForeignKeyConstraint(
        ["organisation", "job_id"], ["job.organisation", "job.id"], name=f"fk_{table}_job"
    )


def make_desk() -> None:
    """Make the tables of the desk, and a line for each job that is here already."""
    op.create_table(
        "desk_line",
        whole("organisation"),
        words("job_id", 36),
        words("opened_at", 20),
        words("state", 20),
        whole("installer", null=True),
        words("stage", 20),
        words("day", 10, null=True),
        words("permit_issued_on", 10, null=True),
        words("permit_expires_on", 10, null=True),
        words("final_on", 10, null=True),
        words("heater_kind", 40),
        *(words(name) for name in ("address", "owner", "words")),
        of_job("desk_line"),
        sa.PrimaryKeyConstraint("organisation", "job_id", name="pk_desk_line"),
    )
    for columns in LINES_BY:
        name = "_".join(("ix_desk_line_organisation", *columns))
        op.create_index(name, "desk_line", ["organisation", *columns], unique=False)
    put_on_the_desk(op.get_bind())
    op.create_table(
        "desk",
        whole("organisation"),
        words("job_id", 36),
        whole("revision"),
        words("updated_at", 20),
        *(words(name) for name in ("facts", "changes")),
        of_job("desk"),
        sa.PrimaryKeyConstraint("organisation", "job_id", name="pk_desk"),
    )
    op.create_table(
        "inspection",
        sa.Column("id", sa.Integer(), nullable=False, autoincrement=True),
        whole("organisation"),
        words("job_id", 36),
        words("booked_for", 10),
        words("result", 20),
        words("result_on", 10, null=True),
        whole("open_items"),
        whole("revision"),
        words("facts"),
        words("asked"),
        words("created_at", 20),
        whole("created_by"),
        words("updated_at", 20),
        of_job("inspection"),
        sa.ForeignKeyConstraint(
            ["organisation", "created_by"], ["person.organisation", "person.id"], name="fk_inspection_person"
        ),
        sa.PrimaryKeyConstraint("id", name="pk_inspection"),
    )
    for columns in (("job_id",), ("result", "booked_for"), ("result_on",)):
        name = "_".join(("ix_inspection_organisation", *columns))
        op.create_index(name, "inspection", ["organisation", *columns], unique=False)


def put_on_the_desk(connection: sa.Connection) -> None:
    """Give each job that is here already its line, so that the desk finds it."""
    firm, after = -1, ""
    while rows := connection.execute(JOBS, {"firm": firm, "after": after, "step": STEP}).mappings().all():
        made = []
        for row in rows:
            answers = json.loads(row["answers"])
            line = {name: row[name] for name in ("organisation", "id", "created_at", "state", "installer")}
            made.append({**line, **line_of(answers)})
        connection.execute(DESK, made)
        firm, after = rows[-1]["organisation"], rows[-1]["id"]
