"""Random acts on two firms at once, against a model of plain dictionaries.

    python tests/archive/random_walk.py --steps 1000000
    python tests/archive/random_walk.py --steps 500 --seed 17      the walk that a failure named

After every step the cheap laws are looked at (what was refused wrote nothing, what was done is told in the log,
numbers run on); every few hundred steps everything is compared and verified. A failure prints the seed and the
last steps.
"""

import argparse
import io
import random
import shutil
import sqlite3
import sys
import tempfile
import time
from contextlib import closing
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent
sys.path.insert(0, str(ROOT))

from argon2 import PasswordHasher  # noqa: E402
from sqlalchemy import event  # noqa: E402

from heaterapp import archive  # noqa: E402
from heaterapp.archive import people, tables  # noqa: E402
from tests.archive.conftest import taken_along  # noqa: E402
from tests.archive.model import Firm, Issue  # noqa: E402
from tests.archive.walk_acts import BEGAN, PREFIXES, Acts, Restarted  # noqa: E402

STEPS_OF_A_WALK, WHOLE_EVERY = 1_000, 500
WEIGHTS = {
    "issue": 40, "again": 30, "slip": 8, "stale": 15, "void": 25, "hold": 15, "lift": 15, "erase": 14, "erase_job": 3,
    "retry": 130, "other_content": 60, "look": 230, "job": 90, "search": 30, "foreign": 120, "share": 20,
    "unshare": 12, "open_share": 50, "draft": 50, "clock": 40, "restart": 4, "crash": 20,
    "recheck": 5, "move": 1,
}  # fmt: skip


class Walk(Acts):
    """One archive, its model, and the acts that change both."""

    def __init__(self, folder: Path, template: Path, seed: int):
        shutil.copy(template, folder / "archive.sqlite3")
        self.folder, self.template, self.seed = folder, template, seed
        self.draw = random.Random(seed)
        self.moment = BEGAN
        self.trail: list[str] = []
        self.steps = 0
        self.secrets = 0
        self.store = self._opened()
        self._beside = sqlite3.connect(folder / "archive.sqlite3")
        self.firms = []
        for slug in ("harborlight", "larkin-heat"):
            firm = self.store.organisations.add(slug, slug.title()).id
            self.firms.append(Firm(firm, self.store.people.add(firm, "ana", "Ana", "owner", "a long password").id))
        self.names, weights = zip(*WEIGHTS.items(), strict=True)
        self.weights = weights

    def _opened(self):
        store = archive.open_store(data_dir=self.folder, upgrade=False, clock=lambda: self.moment)
        # No machine dies in a walk, so nothing waits for the disk.
        event.listen(store.database.engine, "connect", lambda raw, _: raw.execute("PRAGMA synchronous=OFF").close())
        store.database.engine.dispose()
        return store

    def step(self) -> None:
        """Do one random act and look at the cheap laws."""
        self.steps += 1
        name = self.draw.choices(self.names, self.weights)[0]
        firm = self.draw.choice(self.firms)
        self.trail = [*self.trail[-29:], f"{self.steps} {name} in firm {firm.id}"]
        before = self._heads()
        wrote = getattr(self, f"_{name}")(firm)
        after = self._heads()
        for one in self.firms:
            moved = after[one.id] != before[one.id]
            assert moved == (bool(wrote) and one is firm), f"{name}: the log of firm {one.id} moved: {moved}"

    def _heads(self) -> dict[int, tuple]:
        return {row[0]: row for row in self._beside.execute("SELECT organisation, seq, digest FROM log_head")}

    def _move(self, _firm: Firm) -> bool:
        """Take both firms along whole, and go on in an empty place."""
        if not all(firm.records for firm in self.firms):
            return False  # a firm with nothing in it gives its place up to the next
        taken = [taken_along(self.store, firm.id) for firm in self.firms]
        self.close()
        self.folder = self.folder / "moved"
        self.folder.mkdir()
        shutil.copy(self.template, self.folder / "archive.sqlite3")
        self.store = self._opened()
        self._beside = sqlite3.connect(self.folder / "archive.sqlite3")
        for firm, body in zip(self.firms, taken, strict=True):
            told = self.store.moving.bring(io.BytesIO(body))
            assert (told.organisation, told.records, told.here_already) == (firm.id, len(firm.records), False)
        raise Restarted

    def _compare(self, firm: Firm, one: Issue) -> None:
        hit = self.store.records.hit(firm.id, one.number)
        assert (hit.record, hit.kind, hit.job_id, hit.revision, hit.finished, hit.issued_at) == (
            one.record, one.kind, one.job, one.revision, one.finished, one.issued_at,
        )  # fmt: skip
        assert hit.state == firm.state(one), f"{one.number} is {hit.state}, not {firm.state(one)}"
        assert {hit.superseded_by} - {None} == firm.follows(one)
        if one.erased:
            self._refused(archive.Erased, lambda: self.store.records.get(firm.id, one.record))
            return
        record = self.store.records.get(firm.id, one.record)
        assert (record.job, record.supersedes) == (one.content, one.supersedes)
        if one.finished:
            assert self.store.records.file(firm.id, one.record, "certificate.pdf") == self._paper(record)["certificate.pdf"]

    def whole(self) -> None:
        """Compare everything, and verify."""
        faults = self.store.verify().faults
        assert faults == (), faults
        for firm in self.firms:
            for one in firm.records.values():
                self._compare(firm, one)
            for kind in PREFIXES:
                numbers = [one.number for one in firm.records.values() if one.kind == kind]
                assert numbers == [f"{PREFIXES[kind]}-{at:06d}" for at in range(1, len(numbers) + 1)]
            for job in firm.jobs:
                held = [hold.id for hold in self.store.holds.of_job(firm.id, job) if hold.lifted_at is None]
                assert sorted(held) == sorted(hold for hold, of in firm.holds.items() if of == job)
        self._erased_nowhere()

    def _erased_nowhere(self) -> None:
        with closing(sqlite3.connect(self.folder / "archive.sqlite3")) as database:
            names = sorted(tables.metadata.tables)
            text = "\n".join(repr(database.execute(f"SELECT * FROM {name}").fetchall()) for name in names)
        for firm in self.firms:
            for one in firm.records.values():
                # The key is the sender's own word, and stays.
                left = text.replace(one.key, "").count(one.secret) if one.erased else 0
                assert left == 0, f"{one.number} was erased, and {one.secret} is still there"

    def close(self) -> None:
        self._beside.close()
        self.store.close()


