"""The acts of the random walk: each is done to the archive and to its model alike."""

import hashlib
from datetime import UTC, datetime, timedelta
from uuid import UUID

from heaterapp import archive
from heaterapp.archive import Correction, Facts, Submission
from tests.archive.model import Firm, Issue

KINDS = ("certificate",) * 6 + ("correction_list",) * 3 + ("findings_report",)
PREFIXES = {"certificate": "C", "correction_list": "L", "findings_report": "F"}
BEGAN = datetime(2026, 3, 14, 12, 0, tzinfo=UTC)


class Restarted(Exception):
    """The archive was opened again, so heads are not compared."""


class Acts:
    """Needs of the walk: store, firms, draw, seed, steps, moment, secrets, and `_opened` and `_compare`."""

    # Each returns whether the firm's log must have moved.

    def _issue(self, firm: Firm, finish: bool = True) -> bool:
        job = str(UUID(int=self.draw.getrandbits(128)))
        self.store.jobs.create(firm.id, firm.person, {}, job)
        firm.jobs[job] = "draft"
        return self._issued(firm, self._wish(firm, job), finish)

    def _again(self, firm: Firm, finish: bool = True) -> bool:
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
        return self._issued(firm, wish, finish)

    def _slip(self, firm: Firm) -> bool:
        one = self._some(firm)
        if one is None:
            return False
        correction = Correction(one.record, {"owner_name": "X"}, {"owner_name": None})
        wish = self._wish(firm, one.job, kind=one.kind, supersedes=one.record, correction=correction, reason="misspelt")
        if firm.jobs[one.job] == "erased":
            return self._refused(archive.ArchiveError, lambda: self.store.issue(wish))
        if firm.state(one) not in ("current", "unfinished"):
            return self._refused(archive.NotCurrent, lambda: self.store.issue(wish))
        if firm.waits(one):
            return self._refused(archive.PapersWait, lambda: self.store.issue(wish))
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
            # The same act again is done already; with another reason it is another.
            again = lambda: self.store.void(firm.id, one.record, firm.person, "wrong heater")  # noqa: E731
            return self._refused(archive.AlreadyVoid, again)
        if firm.state(one) == "replaced":
            return self._refused(archive.NotCurrent, act)
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
            present = {self.store.records.present(firm.id, job)} - {None}
            assert [hit.number for hit in present] == [one.number for one in firm.of_job(job) if firm.state(one) == "current"]
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

    def _recheck(self, firm: Firm) -> bool:
        run = self.store.rechecks.start(firm.id, firm.person, "rules-now", "2")
        live = [one for one in firm.records.values() if one.kind == "certificate" and not one.erased and one.finished]
        current = {one.record for one in live if firm.state(one) == "current"}
        assert {one.record for one in self.store.rechecks.batch(run, 0, 5000)} == current
        self.store.rechecks.finish(run, firm.person)
        return True

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
        """Numbered, and then the process was gone; half of the time for a job that has a paper."""
        return self.draw.choice((self._issue, self._again))(firm, finish=False)

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
