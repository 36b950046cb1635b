"""What goes into the archive and what comes out, as plain frozen data.

Times are UTC in whole seconds, written `2026-03-14T09:26:53Z`; dates are
`2026-03-14`. Ids of organisations, people and records are integers; a job's id is
a UUID in text, made by the phone or the server.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from heaterapp.archive.public_shapes import PublicRecord as PublicRecord
from heaterapp.archive.wish import KINDS as KINDS
from heaterapp.archive.wish import Arrival as Arrival
from heaterapp.archive.wish import Correction as Correction
from heaterapp.archive.wish import Facts, Photo
from heaterapp.archive.wish import Submission as Submission

ROLES = ("installer", "office", "owner")


@dataclass(frozen=True)
class Organisation:
    id: int
    slug: str
    name: str
    licence: str
    phone: str
    address: str
    settings: Mapping[str, Any]
    """Free JSON, e.g. `{"place": "us_ca_2022", "prefixes": {"certificate": "C"}}`; secrets are left out."""


@dataclass(frozen=True)
class Person:
    id: int
    organisation: int
    login: str
    name: str
    role: str
    licence: str
    disabled: bool
    proof: str = field(default="", compare=False, repr=False)
    """What stood for the password when this person was asked for a sign-in; empty on every other way."""


@dataclass(frozen=True)
class Session:
    """A sign-in kept on the server. The token itself is stored nowhere."""

    id: int
    organisation: int
    person: Person
    firm: Organisation
    device: str
    created_at: str
    last_seen_at: str
    ended_at: str | None
    expires_at: str


@dataclass(frozen=True)
class Job:
    """A job being worked on. `answers` is the questions' names to their values."""

    id: str
    organisation: int
    installer: int | None
    answers: Mapping[str, Any]
    signature: Mapping[str, Any] | None
    signature_revision: int | None
    state: str
    """`draft`, `issued` or `erased`."""
    revision: int
    created_at: str
    updated_at: str

    @property
    def signature_is_current(self) -> bool:
        """Whether the answers are still the ones that were signed."""
        return self.signature is not None and self.signature_revision == self.revision


@dataclass(frozen=True)
class Issued:
    """The answer to a submission, the same for every repetition of it."""

    record: int
    organisation: int
    number: str
    kind: str
    job_id: str
    revision: int
    issued_at: str
    check_code: str
    finished: bool
    """Whether the PDF is stored. Only then may the number be told to anybody."""
    repeated: bool
    """True when the key had been used before and this is the first answer again."""


@dataclass(frozen=True)
class Record:
    """Everything that was issued, and all a renderer may look at.

    Nothing in it ever changes, so a paper that is a pure function of it can be
    made again to the same byte. What does change (finished, superseded) is in
    `Status`.
    """

    id: int
    organisation: int
    number: str
    kind: str
    job_id: str
    revision: int
    """1 for the first of this kind for the job, then 2, 3 ..."""
    supersedes: int | None
    supersedes_number: str | None
    issued_at: str
    issued_by: Mapping[str, Any]
    """`id`, `name`, `role`, `licence` of the person, as they were."""
    organisation_snapshot: Mapping[str, Any]
    """`name`, `slug`, `licence`, `phone`, `address`, `settings`, as they were; name and license as they were
    corrected for this job, where somebody did."""
    job: bytes
    report: bytes
    signature: bytes | None
    facts: Facts
    context: Mapping[str, Any]
    reason: str
    ruleset_digest: str
    ruleset_version: str
    previous_head: str
    """Head of the log just before this record: 64 hex digits, printed on the paper."""
    content_digest: str
    """64 hex digits over the record and the salted digests of its content."""
    check_code: str
    """60 bits of `content_digest` as three groups of four letters and digits."""
    photos: tuple[Photo, ...] = ()
    logo: bytes | None = None
    """The logo that `organisation_snapshot["settings"]["logo"]` names by its SHA-256: a small JPEG."""
    replaces_number: str | None = None
    """The paper of the job, of any kind, that stood until this one was issued: kept as it was written then.
    Before this was kept, a paper named the one before of its own kind; such a paper still does."""


@dataclass(frozen=True)
class Status:
    """What became of a record."""

    record: int
    finished: bool
    superseded_by: int | None
    superseded_by_number: str | None
    installer: int | None
    """The person whose job it was; None once erased."""
    voided_at: str | None = None
    void_reason: str | None = None

    @property
    def current(self) -> bool:
        return self.state == "current"

    @property
    def state(self) -> str:
        """`void`, else `replaced`, else `unfinished` while its papers are not stored, else `current`."""
        return _state(self.voided_at, self.superseded_by, self.finished)


@dataclass(frozen=True)
class Hit:
    """One line of a search answer or of a job's history."""

    record: int
    number: str
    kind: str
    job_id: str
    revision: int
    issued_at: str
    facts: Facts
    installer: int | None
    finished: bool
    superseded_by: int | None
    superseded_by_number: str | None
    voided_at: str | None = None
    void_reason: str | None = None
    erased: bool = False
    """Whether its content was erased; what else became of it is still told by `state`."""

    @property
    def state(self) -> str:
        """`void`, else `replaced`, else `unfinished` while its papers are not stored, else `current`."""
        return _state(self.voided_at, self.superseded_by, self.finished)


@dataclass(frozen=True)
class Unmade:
    """A numbered record whose papers are not stored yet."""

    record: int
    number: str
    job_id: str
    address: str
    issued_at: str
    superseded_by_number: str | None
    failed_at: str
    """UTC stamp of the last try that failed; empty where none did."""
    why: str
    """Why it failed."""


def _state(voided_at: str | None, superseded_by: int | None, finished: bool) -> str:
    if voided_at is not None:
        return "void"
    return "replaced" if superseded_by is not None else "current" if finished else "unfinished"


@dataclass(frozen=True)
class Page:
    """Some hits, newest first; pass `next` as `after` for the following page, None at the end."""

    hits: tuple[Hit, ...]
    next: int | None


@dataclass(frozen=True)
class Share:
    id: int
    organisation: int
    record: int
    created_at: str
    created_by: int | None
    expires_at: str | None
    revoked_at: str | None
    shows: int = 0
    """The record that it opens: its own, or a newer one of the job that the office led it on to."""


@dataclass(frozen=True)
class LogEntry:
    organisation: int
    seq: int
    at: str
    act: str
    """`ruleset`, `issue`, `finish`, `share`, `share_revoked`, `erase`, `amend`, `void`."""
    actor: int | None
    record: int | None
    body: str
    previous: str
    digest: str
    said: Mapping[str, str] = field(default_factory=dict)
    """What the person typed, name -> words; empty words once they were erased."""


@dataclass(frozen=True)
class Fault:
    """One thing `verify` found wrong: which table, which row, which field, and what."""

    table: str
    row: str
    field: str
    what: str

    def __str__(self) -> str:
        return f"{self.table} {self.row} {self.field}: {self.what}"


@dataclass(frozen=True)
class Verified:
    """What `verify` looked at and found."""

    entries: int
    records: int
    payloads: int
    rulesets: int
    shares: int
    faults: tuple[Fault, ...]

    @property
    def ok(self) -> bool:
        return not self.faults


@dataclass(frozen=True)
class Finished:
    """What `finish_pending` did: ids finished, and ids with the error that stopped them."""

    finished: tuple[int, ...]
    failed: tuple[tuple[int, str], ...]


Render = Callable[[Record], Mapping[str, bytes]]
"""Makes the papers: file name (`certificate.pdf`) to bytes. Pure: same record, same bytes."""
