"""All rows of a table, or those of one organisation: what verify goes through."""

from sqlalchemy import Select, Table, select


def rows_of(table: Table, only: int | None) -> Select:
    """Return the query for a table's rows; those of the organisation `only` where it is one."""
    return select(table) if only is None else select(table).where(table.c.organisation == only)
