"""Random acts on two firms at once, against a model of plain dictionaries.

    python tests/archive/random_walk.py --steps 1000000
    python tests/archive/random_walk.py --steps 500 --seed 17      the walk that a failure named

After every step the cheap laws are looked at (what was refused wrote nothing, what was done is told in the log,
numbers run on); every few hundred steps everything is compared and verified. A failure prints the seed and the
last steps.
"""

import argparse
import hashlib
import random
import shutil
import sqlite3
import sys
import tempfile
import time
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path
from uuid import UUID

ROOT = Path(__file__).parent.parent.parent
sys.path.insert(0, str(ROOT))

from argon2 import PasswordHasher  # noqa: E402

from heaterapp import archive  # noqa: E402
from heaterapp.archive import Correction, Facts, Submission, people, tables  # noqa: E402
from tests.archive.model import Firm, Issue  # noqa: E402

KINDS = ("certificate",) * 6 + ("correction_list",) * 3 + ("findings_report",)
PREFIXES = {"certificate": "C", "correction_list": "L", "findings_report": "F"}
STEPS_OF_A_WALK, WHOLE_EVERY = 1_000, 334
BEGAN = datetime(2026, 3, 14, 12, 0, tzinfo=UTC)
WEIGHTS = {
    "issue": 40, "again": 30, "slip": 8, "stale": 15, "void": 25, "hold": 15, "lift": 15, "erase": 14, "erase_job": 3,
    "retry": 130, "other_content": 60, "look": 230, "job": 90, "search": 30, "foreign": 120, "share": 20,
    "unshare": 12, "open_share": 50, "draft": 50, "clock": 40, "restart": 4, "crash": 6,
}  # fmt: skip


