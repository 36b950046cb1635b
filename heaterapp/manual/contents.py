"""What the manual says of each check, read off the check, the books and the cases."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

from heaterapp.rules import CATALOGUE, TOPICS, book, catalog, place_names
from heaterapp.rules.book import Clause
from heaterapp.sheet.words import TOPICS as TOPIC_WORDS
from heaterapp.sheet.words import figure_words
from heaterapp.sheet.workings import formula_words

from .sayings import SURE, values_said

CASES = Path(__file__).resolve().parent.parent.parent / "tests" / "cases"
"""The case tables stand beside the package in a tree; an installed one has none, and the manual says so."""


@dataclass(frozen=True, slots=True)
class Stated:
    """A clause as one book has it, and the places that go by it."""

    book: str
    section: str
    says: str
    values: tuple[tuple[str, str], ...]
    sure: str
    where: str
    on: str
    carried_from: str
    places: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SideBySide:
    """One clause in every book that has it, and why the others say nothing: reason -> places."""

    ident: str
    stated: tuple[Stated, ...]
    silent: tuple[tuple[str, tuple[str, ...]], ...]


@dataclass(frozen=True, slots=True)
class Worked:
    """A figure that a check rests on."""

    label: str
    formula: str
    source: str


@dataclass(frozen=True, slots=True)
class Entry:
    """One check as the manual has it.

    asked   labels of the questions it rests on, through its figures too
    cases   name and verdict of each case it is tested with
    """

    name: str
    topic: str
    title: str
    reason: str
    remedy: str
    advice: bool
    hazard: bool
    asked: tuple[str, ...]
    figures: tuple[Worked, ...]
    clauses: tuple[SideBySide, ...]
    cases: tuple[tuple[str, str], ...]


def _places() -> list[str]:
    return sorted(set(place_names().values()))


def named(places: list[str]) -> tuple[str, ...]:
    """Places as they are listed: all of them together are "every place"."""
    return ("every place",) if places == _places() else tuple(places)


def _stated(clause: Clause, places: list[str]) -> Stated:
    return Stated(
        clause.book, clause.section, clause.says, tuple(values_said(clause).items()), SURE[clause.confidence],
        clause.where, clause.on, clause.carried_from, named(places),
    )  # fmt: skip


def side_by_side(ident: str) -> SideBySide:
    """One clause in every place: the same words of the same book once, with the places that go by them."""
    stated: dict[str, tuple[Clause, list[str]]] = {}
    silent: dict[str, list[str]] = {}
    for name in _places():
        place = book.place(name)
        clause = place.clauses.get(ident)
        if clause is not None:
            stated.setdefault(clause.book_id, (clause, []))[1].append(name)
        else:
            silent.setdefault(place.silent.get(ident, "not stated"), []).append(name)
    rows = (_stated(clause, places) for _, (clause, places) in sorted(stated.items()))
    return SideBySide(ident, tuple(rows), tuple((why, named(places)) for why, places in silent.items()))


def _clause_ids(check: catalog.Check) -> list[str]:
    figures = catalog.figure_contracts()
    found = list(check.contract.clauses)
    waiting = [one.name for one in check.contract.arguments if one.figure]
    waiting += [one for one in check.contract.when.names if one in figures]
    for name in waiting:
        needs = figures[name][1]
        found.extend(needs.clauses)
        waiting.extend(one.name for one in needs.arguments if one.figure and one.name not in waiting)
    return list(dict.fromkeys(found))


def _figures(check: catalog.Check) -> tuple[Worked, ...]:
    rules = catalog.figure_contracts()
    named = [one.name for one in check.contract.arguments if one.figure]
    own = [(name, rules[name][0]) for name in named]
    return tuple(Worked(figure_words(n).en, formula_words(n, one.formula), one.source) for n, one in own)


def _cases(name: str) -> tuple[tuple[str, str], ...]:
    path = CASES / f"{name}.toml"
    if not path.is_file():
        return ()
    cases: list[dict[str, Any]] = tomllib.loads(path.read_text(encoding="utf-8"))["case"]
    return tuple((one["name"], one["verdict"].replace("_", " ")) for one in cases)


@lru_cache(maxsize=1)
def entries() -> dict[str, Entry]:
    """Every check of the manual by its name, in the order of a job."""
    clauses = lru_cache(maxsize=None)(side_by_side)
    return {
        one.name: Entry(
            one.name, one.topic, one.title, one.reason, one.remedy, one.kind == "advice", one.hazard,
            tuple(CATALOGUE[name].label for name in one.questions if name in CATALOGUE), _figures(one),
            tuple(clauses(ident) for ident in _clause_ids(one)), _cases(one.name),
        )
        for one in catalog.all_checks()
    }  # fmt: skip


def topics() -> list[tuple[str, str, list[Entry]]]:
    """Each topic with its words and its entries, in the order of a job."""
    grouped = {topic: [one for one in entries().values() if one.topic == topic] for topic in TOPICS}
    return [(topic, TOPIC_WORDS[topic].en, found) for topic, found in grouped.items() if found]


@lru_cache(maxsize=1)
def sureness() -> list[tuple[str, str, tuple[int, int, int, int]]]:
    """Each place with its title and how many clauses are read, carried, from memory, and of practice."""
    found = []
    for name in _places():
        place = book.place(name)
        held = [clause.confidence for clause in place.clauses.values()]
        count = held.count
        read, rest = count("read") + count("two_sources"), count("practice") + count("derived")
        found.append((name, place.title, (read, count("carried"), count("memory"), rest)))
    return found
