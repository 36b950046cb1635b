"""What an archive should hold, as plain dictionaries: the model that `random_walk.py` holds the real one against."""

from dataclasses import dataclass, field


@dataclass
class Issue:
    """One record as it should be."""

    record: int
    number: str
    kind: str
    job: str
    revision: int
    supersedes: int | None
    key: str
    content: bytes
    secret: str
    issued_at: str
    finished: bool = True
    void: bool = False
    erased: bool = False
    corrects: bool = False


@dataclass
class Firm:
    """One organisation as it should be; `holds` is hold -> job, of those not lifted."""

    id: int
    person: int
    jobs: dict[str, str] = field(default_factory=dict)
    records: dict[int, Issue] = field(default_factory=dict)
    keys: dict[str, int] = field(default_factory=dict)
    holds: dict[int, str] = field(default_factory=dict)
    shares: dict[str, tuple[int, int, bool]] = field(default_factory=dict)
    """Token -> (share, record, open)."""

    def of_job(self, job: str) -> list[Issue]:
        return [one for one in self.records.values() if one.job == job]

    def newest(self, job: str, kind: str | None = None) -> Issue | None:
        found = [one for one in self.of_job(job) if kind in (None, one.kind)]
        return found[-1] if found else None

    def state(self, issue: Issue) -> str:
        """Return void before all; replaced where anything later of the job is made; else current, once it is made itself."""
        if issue.void:
            return "void"
        if self.follows(issue):
            return "replaced"
        return "current" if issue.finished else "unfinished"

    def waits(self, issue: Issue) -> bool:
        """Return whether something later of its job is numbered and not made."""
        return any(one.record > issue.record and not one.finished for one in self.of_job(issue.job))

    def follows(self, issue: Issue) -> set[int]:
        """Return the record that replaced this one, the next of its job that is made, or nothing."""
        later = [one.record for one in self.of_job(issue.job) if one.record > issue.record and one.finished]
        return {min(later)} if later else set()

    def held(self, job: str) -> bool:
        return job in self.holds.values()

    def last(self, kind: str) -> int:
        return sum(1 for one in self.records.values() if one.kind == kind)
