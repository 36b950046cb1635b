"""Every act broken off at every named moment and at every statement; afterwards nothing is half-done.

    python tests/archive/fail_at.py              all of it
    python tests/archive/fail_at.py --every 60   each named moment in one way, every sixtieth statement

A strike is an error, a kill -9, a disk that is full from then on, or the database's own refusal at the Nth
statement or commit, once or for good. Then the archive is opened again: its state is one that the unbroken act
passes through between two transactions, verify is clean, and the same act again ends where the unbroken one ends.
Prints a line of JSON for each strike that broke something, and the account as the last line.
"""

import argparse
import contextlib
import json
import os
import shutil
import signal
import sqlite3
import sys
import tempfile
from collections import Counter
from contextlib import closing
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent
sys.path.insert(0, str(ROOT))

from argon2 import PasswordHasher  # noqa: E402
from sqlalchemy import event  # noqa: E402

from heaterapp.archive import dialect, faults, people, tables  # noqa: E402
from tests.archive import acts  # noqa: E402
from tests.compiled_once import compiled_once  # noqa: E402

HOWS = ("raise", "kill", "full")
# What no two runs have alike: salts, secrets, and what is made of them.
DRAWN = {"salt", "digest", "token_hash", "check_code", "content_digest", "previous_head", "previous", "body",
         "password_hash", "words", "message_id", "claim"}  # fmt: skip
NOTES = {"loose_blob"}
"""Bodies that no record names: a crash leaves some, and they are swept a day later."""


class Struck(Exception):
    """Raised at a fault point."""


def state(folder: Path) -> str:
    """Return all rows of all tables, but for what is drawn by chance."""
    told = {}
    with closing(sqlite3.connect(folder / "archive.sqlite3")) as database:
        for name, table in sorted(tables.metadata.tables.items()):
            if name in NOTES:
                continue
            columns = ", ".join(column.name for column in table.columns if column.name not in DRAWN)
            told[name] = sorted(map(repr, database.execute(f"SELECT {columns} FROM {name}").fetchall()))
    return json.dumps(told)


class Watched:
    """One open archive whose transactions, statements and named moments are seen, and may be struck."""

    def __init__(self, folder: Path):
        self.store = acts.opened(folder, upgrade=False)
        self.points: list[str] = []
        self.operations = 0
        self.states = [state(folder)]
        self.strike = lambda _point: None
        self.refuse = lambda _number: False
        self._folder = folder
        self._open = None
        self._full = False
        self._write = self.store.database.write
        self.store.database.write = self._writing
        faults.hook = self._at
        engine = self.store.database.engine
        event.listen(engine, "before_cursor_execute", lambda *_: self._operation())
        event.listen(engine, "commit", lambda _: self._operation())

    @contextlib.contextmanager
    def _writing(self):
        with self._write() as connection:
            self._open = connection.connection.driver_connection
            if self._full:
                self.fill()
            yield connection
        self._open = None
        self.states.append(state(self._folder))

    def fill(self) -> None:
        """Let the disk be full from now on."""
        self._full = True
        if self._open is not None:
            pages = self._open.execute("PRAGMA page_count").fetchone()[0]
            self._open.execute(f"PRAGMA max_page_count={pages}").fetchone()

    def _at(self, point: str) -> None:
        self.points.append(point)
        self.strike(point)

    def _operation(self) -> None:
        self.operations += 1
        if self.refuse(self.operations):
            raise sqlite3.OperationalError("disk I/O error")

    def close(self) -> None:
        faults.hook = faults._nothing
        self.store.close()


class Unbroken:
    """How an act goes when nothing strikes: its moments, its states, its answer."""

    def __init__(self, act: acts.Act, template: Path, folder: Path):
        shutil.copytree(template, folder)
        watched = Watched(folder)
        place = acts.Place(watched.store, folder)
        watched.points.clear()
        before = watched.operations
        self.answer = act.do(place)
        self.operations = watched.operations - before
        watched.close()
        self.points = list(dict.fromkeys(watched.points))
        self.states = watched.states
        with closing(acts.opened(folder, upgrade=False)) as store:
            found = store.verify().faults
        assert found == (), found
        shutil.rmtree(folder)


def struck(act: acts.Act, folder: Path, how: str, where) -> bool:
    """Do the act with one strike; return whether it came to anything that the caller saw."""
    if how == "kill":
        pid = os.fork()
        if pid == 0:
            _do(act, folder, where, lambda _: os.kill(os.getpid(), signal.SIGKILL))
            os._exit(0)
        return os.WIFSIGNALED(os.waitpid(pid, 0)[1])
    return _do(act, folder, where, None if how == "full" else _raise, how)


def _raise(_watched) -> None:
    raise Struck


