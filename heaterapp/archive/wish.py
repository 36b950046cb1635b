"""What goes in when something is issued, as plain frozen data."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

KINDS = ("certificate", "correction_list", "findings_report")


@dataclass(frozen=True)
class Facts:
    """What a record can be found by. One printable line of at most 300 characters each."""

    address: str = ""
    owner: str = ""
    serial: str = ""
    model: str = ""
    permit: str = ""
    work_date: str = ""
    """A date such as 2026-03-14, or empty."""
    installer: str = ""
    """The installer's name, as printed."""
    place: str = ""


@dataclass(frozen=True)
class Photo:
    """One photo of a job, as it is kept: what it shows, and the picture after it was made anew here."""

    kind: str
    note: str
    chosen: bool
    """Whether it is to be printed on the paper."""
    taken_at: str
    """By the clock of the phone."""
    sha256: str
    """Of the file that the phone sent, 64 hex digits."""
    width: int
    height: int
    body: bytes


@dataclass(frozen=True)
class Arrival:
    """A job as a phone sent it, to be kept and issued at once."""

    changes: Mapping[str, Any]
    """Question -> answer, None takes it away; over the job's present answers."""
    signature: Mapping[str, Any]
    revision: int
    """The revision that the job must have now; 0 for a job that is not here yet."""
    differs: str = ""
    """JSON that says in what the phone judged otherwise than we; empty where it did not."""


@dataclass(frozen=True)
class Correction:
    """A slip put right without a new signature: the next revision of a record, by the office."""

    record: int
    """The one corrected: the submission's `supersedes`, and current when this is issued."""
    changes: Mapping[str, Any]
    """Question -> its right answer; None where there is none."""
    before: Mapping[str, Any]
    """Question -> what the record says."""


@dataclass(frozen=True)
class Submission:
    """One wish to issue. Send it again with the same `key` as often as needed.

    `job`, `report` and `signature` are the canonical JSON bytes; the archive
    keeps exactly these. `ruleset_zip` may be None when this digest is stored
    already. `job_revision`, when given, must be the job's present revision.
    `supersedes`, when given, must be the job's current record of this kind;
    when None, whatever is current is superseded.

    `photos` and the exact bytes of a phone's `parcel` become part of the record's own
    content. With `arrival` the job itself is made or saved in the same transaction; with
    `correction` its answers are put right, and whether it is open or issued stays as it is.
    """

    organisation: int
    person: int
    job_id: str
    key: str
    kind: str
    job: bytes
    report: bytes
    signature: bytes | None
    ruleset_digest: str
    ruleset_version: str
    ruleset_zip: bytes | None
    facts: Facts = field(default_factory=Facts)
    context: Mapping[str, Any] = field(default_factory=dict)
    """Anything else the paper needs, as JSON; kept with the record."""
    job_revision: int | None = None
    supersedes: int | None = None
    reason: str = ""
    photos: tuple[Photo, ...] = ()
    parcel: bytes | None = None
    arrival: Arrival | None = None
    correction: Correction | None = None
