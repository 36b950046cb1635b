"""Values of clauses and how sure they are, in words."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from heaterapp.rules.book import Clause, Table
from heaterapp.rules.units import plain
from heaterapp.sheet.words import unit_shown

SURE = {
    "read": "read in this edition",
    "two_sources": "two sources",
    "carried": "carried from another edition",
    "derived": "derived",
    "memory": "from memory: cannot fail a job",
    "practice": "makers' instructions and trade practice",
}


def value_said(value: Any, unit: str = "") -> str:
    """One value of a clause: a number with its unit, yes or no, words in a row, the title of a table.

    >>> value_said(Decimal(80), "psi"), value_said(True), value_said(("copper", "pvc"))
    ('80 psi', 'yes', 'copper, pvc')
    """
    if isinstance(value, Table):
        return f"table: {value.title} ({value.cited_as})"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Decimal):
        return f"{plain(value)} {unit_shown(unit)}".strip()
    if isinstance(value, tuple):
        return ", ".join(value_said(one) for one in value)
    return str(value).replace("_", " ")


def values_said(clause: Clause) -> dict[str, str]:
    """Every value of a clause by its name, in words."""
    return {name: value_said(value, clause.units.get(name, "")) for name, value in clause.values.items()}
