"""Run by Alembic with the connection the archive hands over, inside its transaction."""

from alembic import context

from heaterapp.archive.tables import metadata


def is_ours(name: str | None, _kind: str, _parents: object) -> bool:
    """Leave out the word index's own tables."""
    return not (name and name.startswith(("finding_words", "ix_finding_words")))


context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=metadata,
    include_name=is_ours,
    render_as_batch=True,
    transactional_ddl=True,
)
with context.begin_transaction():
    context.run_migrations()
