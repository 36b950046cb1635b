"""The kinds of column that the archive's tables are made of."""

from typing import Any

from sqlalchemy import Column, Integer, String, Text, TypeDecorator

LARGEST_WHOLE = 2**31 - 1
NO_ROW = -1


class Whole(TypeDecorator):
    """A whole number; anything else stands for a row nobody has, so an absurd id is just not found."""

    impl = Integer
    cache_ok = True

    def process_bind_param(self, value: Any, dialect: object) -> int | None:
        if value is None or (isinstance(value, int) and abs(value) <= LARGEST_WHOLE):
            return value
        return NO_ROW


def mark(name: str, length: int) -> Column:
    """A text that is looked up by how it begins: PostgreSQL sorts it by character codes, as SQLite does."""
    by_codes = String(length).with_variant(String(length, collation="C"), "postgresql")
    return Column(name, by_codes, nullable=False)


def whole(name: str, null: bool = False) -> Column:
    return Column(name, Whole, nullable=null)


def text(name: str, length: int | None = None, null: bool = False) -> Column:
    return Column(name, String(length) if length else Text, nullable=null)


def own_id() -> Column:
    return Column("id", Whole, nullable=False, autoincrement=True)
