"""Single bits flipped in every column that verify vouches for, and in the raw file: each must be found and named.

    python tests/archive/bit_flips.py --records 10000 --rounds 50 --flips 100
    python tests/archive/bit_flips.py --records 300 --file-flips 500
"""

import argparse
import random
import shutil
import sqlite3
import sys
import tempfile
import time
from collections import Counter
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent
sys.path.insert(0, str(ROOT))

from heaterapp import archive  # noqa: E402
from heaterapp.archive import tables  # noqa: E402
from tests.archive import full_archive  # noqa: E402
from tests.archive.real_papers import real_papers  # noqa: E402

WORKING = {
    "organisation", "person", "session", "throttle", "job", "upload", "recheck", "recheck_hit", "desk", "desk_line",
    "inspection", "invite", "passkey", "challenge", "chore", "loose_blob", "mail",
}  # fmt: skip
"""Tables whose rows are meant to change: nothing vouches for them."""
VOUCHED = sorted(set(tables.metadata.tables) - WORKING)
ROW = {
    "log": lambda row: f"organisation {row['organisation']} entry {row['seq']}",
    "log_head": lambda row: f"organisation {row['organisation']}",
    "counter": lambda row: f"organisation {row['organisation']} {row['kind']}",
    "ruleset": lambda row: f"organisation {row['organisation']} {row['digest']}",
    "logo": lambda row: f"organisation {row['organisation']} {row['digest']}",
    "record": lambda row: f"record {row['id']}",
    "payload": lambda row: f"record {row['record']} {row['name']}",
    "share": lambda row: f"share {row['id']}",
    "said": lambda row: f"organisation {row['organisation']} entry {row['seq']} {row['name']}",
    "hold": lambda row: f"hold {row['id']}",
    "seal": lambda row: f"organisation {row['organisation']} {row['fingerprint']}",
    "seal_key": lambda row: f"organisation {row['organisation']} {row['fingerprint']}",
}


def named(table: str, row: dict) -> str:
    """Return a row's name as verify writes it."""
    return ROW.get(table, lambda row: f"record {row.get('record')}")(row)


@dataclass
class Flip:
    """One bit changed in one column of one row, with what puts it back; no two in rows of one name."""

    table: str
    column: str
    rowid: int
    new_rowid: int
    kind: str
    old: object
    before: dict
    after: dict

    def found(self, faults) -> str | None:
        """Return how verify named it: its field, or the row and what of it; None when it did not."""
        rows = {named(self.table, self.before), named(self.table, self.after)}
        orphaned = {f"record {one['record']}" for one in (self.before, self.after)} if self.table == "payload" else ()
        of_row = [
            fault.field
            for fault in faults
            if fault.table == self.table
            and (fault.row in rows or (fault.row in orphaned and fault.field == "record"))
        ]
        if self.column in of_row:
            return "field"
        return "row" if of_row else None