class Walk:
    """One archive, its model, and the acts that change both."""

    def __init__(self, folder: Path, template: Path, seed: int):
        shutil.copy(template, folder / "archive.sqlite3")
        self.folder, self.seed = folder, seed
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
        return archive.open_store(data_dir=self.folder, upgrade=False, clock=lambda: self.moment)

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

    # Acts. Each returns whether the firm's log must have moved.

    def _issue(self, firm: Firm) -> bool:
        job = str(UUID(int=self.draw.getrandbits(128)))
        self.store.jobs.create(firm.id, firm.person, {}, job)
        firm.jobs[job] = "draft"
        return self._issued(firm, self._wish(firm, job))

    def _again(self, firm: Firm) -> bool:
        job = self._some_job(firm)
        if job is None:
            return False
        self.store.jobs.reopen(firm.id, job)
        if firm.jobs[job] == "issued":
            firm.jobs[job] = "draft"
        wish = self._wish(firm, job)
        known = firm.newest(job, wish.kind)
        if known is not None and self.draw.random() < 0.5:
            wish = self._wish(firm, job, kind=wish.kind, supersedes=known.record)
        return self._issued(firm, wish)

    def _slip(self, firm: Firm) -> bool:
        one = self._some(firm)
        if one is None:
            return False
        correction = Correction(one.record, {"owner_name": "X"}, {"owner_name": None})
        wish = self._wish(firm, one.job, kind=one.kind, supersedes=one.record, correction=correction, reason="misspelt")
        if firm.jobs[one.job] == "erased":
            return self._refused(archive.ArchiveError, lambda: self.store.issue(wish))
        if firm.state(one) != "current":
            return self._refused(archive.NotCurrent, lambda: self.store.issue(wish))
        self._issued(firm, wish)
        return True

    def _stale(self, firm: Firm) -> bool:
        """A superseded one corrected again, or a job that is issued already."""
        one = self._some(firm)
        if one is None or firm.jobs[one.job] == "erased":
            return False
        if firm.jobs[one.job] == "issued":
            return self._refused(archive.JobIssued, lambda: self.store.issue(self._wish(firm, one.job)))
        if firm.newest(one.job, one.kind) is one:
            return False
        wish = self._wish(firm, one.job, kind=one.kind, supersedes=one.record)
        return self._refused(archive.SupersedeConflict, lambda: self.store.issue(wish))

    def _void(self, firm: Firm) -> bool:
        one = self._some(firm)
        if one is None:
            return False
        act = lambda: self.store.void(firm.id, one.record, firm.person, "wrong house")  # noqa: E731
        if one.void:
            return self._refused(archive.AlreadyVoid, act)
        act()
        one.void = True
        return True

    def _hold(self, firm: Firm) -> bool:
        job = self._some_job(firm)
        if job is None:
            return False
        firm.holds[self.store.holds.place(firm.id, job, firm.person, "a claim").id] = job
        return True

    def _lift(self, firm: Firm) -> bool:
        if not firm.holds:
            return False
        hold = self.draw.choice(list(firm.holds))
        self.store.holds.lift(firm.id, hold, firm.person, "settled")
        del firm.holds[hold]
        return True

    def _erase(self, firm: Firm) -> bool:
        one = self._some(firm)
        if one is None:
            return False
        act = lambda: self.store.erase(firm.id, one.record, firm.person, "asked for")  # noqa: E731
        if firm.held(one.job):
            return self._refused(archive.UnderHold, act)
        act()
        was, one.erased, one.finished = one.erased, True, True
        return not was

    def _erase_job(self, firm: Firm) -> bool:
        job = self._some_job(firm)
        if job is None:
            return False
        act = lambda: self.store.erase_job(firm.id, job, firm.person, "asked for")  # noqa: E731
        if firm.jobs[job] == "erased":
            act()
            return False
        if firm.held(job):
            return self._refused(archive.UnderHold, act)
        act()
        firm.jobs[job] = "erased"
        for one in firm.of_job(job):
            one.erased = one.finished = True
        for token, (share, record, _) in firm.shares.items():
            if firm.records[record].job == job:
                firm.shares[token] = (share, record, False)
        return True

    def _retry(self, firm: Firm) -> bool:
        one = self._some(firm)
        if one is None or one.erased:
            return False
        before = one.finished
        answer = self.store.issue_and_finish(self._wish_of(firm, one), self._paper)
        assert (answer.number, answer.record, answer.repeated) == (one.number, one.record, True)
        one.finished = True
        return not before

    def _other_content(self, firm: Firm) -> bool:
        one = self._some(firm)
        if one is None:
            return False
        wish = self._wish(firm, one.job, key=one.key, kind=one.kind)
        return self._refused(archive.KeyConflict, lambda: self.store.issue(wish))

    def _look(self, firm: Firm) -> bool:
        one = self._some(firm)
        if one is not None:
            self._compare(firm, one)
        return False

    def _job(self, firm: Firm) -> bool:
        job = self._some_job(firm)
        if job is not None:
            hits = self.store.records.of_job(firm.id, job)
            assert [hit.record for hit in hits] == [one.record for one in firm.of_job(job)][::-1]
            assert sum(hit.state == "current" for hit in hits) <= 1
            assert self.store.jobs.get(firm.id, job).state == firm.jobs[job]
        return False

    def _search(self, firm: Firm) -> bool:
        one = self._some(firm)
        if one is not None:
            found = [hit.record for hit in self.store.find(firm.id, one.secret).hits]
            assert found == ([] if one.erased else [one.record]), f"{one.secret} found {found}"
        return False

    def _foreign(self, firm: Firm) -> bool:
        other = self.firms[firm is self.firms[0]]
        one = self._some(other)
        if one is None:
            return False
        store, me = self.store, firm.id
        act = self.draw.choice((
            lambda: store.records.status(me, one.record), lambda: store.records.get(me, one.record),
            lambda: store.void(me, one.record, firm.person, "x"), lambda: store.erase(me, one.record, firm.person, "x"),
            lambda: store.jobs.get(me, one.job), lambda: store.shares.make(me, one.record),
            lambda: store.holds.place(me, one.job, firm.person, "x"),
            lambda: store.void(one and me, one.record, other.person, "x"),
        ))  # fmt: skip
        return self._refused(archive.NotFound, act)

    def _share(self, firm: Firm) -> bool:
        one = self._some(firm)
        if one is None:
            return False
        token, share = self.store.shares.make(firm.id, one.record, firm.person)
        firm.shares[token] = (share.id, one.record, True)
        return True

    def _unshare(self, firm: Firm) -> bool:
        if not firm.shares:
            return False
        token = self.draw.choice(list(firm.shares))
        share, record, was_open = firm.shares[token]
        self.store.shares.revoke(firm.id, share, firm.person)
        firm.shares[token] = (share, record, False)
        return was_open

    def _open_share(self, firm: Firm) -> bool:
        if firm.shares:
            token = self.draw.choice(list(firm.shares))
            _, record, is_open = firm.shares[token]
            found = self.store.shares.lookup(token)
            assert (found is not None and found.record == record) if is_open else found is None
        return False

    def _draft(self, firm: Firm) -> bool:
        job = self._some_job(firm)
        if job is None or firm.jobs[job] == "erased":
            return False
        act = lambda: self.store.jobs.save_answers(firm.id, job, {"n": self.steps})  # noqa: E731
        if firm.jobs[job] == "issued":
            return self._refused(archive.JobIssued, act)
        act()
        return False

    def _clock(self, firm: Firm) -> bool:
        self.moment = BEGAN + timedelta(days=self.draw.uniform(-3650, 3650))
        return False

    def _restart(self, firm: Firm) -> bool:
        self.store.close()
        self.store = self._opened()
        done = self.store.finish_pending(self._paper)
        waiting = [one for any_firm in self.firms for one in any_firm.records.values() if not one.finished]
        assert sorted(done.finished) == sorted(one.record for one in waiting)
        assert done.failed == ()
        for one in waiting:
            one.finished = True
        # Papers that waited were finished in both firms.
        raise Restarted

    def _crash(self, firm: Firm) -> bool:
        """Numbered, and then the process was gone."""
        job = str(UUID(int=self.draw.getrandbits(128)))
        self.store.jobs.create(firm.id, firm.person, {}, job)
        firm.jobs[job] = "draft"
        return self._issued(firm, self._wish(firm, job), finish=False)

    # What they are made of.

    def _wish(self, firm: Firm, job: str, **changes) -> Submission:
        self.secrets += 1
        secret = hashlib.sha256(f"{self.seed} {self.secrets}".encode()).hexdigest()[:16]
        return self._submission(firm, job, secret, changes.pop("kind", None) or self.draw.choice(KINDS), **changes)

    def _submission(self, firm: Firm, job: str, secret: str, kind: str, **changes) -> Submission:
        return Submission(
            organisation=firm.id, person=firm.person, job_id=job, key=changes.pop("key", f"key-{secret}"), kind=kind,
            job=b'{"owner_name":"%b"}' % secret.encode(), report=b'{"outcome":"ready"}', signature=b"{}",
            ruleset_digest="rules", ruleset_version="1", ruleset_zip=b"rules", facts=Facts(owner=secret), **changes,
        )  # fmt: skip

    def _wish_of(self, firm: Firm, one: Issue) -> Submission:
        return self._submission(firm, one.job, one.secret, one.kind)

    def _issued(self, firm: Firm, wish: Submission, finish: bool = True) -> bool:
        if firm.jobs[wish.job_id] == "erased":
            return self._refused(archive.Erased, lambda: self.store.issue(wish))
        before = firm.newest(wish.job_id, wish.kind)
        answer = self.store.issue_and_finish(wish, self._paper) if finish else self.store.issue(wish)
        number = f"{PREFIXES[wish.kind]}-{firm.last(wish.kind) + 1:06d}"
        revision = before.revision + 1 if before else 1
        assert (answer.number, answer.revision, answer.repeated) == (number, revision, False)
        assert answer.record not in firm.records
        firm.records[answer.record] = Issue(
            answer.record, number, wish.kind, wish.job_id, revision, before.record if before else None, wish.key,
            wish.job, wish.facts.owner, answer.issued_at, finish,
        )  # fmt: skip
        firm.keys[wish.key] = answer.record
        if wish.kind != "correction_list":
            firm.jobs[wish.job_id] = "issued"
        return True

    @staticmethod
    def _paper(record) -> dict[str, bytes]:
        return {"certificate.pdf": b"%PDF " + record.number.encode() + record.job}

    def _refused(self, kind: type[Exception], act) -> bool:
        try:
            act()
        except kind:
            return False
        raise AssertionError(f"{kind.__name__} was expected")

    def _some(self, firm: Firm) -> Issue | None:
        return self.draw.choice(list(firm.records.values())) if firm.records else None

    def _some_job(self, firm: Firm) -> str | None:
        return self.draw.choice(list(firm.jobs)) if firm.jobs else None

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


class Restarted(Exception):
    """The archive was opened again, so heads are not compared."""


def walk(steps: int, seed: int, say=lambda line: None) -> dict[str, int]:
    """Walk so many steps, a new archive every thousand; return name of act -> how often.

    raises  AssertionError with the seed and the last steps
    """
    people.hasher = PasswordHasher(time_cost=1, memory_cost=8, parallelism=1)
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
