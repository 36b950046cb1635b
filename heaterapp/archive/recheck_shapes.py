"""What a recheck is, as plain frozen data, and what it refuses."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from heaterapp.archive.errors import ArchiveError


class RecheckOpen(ArchiveError):
    """A run of this organisation is not at its end; `run` is its id."""

    def __init__(self, run: int):
        super().__init__("A recheck is under way, or was broken off. Go on with that one.")
        self.run = run


class RecheckMoved(ArchiveError):
    """Somebody else goes on with this run."""


@dataclass(frozen=True)
class Recheck:
    """One run. `total` is as many as there were at its start, `looked` how many were looked at so far."""

    id: int
    organisation: int
    started_at: str
    started_by: int
    moved_at: str
    """When it was begun, or last came further."""
    ruleset_digest: str
    ruleset_version: str
    upto: int
    done_to: int
    total: int
    looked: int
    differing: int
    failed: int
    finished_at: str | None


@dataclass(frozen=True)
class Stored:
    """One certificate as it is judged again."""

    record: int
    job: bytes
    report: bytes


@dataclass(frozen=True)
class Turned:
    """One change of one certificate, as a page lists it."""

    record: int
    number: str
    issued_at: str
    address: str
    change: str
    what: Mapping[str, Any]