def walk(steps: int, seed: int, say=lambda line: None) -> dict[str, int]:
    """Walk so many steps, a new archive every thousand; return name of act -> how often.

    raises  AssertionError with the seed and the last steps
    """
    usual, people.hasher = people.hasher, PasswordHasher(time_cost=1, memory_cost=8, parallelism=1)
    root = Path(tempfile.mkdtemp(prefix="walk-"))
    counted: dict[str, int] = {}
    began = time.monotonic()
    try:
        archive.open_store(data_dir=root / "empty").close()
        done = 0
        while done < steps:
            own = root / f"walk-{seed}"
            own.mkdir()
            done += _one(Walk(own, root / "empty" / "archive.sqlite3", seed), min(STEPS_OF_A_WALK, steps - done), counted)
            shutil.rmtree(own)
            seed += 1
            say(f"{done} steps in {time.monotonic() - began:.0f} s")
    finally:
        people.hasher = usual
        shutil.rmtree(root, ignore_errors=True)
    return counted


def _one(walk: Walk, steps: int, counted: dict[str, int]) -> int:
    try:
        for at in range(1, steps + 1):
            try:
                walk.step()
            except Restarted:
                pass
            name = walk.trail[-1].split()[1]
            counted[name] = counted.get(name, 0) + 1
            if at % WHOLE_EVERY == 0 or at == steps:
                walk.whole()
    except Exception as error:
        trail = "\n  ".join(walk.trail)
        raise AssertionError(f"seed {walk.seed}, step {walk.steps}: {error!r}\n  {trail}") from error
    finally:
        walk.close()
    return steps


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--steps", type=int, default=20_000)
    parser.add_argument("--seed", type=int, default=1)
    chosen = parser.parse_args()
    try:
        counted = walk(chosen.steps, chosen.seed, lambda line: print(line, flush=True))
    except AssertionError as error:
        print(error)
        return 1
    print(f"{sum(counted.values())} steps, nothing broken: {counted}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