def _do(act: acts.Act, folder: Path, where, strike, how: str = "") -> bool:
    watched = Watched(folder)
    try:
        place = acts.Place(watched.store, folder)
        began = watched.operations
        if how == "once":
            watched.refuse = lambda number: number == began + where
        elif how == "for good":
            watched.refuse = lambda number: number >= began + where
        else:
            blow = strike or (lambda watched: watched.fill())
            watched.strike = lambda point: blow(watched) if point == where else None
        act.do(place)
        return False
    except Exception:
        return True
    finally:
        watched.close()


def after(act: acts.Act, unbroken: Unbroken, folder: Path) -> list[str]:
    """Return what is wrong once the struck archive is opened again and the act comes again."""
    wrong = []
    now = state(folder)
    if now not in unbroken.states:
        wrong.append("half-done")
    store = acts.opened(folder)
    place = acts.Place(store, folder)
    try:
        wrong += [f"verify: {fault}" for fault in store.verify().faults]
        if act.once or now != unbroken.states[-1]:
            try:
                answer = act.do(place)
            except act.done_already:
                answer = unbroken.answer if now == unbroken.states[-1] else "refused though it was not done"
            except Exception as error:
                answer = f"{type(error).__name__}: {error}"
            if answer != unbroken.answer:
                wrong.append(f"again: {answer!r} and not {unbroken.answer!r}")
            # Where nothing came again, it was verified as it stands.
            wrong += [f"verify after: {fault}" for fault in store.verify().faults]
        if state(folder) != unbroken.states[-1]:
            wrong.append("another end")
        if store.records.by_key(place.firm, acts.FIRST).number != "C-000001":
            wrong.append("what was acknowledged before is lost")
        for job in (acts.ISSUED, acts.DRAFT, acts.LISTED, acts.WAITING, acts.PHONE):
            if sum(hit.state == "current" for hit in store.records.of_job(place.firm, job)) > 1:
                wrong.append(f"job {job} has more than one current record")
    finally:
        store.close()
    return wrong


def strikes(unbroken: Unbroken, every: int, turn: int) -> list[tuple[str, object]]:
    """Return (how, where) for one act; with `every` above 1 fewer of them, others at another turn."""
    named = [
        (how, point)
        for at, point in enumerate(unbroken.points)
        for number, how in enumerate(HOWS)
        if every == 1 or (at + turn) % len(HOWS) == number
    ]
    counted = [(how, n) for n in range(1, unbroken.operations + 1) for how in ("once", "for good")]
    return named + counted[turn % every :: every]


def run(folder: Path, every: int, say) -> Counter:
    """Break every act off; call `say` with each strike that broke something; return the account."""
    template = folder / "template"
    acts.prepare(template)
    account: Counter = Counter(acts=len(acts.ACTS))
    visited: set[str] = set()
    for turn, act in enumerate(acts.ACTS):
        from_here = folder / "empty" if act.empty else template
        unbroken = Unbroken(act, from_here, folder / "unbroken")
        fresh = [point for point in unbroken.points if every == 1 or point not in visited]
        visited |= set(unbroken.points)
        unbroken.points = fresh
        for how, where in strikes(unbroken, every, turn):
            wrong = tried(act, unbroken, from_here, folder / "struck", how, where, account)
            if wrong:
                account["wrong"] += 1
                say(json.dumps({"act": act.name, "how": how, "where": where, "wrong": wrong}))
    account["points"] = len(visited)
    for name in sorted(declared() ^ visited):
        account["wrong"] += 1
        said = "declared and never visited" if name in declared() else "visited and not declared"
        say(json.dumps({"point": name, "wrong": said}))
    return account


def tried(act, unbroken: Unbroken, template: Path, own: Path, how: str, where, account: Counter) -> list[str]:
    """Strike one copy of the prepared archive and return what is wrong afterwards."""
    shutil.copytree(template, own)
    came = struck(act, own, how, where)
    wrong = after(act, unbroken, own)
    shutil.rmtree(own)
    account[how] += 1
    account[f"{how} came"] += came
    if how in ("raise", "kill") and not came:
        wrong.append("the strike did not come")
    return wrong


def declared() -> set[str]:
    """Every name in faults.py; backups and restores have points and tests of their own."""
    return {point for held in vars(faults).values() if isinstance(held, tuple) for point in held}


def main() -> int:
    people.hasher = PasswordHasher(time_cost=1, memory_cost=8, parallelism=1)
    # Processes die here, and no machine does: nothing waits for the disk.
    dialect.PRAGMAS = tuple(one.replace("synchronous=FULL", "synchronous=OFF") for one in dialect.PRAGMAS)
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--every", type=int, default=1, help="only every so manyth statement")
    chosen = parser.parse_args()
    folder = Path(tempfile.mkdtemp(prefix="fail-at-"))
    try:
        # Each strike opens archives of its own: half the time went into compiling their statements anew.
        with compiled_once():
            account = run(folder, chosen.every, lambda line: print(line, flush=True))
    finally:
        shutil.rmtree(folder, ignore_errors=True)
    print(json.dumps(account))
    return 1 if account["wrong"] else 0


if __name__ == "__main__":
    sys.exit(main())
