"""Changes every cell of every printed table and every value of every book by one unit, and names what does not notice.

    python tests/table_guard.py             the run, a line a table; exit 1 when a change goes unnoticed
    python tests/table_guard.py --accept    after a reading: write the hashes of what no second print holds

A cell is held by a second transcription (`second_prints.toml`), by an equation (`EQUATIONS`), or, where nobody but one
memory has it, by a hash that stands in `held_by_hash.toml` and is no published check. A book's value is held by the case
that stands exactly at its limit (tests/test_case_coverage.py) and by the hash of its topic.
"""

from __future__ import annotations

import hashlib
import sys
import tomllib
from collections import Counter
from collections.abc import Iterator, Mapping
from decimal import Decimal
from pathlib import Path
from typing import Any

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE.parent))

from heaterapp.rules.calc import fasteners  # noqa: E402

CODES = HERE.parent / "heaterapp" / "rules" / "codes"
SECOND = HERE / "second_prints.toml"
HASHES = HERE / "held_by_hash.toml"
UNREAD = "?"
"""In a second print: a cell that nobody read, which it cannot hold."""
Rows = tuple[dict[str, Any], ...]
Cell = tuple[int, str]


def _toml(path: Path) -> dict[str, Any]:
    return tomllib.loads(path.read_text(encoding="utf-8"), parse_float=Decimal)


def _exact(value: Any) -> Any:
    return Decimal(value) if isinstance(value, int) and not isinstance(value, bool) else value


def tables() -> dict[str, dict[str, Any]]:
    """Every table file as it stands, its rows as mappings of exact values; rows given as lists get their columns."""
    found = {}
    for path in sorted((CODES / "tables").glob("*.toml")):
        data = _toml(path)
        columns = data.get("columns")
        rows = [
            row if isinstance(row, dict) else dict(zip(columns, row, strict=True)) for row in data["rows"]
        ]
        found[path.stem] = {**data, "rows": tuple({k: _exact(v) for k, v in row.items()} for row in rows)}
    return found


def cells(rows: Rows) -> Iterator[Cell]:
    """Row number and column of every cell that is a fact: confidences are none."""
    for at, row in enumerate(rows):
        yield from ((at, column) for column in row if not column.endswith("confidence"))


def changed(value: Any) -> Any:
    """A value one unit of its last printed digit larger; a word or a yes turned into another."""
    if isinstance(value, bool):
        return not value
    if isinstance(value, Decimal):
        return value + Decimal(1).scaleb(min(0, int(value.as_tuple().exponent)))
    if isinstance(value, list):
        return [*value[:-1], changed(value[-1])] if value else ["more"]
    return f"{value}_"


def _read(word: str) -> Any:
    if word in ("true", "false"):
        return word == "true"
    try:
        return Decimal(word)
    except ArithmeticError:
        return word


def second_prints() -> dict[str, list[dict[str, Any]]]:
    """The second transcription of each table: its rows, without what is not printed."""
    found = {}
    for name, given in _toml(SECOND).items():
        columns = given["columns"].split()
        lines = [line.split() for line in given["rows"].strip().splitlines()]
        found[name] = [
            {c: _read(w) for c, w in zip(columns, line, strict=True) if w != "-"} for line in lines
        ]
    return found


def _same(row: Mapping[str, Any], other: Mapping[str, Any], columns: set[str]) -> bool:
    return all(row.get(column) == other.get(column) or other.get(column) == UNREAD for column in columns)


def by_second_print(rows: Rows, second: list[dict[str, Any]]) -> set[Cell]:
    """The cells that a second print says again: those of every row that is, whole, a row of it, in its order."""
    columns = {column for row in second for column in row}
    held: set[Cell] = set()
    waiting = list(second)
    for at, row in enumerate(rows):
        if waiting and _same(row, waiting[0], columns):
            printed = waiting.pop(0)
            held |= {(at, column) for column in columns if column in row and printed[column] != UNREAD}
    return held if not waiting else set()


def _withdrawal(row: Mapping[str, Any]) -> bool:
    return fasteners.withdrawal_as_printed(row["gravity"], row["diameter_in"]) == row["value"]


EQUATIONS: dict[str, tuple[set[str], Any]] = {
    "lag_withdrawal": ({"gravity", "diameter_in", "value"}, _withdrawal),
}
"""Tables whose rows an equation gives: the columns it ties together, and whether a row obeys it."""


def by_equation(name: str, rows: Rows) -> set[Cell]:
    """The cells that an equation ties to others."""
    columns, obeys = EQUATIONS.get(name, (set(), None))
    return {(at, c) for at, row in enumerate(rows) if obeys and obeys(row) for c in columns}