class Flipping:
    """The archive's file, changed past its guards."""

    def __init__(self, path: Path, draw: random.Random):
        self._draw = draw
        self._database = sqlite3.connect(path, isolation_level=None)
        self._database.text_factory = lambda raw: raw.decode("utf-8", "surrogateescape")
        self._database.row_factory = sqlite3.Row
        self._database.execute("PRAGMA foreign_keys=OFF")
        self._database.execute("PRAGMA synchronous=OFF")
        guards = self._database.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'").fetchall()
        self._guards = [(row["name"], row["sql"]) for row in guards]
        self._columns = [
            (table, column.name) for table in VOUCHED for column in tables.metadata.tables[table].columns
        ]

    def flip(self, count: int) -> list[Flip]:
        """Flip `count` bits, each in a row of its own, in columns drawn evenly."""
        self._lift()
        flips: list[Flip] = []
        taken: set[tuple[str, str]] = set()
        while len(flips) < count:
            table, column = self._draw.choice(self._columns)
            flip = self._one(table, column, taken)
            if flip is not None:
                flips.append(flip)
                taken |= {(table, named(table, row)) for row in (flip.before, flip.after)}
        self._put()
        return flips

    def back(self, flips: list[Flip]) -> None:
        self._lift()
        for flip in reversed(flips):
            self._set(flip.table, flip.column, flip.new_rowid, flip.kind, flip.old)
        self._put()

    def close(self) -> None:
        self._database.close()

    def _one(self, table: str, column: str, taken: set) -> Flip | None:
        some = f"SELECT rowid FROM {table} WHERE length({column}) > 0"
        if table == "payload" and self._draw.random() < 0.5:
            some += " AND (name LIKE 'photo-%' OR name LIKE '%.pdf')"
        rowids = [row[0] for row in self._database.execute(some)]
        if not rowids:
            return None
        rowid = self._draw.choice(rowids)
        before = self._row(table, rowid)
        kind, raw = self._database.execute(
            f"SELECT typeof({column}), CAST({column} AS BLOB) FROM {table} WHERE rowid = ?", (rowid,)
        ).fetchone()
        old = before[column] if kind == "integer" else raw
        if kind == "integer":
            new: object = old ^ (1 << self._draw.randrange(31))
        else:
            body = bytearray(raw)
            bit = self._draw.randrange(8 * len(body))
            body[bit // 8] ^= 1 << bit % 8
            new = bytes(body)
        new_rowid = new if self._is_rowid(table, column) else rowid
        if (table, named(table, before)) in taken:
            return None
        try:
            self._set(table, column, rowid, kind, new)
        except sqlite3.IntegrityError:
            return None
        flip = Flip(table, column, rowid, new_rowid, kind, old, before, self._row(table, new_rowid))
        if (table, named(table, flip.after)) in taken:
            self._set(table, column, new_rowid, kind, old)
            return None
        return flip

    def _is_rowid(self, table: str, column: str) -> bool:
        key = tables.metadata.tables[table].primary_key.columns.keys()
        return key == [column] and isinstance(tables.metadata.tables[table].c[column].type, tables.Whole)

    def _row(self, table: str, rowid: int) -> dict:
        return dict(self._database.execute(f"SELECT * FROM {table} WHERE rowid = ?", (rowid,)).fetchone())

    def _set(self, table: str, column: str, rowid: int, kind: str, value: object) -> None:
        given = "CAST(? AS TEXT)" if kind == "text" else "?"
        self._database.execute(f"UPDATE {table} SET {column} = {given} WHERE rowid = ?", (value, rowid))

    def _lift(self) -> None:
        self._database.execute("BEGIN IMMEDIATE")
        for name, _ in self._guards:
            self._database.execute(f"DROP TRIGGER {name}")

    def _put(self) -> None:
        for _, statement in self._guards:
            self._database.execute(statement)
        self._database.execute("COMMIT")


def rounds(folder: Path, count: int, flips: int, seed: int, say=lambda line: None) -> tuple[Counter, list[Flip]]:
    """Run the rounds; return how the flips were named, and those that were not.

    Raises AssertionError when an archive with nothing flipped does not verify.
    """
    store = archive.open_store(data_dir=folder)
    assert store.verify().faults == ()
    flipping = Flipping(folder / "archive.sqlite3", random.Random(seed))
    ways: Counter = Counter()
    missed: list[Flip] = []
    for at in range(count):
        changed = flipping.flip(flips)
        began = time.monotonic()
        faults = store.verify().faults
        took = time.monotonic() - began
        for flip in changed:
            way = flip.found(faults)
            ways[way] += 1
            ways[f"{flip.table}.{flip.column}"] += 1
            missed += [flip] if way is None else []
        flipping.back(changed)
        say(f"round {at + 1}: {flips} flipped, {len(missed)} missed so far, verify {took:.1f} s")
    assert store.verify().faults == ()
    flipping.close()
    store.close()
    return ways, missed


def file_flips(folder: Path, count: int, seed: int) -> Counter:
    """Flip one bit of the file at a time; return what found it, or what it changed where nothing did."""
    draw = random.Random(seed)
    path = folder / "archive.sqlite3"
    with closing(sqlite3.connect(path)) as database:
        database.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    whole, told = path.read_bytes(), _told(path)
    seen: Counter = Counter()
    other = Path(tempfile.mkdtemp(prefix="flip-"))
    try:
        for _ in range(count):
            at = draw.randrange(8 * len(whole))
            body = bytearray(whole)
            body[at // 8] ^= 1 << at % 8
            for left in other.iterdir():
                left.unlink()
            (other / path.name).write_bytes(body)
            seen[_file_found(other) or _changed(told, other / path.name)] += 1
    finally:
        shutil.rmtree(other, ignore_errors=True)
    return seen


def _file_found(folder: Path) -> str | None:
    try:
        with closing(sqlite3.connect(folder / "archive.sqlite3")) as database:
            if database.execute("PRAGMA integrity_check(1)").fetchone()[0] != "ok":
                return "found by the database's own check"
    except sqlite3.DatabaseError:
        return "found by the database's own check"
    try:
        store = archive.open_store(data_dir=folder, upgrade=False)
        try:
            return "found by verify" if store.verify().faults else None
        finally:
            store.close()
    except Exception:
        return "found by verify, which could not read it"


def _told(path: Path) -> dict[str, list]:
    with closing(sqlite3.connect(path)) as database:
        database.text_factory = bytes
        names = [row[0].decode() for row in database.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
        return {name: database.execute(f"SELECT * FROM {name}").fetchall() for name in names}


def _changed(told: dict[str, list], path: Path) -> str:
    try:
        now = _told(path)
    except Exception as error:
        return f"MISSED, and unreadable: {error}"
    tables_changed = sorted(name for name in told.keys() | now.keys() if told.get(name) != now.get(name))
    if not tables_changed:
        return "unused byte: every row reads as before"
    vouched = set(tables_changed) & set(VOUCHED)
    return f"MISSED in {', '.join(vouched)}" if vouched else f"working row: {', '.join(tables_changed)}"


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--records", type=int, default=10_000)
    parser.add_argument("--rounds", type=int, default=50)
    parser.add_argument("--flips", type=int, default=100)
    parser.add_argument("--file-flips", type=int, default=0, help="flips in the raw file, instead of in rows")
    parser.add_argument("--seed", type=int, default=5)
    chosen = parser.parse_args()
    folder = Path(tempfile.mkdtemp(prefix="flips-"))
    try:
        began = time.monotonic()
        full_archive.fill(folder, chosen.records, papers=real_papers())
        size = sum(path.stat().st_size for path in folder.iterdir()) / 1e6
        print(f"{chosen.records} records, {size:.0f} MB, filled in {time.monotonic() - began:.0f} s", flush=True)
        if chosen.file_flips:
            seen = file_flips(folder, chosen.file_flips, chosen.seed)
            for what, count in seen.most_common():
                print(f"{count:6} {what}")
            return 1 if any("MISSED" in what for what in seen) else 0
        ways, missed = rounds(folder, chosen.rounds, chosen.flips, chosen.seed, lambda line: print(line, flush=True))
    finally:
        shutil.rmtree(folder, ignore_errors=True)
    columns = sum(1 for way in ways if way and "." in way)
    print(f"{chosen.rounds * chosen.flips - len(missed)} of {chosen.rounds * chosen.flips} flips found and named,")
    print(f"{ways['field']} by table, row and field, {ways['row']} by table and row, in {columns} columns")
    for flip in missed[:40]:
        print(f"MISSED {flip.table}.{flip.column} of {named(flip.table, flip.before)}")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
