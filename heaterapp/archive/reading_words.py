"""A word looked for in the words of one record, where no index is asked."""

from sqlalchemy import ColumnElement, bindparam, func, literal

from heaterapp.archive.tables import finding
from heaterapp.archive.words import Word

_padded = literal(" ") + finding.c.words + " "


def has(dialect: str, name: str) -> ColumnElement:
    """The condition, on a row of `finding`, that it has the word whose `pattern` is bound by that name."""
    place = func.instr if dialect == "sqlite" else func.strpos
    return place(_padded, bindparam(name)) > 0


def pattern(word: Word) -> str:
    """Return what stands in the words of a record, with spaces around, when it has this word."""
    return f" {word.text}" if word.begins else f" {word.text} "
