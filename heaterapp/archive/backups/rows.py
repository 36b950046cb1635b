"""The rows of every table in a fixed order, a few at a time, whole."""

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from typing import Any

from sqlalchemy import Connection, LargeBinary, String, Table, func, insert, select

from heaterapp.archive import office_tables, phone_tables, tables
from heaterapp.archive.backups.refused import BackupRefused, BodyMissing
from heaterapp.archive.blob_tables import loose_blob
from heaterapp.archive.tables import metadata

ROWS, ROWS_WITH_BODIES = 1000, 20
AT_ONCE = 8
Rows = list[dict[str, Any]]
Fetch = Callable[[str], bytes | None]
"""Gives the body that lies in the blob store under a digest, None where there is none."""

PASSING = (tables.session, tables.throttle, office_tables.chore, office_tables.invite, loose_blob)
"""What lives for a while only: sign-ins, guesses, invitations, who makes what.

A restore ends it; nobody compares it.
"""

__all__ = ["PASSING", "counts", "every_table", "in_store", "insert_all", "key_of", "stored"]


def every_table() -> list[Table]:
    """Return all tables, each after those it points at."""
    assert phone_tables.upload is not None  # noqa: S101 - its tables belong to the same metadata
    return list(metadata.sorted_tables)


def key_of(table: Table) -> list[str]:
    return [column.name for column in table.primary_key.columns]


def stored(
    connection: Connection, table: Table, fetch: Fetch | None = None
) -> Iterator[list[dict[str, Any]]]:
    """Give a table's rows by key, a list at a time; bodies out of the blob store where `fetch` is given."""
    heavy = any(isinstance(column.type, LargeBinary) for column in table.c)
    order = [_by_bytes(connection, column) for column in table.primary_key.columns]
    query = select(table).order_by(*order)
    options = {"yield_per": ROWS_WITH_BODIES if heavy else ROWS}
    with connection.execute(query, execution_options=options) as found:
        for some in found.partitions():
            batch = [dict(row._mapping) for row in some]
            if table is tables.payload and fetch is not None:
                away = list(filter(in_store, batch))
                bodies = bodies_of(fetch, [row["digest"] for row in away])
                for row, body in zip(away, bodies, strict=True):
                    row["body"] = body
            yield batch


def _by_bytes(connection: Connection, column: Any) -> Any:
    # PostgreSQL sorts text by the language of the place unless told otherwise.
    if connection.dialect.name != "sqlite" and isinstance(column.type, String):
        return column.collate("C")
    return column


def bodies_of(fetch: Fetch, digests: Sequence[str]) -> list[bytes]:
    """Return bodies out of the blob store, several asked for at once. Raises BodyMissing."""
    if not digests:
        return []
    with ThreadPoolExecutor(min(AT_ONCE, len(digests))) as several:
        bodies = list(several.map(fetch, digests))
    for digest, body in zip(digests, bodies, strict=True):
        if body is None:
            raise BodyMissing(f"The body {digest[:16]} is not in the blob store: 'verify' names whose it is")
    return bodies


def in_store(row: dict[str, Any]) -> bool:
    """Say whether the body of a payload row lies in the blob store."""
    return row["salt"] is not None and row["body"] is None


def insert_all(connection: Connection, table: Table, batch: Rows) -> None:
    if batch:
        connection.execute(insert(table), batch)


def counts(connection: Connection) -> dict[str, int]:
    """Return the number of rows of every table."""
    return {
        table.name: connection.execute(select(func.count()).select_from(table)).scalar_one()
        for table in every_table()
    }


def nowhere(digest: str) -> bytes:
    """Stand for a blob store where none is set."""
    raise BackupRefused(
        f"A body ({digest[:12]}) lies in the blob store, and no blob store is set here:"
        " say the same settings as 'serve' has"
    )
