"""Books and places: clause -> values, section, where it was read and how sure we are.

A book is a folder, `codes/books/<name>/`: `book.toml` says what it is, and one
file a topic states its clauses, complete in itself. A place lists its books and
may overlay clauses with a citation of its own. Nothing inherits between editions.
What a place, or a book of amendments, names under `[silent]` is struck from the
books after it: the town or state does not ask it.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from typing import Any

CONFIDENCE = ("read", "two_sources", "carried", "derived", "memory", "practice")


class UnknownPlace(ValueError):
    """No place of that name comes with the program."""


@dataclass(frozen=True, slots=True, eq=False)
class Table:
    """One printed table: rows of cells, each with the confidence it was read with.

    disputed  cells that two prints have differently: what names the cell, and the `other` value
    """

    name: str
    title: str
    cited_as: str
    source: str
    unit: str
    confidence: str
    rows: tuple[Mapping[str, Any], ...]
    disputed: tuple[Mapping[str, Any], ...] = ()


@dataclass(frozen=True, slots=True)
class Clause:
    """What one book says on one matter.

    id           topic.name
    section      the section number as that book prints it
    says         our paraphrase
    values       name -> Decimal, bool, str, tuple or Table
    units        name -> unit of the value, "" where it has none
    where, on    where and when it was read
    confidence   read, two_sources, carried, derived, memory or practice
    carried_from the edition it was read in, when carried
    retroactive  it binds installations that were there before: "" (no), "all", or "homes"
    book         printed title; `book_id` its folder
    """

    id: str
    section: str
    says: str
    values: Mapping[str, Any]
    units: Mapping[str, str]
    where: str
    on: str
    confidence: str
    carried_from: str
    retroactive: str
    book: str
    book_id: str


UNCITED = Clause("", "", "", {}, {}, "", "", "", "", "", "", "")


class Place:
    """A jurisdiction: its books in order, its own changes first."""

    def __init__(
        self,
        name: str,
        title: str,
        clauses: Mapping[str, Clause],
        silent: Mapping[str, str],
        about: Mapping[str, Any],
    ) -> None:
        self.name = name
        self.title = title
        self.clauses = clauses
        self.silent = silent
        self.about = about


def _codes() -> Traversable:
    return files(__package__).joinpath("codes")


def books_folder() -> Traversable:
    """Where the published editions stand, a folder each."""
    return _codes().joinpath("books")


def book_ids() -> list[str]:
    """Every published edition that comes with the program."""
    folders = (one for one in books_folder().iterdir() if one.is_dir())
    return sorted(one.name for one in folders if not one.name.startswith("_"))


def _toml(path: Traversable) -> dict[str, Any]:
    return tomllib.loads(path.read_text(encoding="utf-8"), parse_float=Decimal)


@cache
def table(name: str) -> Table:
    """The printed table `codes/tables/<name>.toml`."""
    data = _toml(_codes().joinpath("tables", f"{name}.toml"))
    columns = data.get("columns", ())
    listed = (row if isinstance(row, dict) else dict(zip(columns, row, strict=True)) for row in data["rows"])
    parts = (listed, data.get("disputed", ()))
    rows, disputed = (tuple({k: _exact(v) for k, v in row.items()} for row in part) for part in parts)
    return Table(
        name,
        data["title"],
        data["cited_as"],
        data["from"],
        data.get("unit", ""),
        data["read"]["confidence"],
        rows,
        disputed,
    )


def _exact(value: Any) -> Any:
    if isinstance(value, bool):
        return value
    if isinstance(value, int):
        return Decimal(value)
    if isinstance(value, list):
        return tuple(_exact(v) for v in value)
    return value


_RESERVED = frozenset({"section", "says", "read", "retroactive", "carried_from", "cited"})


def _clause(ident: str, data: Mapping[str, Any], book: str, book_id: str) -> Clause:
    values: dict[str, Any] = {}
    units: dict[str, str] = {}
    for name, given in data.items():
        if name in _RESERVED:
            continue
        if isinstance(given, dict) and "table" in given:
            values[name], units[name] = table(given["table"]), ""
        elif isinstance(given, dict):
            values[name], units[name] = _exact(given["value"]), given.get("unit", "")
        else:
            values[name], units[name] = _exact(given), ""
    read = data["read"]
    if read["confidence"] not in CONFIDENCE:
        raise ValueError(f"{book_id} {ident}: confidence {read['confidence']} is not a known word")
    return Clause(
        ident, data["section"], data["says"], values, units, read["where"], str(read["on"]),
        read["confidence"], data.get("carried_from", ""), _retroactive(data.get("retroactive", False), ident),
        book, book_id,
    )  # fmt: skip


_BINDS = {False: "", True: "all", "all": "all", "homes": "homes"}


def _retroactive(said: bool | str, ident: str) -> str:
    if said not in _BINDS:
        raise ValueError(f"{ident}: retroactive is true, \"all\" or \"homes\", not {said!r}")
    return _BINDS[said]


def _topics(folder: Traversable) -> list[Traversable]:
    found = [one for one in folder.iterdir() if one.name.endswith(".toml") and one.name != "book.toml"]
    return sorted(found, key=lambda one: one.name)


@cache
def book(name: str) -> tuple[dict[str, Any], dict[str, Clause], dict[str, str]]:
    """One published edition: what it is, its clauses, and the clauses on which it is silent (with why)."""
    folder = _codes().joinpath("books", name)
    about = _toml(folder.joinpath("book.toml"))
    clauses: dict[str, Clause] = {}
    silent: dict[str, str] = {}
    for path in _topics(folder):
        topic = path.name.removesuffix(".toml")
        data = _toml(path)
        for key, why in data.pop("silent", {}).items():
            silent[f"{topic}.{key}"] = why
        for key, clause in data.items():
            clauses[f"{topic}.{key}"] = _clause(f"{topic}.{key}", clause, about["title"], name)
    return about, clauses, silent


@cache
def place_names() -> dict[str, str]:
    """Every accepted place name, aliases included -> the name it is stored under."""
    names: dict[str, str] = {}
    for path in sorted(_codes().joinpath("places").iterdir(), key=lambda one: one.name):
        if path.name.endswith(".toml"):
            name = path.name.removesuffix(".toml")
            for alias in (name, *_toml(path).get("aliases", ())):
                names[alias] = name
    return names


@cache
def place(name: str) -> Place:
    """The place called `name`, with its clauses resolved: its own changes, then its books in order.

    raises  UnknownPlace, listing what is known
    """
    known = place_names()
    if name not in known:
        raise UnknownPlace("one of " + ", ".join(sorted(known)))
    about = _toml(_codes().joinpath("places", f"{known[name]}.toml"))
    clauses: dict[str, Clause] = {}
    silent: dict[str, str] = {}
    for ident, data in _flat(about.get("clause", {})):
        clauses[ident] = _clause(ident, data, data.get("cited", about["title"]), known[name])
    silent.update(about.get("silent", {}))
    struck = set(silent)
    for one in about["books"]:
        what, own, quiet = book(one)
        for ident, clause in own.items():
            if ident not in struck:
                clauses.setdefault(ident, clause)
        for ident, why in quiet.items():
            silent.setdefault(ident, why)
        if what["status"] == "amendments":
            struck |= quiet.keys() - clauses.keys()
    left = {ident: why for ident, why in silent.items() if ident not in clauses}
    return Place(known[name], about["title"], clauses, left, about)


def _flat(tree: Mapping[str, Any]) -> list[tuple[str, Mapping[str, Any]]]:
    return [(f"{topic}.{key}", clause) for topic, keys in tree.items() for key, clause in keys.items()]