def digest(facts: Any, known: Mapping[int, str] | None = None) -> str:
    """A short hash of facts, whatever their order in the file; `known` has those of parts, by the part's id."""
    if known and id(facts) in known:
        return known[id(facts)]
    if isinstance(facts, Mapping):
        text = repr(sorted((key, digest(value, known)) for key, value in facts.items()))
    elif isinstance(facts, (list, tuple)):
        text = repr([digest(one, known) for one in facts])
    else:
        text = repr(facts)
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def book_topics() -> dict[str, dict[str, Any]]:
    """`book/topic`, and `places/name` -> clause -> what it says in numbers and words, its readings left out."""
    found = {}
    for path in sorted((CODES / "books").glob("*/*.toml")):
        if path.name != "book.toml":
            found[f"{path.parent.name}/{path.stem}"] = _toml(path)
    for path in sorted((CODES / "places").glob("*.toml")):
        clauses = _toml(path).get("clause", {})
        given = {f"{topic}.{key}": one for topic, keys in clauses.items() for key, one in keys.items()}
        if given:
            found[f"places/{path.stem}"] = given
    return {
        name: {key: _clause(one) for key, one in topic.items() if key != "silent"}
        for name, topic in found.items()
    }


def _clause(given: dict[str, Any]) -> dict[str, Any]:
    told = {"says", "read", "carried_from", "cited"}
    facts = {key: value for key, value in given.items() if key not in told}
    return {**facts, "sure": given["read"]["confidence"]}


def hashes() -> dict[str, dict[str, str]]:
    """What the hashes should be, as things stand."""
    return {
        "tables": {name: digest([one["rows"], one.get("disputed", [])]) for name, one in tables().items()},
        "books": {name: digest(topic) for name, topic in book_topics().items()},
    }


def holds(
    way: str, name: str, one: Mapping[str, Any], second: Mapping[str, Any], kept: Mapping[str, str],
    known: Mapping[int, str] | None = None,
) -> set[Cell]:  # fmt: skip
    """The cells of a table that one way of holding them vouches for."""
    rows = one["rows"]
    if way == "second print":
        return by_second_print(rows, second[name]) if name in second else set()
    if way == "equation":
        return by_equation(name, rows)
    return set(cells(rows)) if digest([rows, one.get("disputed", [])], known) == kept.get(name) else set()


WAYS = ("second print", "equation", "hash only")


def slipped(one: Mapping[str, Any], at: int, column: str) -> dict[str, Any]:
    """The table with one cell a unit off."""
    rows: Rows = one["rows"]
    other = {**rows[at], column: changed(rows[at][column])}
    return {**one, "rows": (*rows[:at], other, *rows[at + 1 :])}


def run_tables(second: Mapping[str, Any], kept: Mapping[str, str]) -> Iterator[tuple[str, Counter[str]]]:
    """Change each cell of each table by a unit: how many of them which holder noticed, the strongest named."""
    for name, one in tables().items():
        counts = Counter[str]()
        before = {way: holds(way, name, one, second, kept) for way in WAYS}
        # of the rows that stay, which live as long as the table
        known = {id(row): digest(row) for row in one["rows"]}
        for at, column in cells(one["rows"]):
            way = next((way for way in WAYS if (at, column) in before[way]), "")
            noticed = way and (at, column) not in holds(way, name, slipped(one, at, column), second, kept, known)
            counts[way if noticed else "not held"] += 1
        yield name, counts


def _leaves(value: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    if isinstance(value, dict):
        for key, one in value.items():
            if key != "unit":
                yield from _leaves(one, (*path, key))
    else:
        yield path


def _put(value: Any, path: tuple[Any, ...]) -> Any:
    if not path:
        return changed(_exact(value))
    return {**value, path[0]: _put(value[path[0]], path[1:])}


def run_books(kept: Mapping[str, str]) -> Counter[str]:
    """Change each value of each book by a unit: how many the hash of its topic noticed."""
    counts: Counter[str] = Counter()
    for name, topic in book_topics().items():
        stands = digest(topic) == kept.get(name)
        known = {id(clause): digest(clause) for clause in topic.values()}
        for path in _leaves(topic):
            noticed = stands and digest(_put(topic, path), known) != kept[name]
            counts["held" if noticed else "not held"] += 1
    return counts


def accept() -> None:
    """Write the hashes as things stand."""
    lines = [
        "# Written by tests/table_guard.py --accept after a reading: what no second print holds, held as it was read.\n"
    ]
    for part, held in hashes().items():
        lines.append(f"[{part}]\n" + "".join(f'"{name}" = "{mark}"\n' for name, mark in sorted(held.items())))
    HASHES.write_text("\n".join(lines), encoding="utf-8")


def main(arguments: list[str]) -> int:
    """Run the command; returns 1 when something is not held."""
    if arguments == ["--accept"]:
        accept()
        return 0
    kept, total = _toml(HASHES), Counter[str]()
    for name, counts in run_tables(second_prints(), kept["tables"]):
        total += counts
        print(f"{name:32}", ", ".join(f"{n} {way}" for way, n in sorted(counts.items())))
    values = run_books(kept["books"])
    print("all cells:", ", ".join(f"{n} {way}" for way, n in sorted(total.items())))
    print(
        "values of books by their topic's hash:", ", ".join(f"{n} {way}" for way, n in sorted(values.items()))
    )
    return int(bool(total["not held"] or values["not held"]))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
