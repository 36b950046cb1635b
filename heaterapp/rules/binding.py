"""Meets the contracts of checks and figures with the clauses of a place."""

from __future__ import annotations

from functools import lru_cache
from typing import Any, NamedTuple

from .amendments import amended
from .book import Clause, Place, place_names
from .book import place as find_place
from .catalog import Contract, all_checks, figure_contracts

SECTION = "_section"
"""How an argument ends that is told the section of a named clause; None where the place has none."""


class Bound(NamedTuple):
    """A contract met with one place's clauses: the values found there, or None when the book is silent."""

    values: dict[str, Any] | None
    clause: Clause | None


@lru_cache(maxsize=64)
def bindings(place_name: str) -> tuple[Place, dict[str, Bound], dict[str, Bound]]:
    """A place, and every check and figure met with its clauses, by name.

    raises  UnknownPlace
    """
    return _bound(find_place(place_name))


@lru_cache(maxsize=64)
def amended_bindings(stored: str) -> tuple[Place, dict[str, Bound], dict[str, Bound]]:
    """The same for a place with an organisation's amendments, in their stored form."""
    return _bound(amended(stored))


def _bound(place: Place) -> tuple[Place, dict[str, Bound], dict[str, Bound]]:
    checks = {one.name: _citing(one.contract, place) for one in all_checks()}
    figures = {name: _bind(needs, place) for name, (_, needs) in figure_contracts().items()}
    return place, checks, figures


def _bind(needs: Contract, place: Place) -> Bound:
    present = [place.clauses[c] for c in needs.clauses if c in place.clauses]
    cited = present[0] if present else None
    found: dict[str, Any] = {}
    for wanted in needs.values:
        holder = next((c for c in present if wanted.name in c.values), None)
        if holder is not None:
            found[wanted.name] = holder.values[wanted.name]
        elif wanted.name.endswith(SECTION):
            key = wanted.name.removesuffix(SECTION)
            found[wanted.name] = next((c.section for c in present if c.id.endswith(f".{key}")), None)
        elif wanted.required:
            return Bound(None, cited)
    if needs.clauses and not needs.values and needs.clauses[0] not in place.clauses:
        return Bound(None, cited)
    return Bound(found, cited)


def _citing(needs: Contract, place: Place) -> Bound:
    """A check must have a section to cite: with none of its clauses stated it is silent."""
    bound = _bind(needs, place)
    return Bound(None, None) if needs.clauses and bound.clause is None else bound


def prepare() -> None:
    """Read every book and place now: later changes on disk must not judge under this digest."""
    for name in sorted(set(place_names().values())):
        bindings(name)
