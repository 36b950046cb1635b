"""The step of migration 0005 that gives each job its row on the desk; with it as frozen as the migration.

The row's words are no evidence: whoever changes the rule they are made by ships the step again.
"""

import json

import sqlalchemy as sa

from heaterapp.archive.desk_line import day_of, words_of

STEP = 1000
JOBS = sa.text(
    "SELECT organisation, id, answers, state, installer, created_at FROM job WHERE organisation > :firm"
    " OR (organisation = :firm AND id > :after) ORDER BY organisation, id LIMIT :step"
)
DESK = sa.text(
    "INSERT INTO desk (organisation, job_id, opened_at, state, installer, stage, day, words, revision,"
    " updated_at, facts, changes) VALUES (:organisation, :id, :created_at, :state, :installer, '', :day,"
    " :words, 1, :created_at, '{}', '[]')"
)


def put_on_the_desk(connection: sa.Connection) -> None:
    """Give each job that is here already its row, so that the desk finds it."""
    firm, after = -1, ""
    while rows := connection.execute(JOBS, {"firm": firm, "after": after, "step": STEP}).mappings().all():
        made = []
        for row in rows:
            answers = json.loads(row["answers"])
            line = {name: row[name] for name in ("organisation", "id", "created_at", "state", "installer")}
            made.append({**line, "words": words_of(answers, {}), "day": day_of(answers, {})})
        connection.execute(DESK, made)
        firm, after = rows[-1]["organisation"], rows[-1]["id"]
