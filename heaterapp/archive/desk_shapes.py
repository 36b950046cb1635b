"""What the desk tells of a job and of its inspections, as plain frozen data; and what it refuses."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from heaterapp.archive.errors import ArchiveError
from heaterapp.archive.shapes import Job

PERMIT_DAYS, WARNED_AFTER = 180, 150
WARNED_BEFORE = PERMIT_DAYS - WARNED_AFTER
"""Days before its end from which a permit is about to lapse."""
STAGES = ("", "permit", "booked", "failed", "final")
"""How far permit and inspection are: nothing known, permit issued, booked, failed or partly so, final."""
RESULTS = ("passed", "failed", "partly", "cancelled")
OPEN_RESULTS = ("failed", "partly")


@dataclass(frozen=True)
class Change:
    """One saving at the desk: who changed what, from what to what."""

    revision: int
    at: str
    by: int | None
    names: Mapping[str, tuple[Any, Any]]
    reason: str = ""
    inspection: int | None = None


@dataclass(frozen=True)
class DeskJob:
    """One job with all that the office holds of it beside its answers."""

    job: Job
    facts: Mapping[str, Any]
    """Office-only facts by name, each text; none that says nothing."""
    revision: int
    stage: str
    day: str | None
    permit_issued_on: str | None
    permit_expires_on: str | None
    """The day it lapses: as typed, else 180 days after issue or the last inspection, the later of the two."""
    final_on: str | None
    changes: tuple[Change, ...]
    """Newest first."""


@dataclass(frozen=True)
class Line:
    """One job as a list shows it."""

    job_id: str
    address: str
    owner: str
    heater_kind: str
    state: str
    installer: int | None
    stage: str
    day: str | None
    opened_at: str
    permit_issued_on: str | None
    permit_expires_on: str | None
    final_on: str | None


@dataclass(frozen=True)
class Item:
    """One thing an inspector asked for."""

    check: str
    """The check it is about, as `relief.pipe_falls`; empty for another thing."""
    text: str
    who: str
    """Who mends it."""
    fixed_on: str
    met_by: int | None = None
    """The record whose report says that the check meets, where it did not in the paper that was inspected."""
    fixed_by: int | None = None
    """Who said that it is mended."""
    said: str = ""
    """What was said of the mending, one line."""
    met_before: bool | None = None
    """Whether the check met in the paper that stood at the inspection; None without one."""
    accepted_on: str = ""
    """The day of the later inspection at which the inspector let it stand."""

    @property
    def open(self) -> bool:
        # A paper proves nothing here: the inspector saw what the paper had not.
        return not self.fixed_on and not self.accepted_on


@dataclass(frozen=True)
class Inspection:
    """One visit of an inspector: booked, and what came of it."""

    id: int
    job_id: str
    booked_for: str
    result: str
    """`booked` until it has one of RESULTS."""
    result_on: str | None
    revision: int
    facts: Mapping[str, str]
    """`window`, `contact`, `phone`, `adult`, `note`, `inspector`, `said`, `final`."""
    items: tuple[Item, ...]

    @property
    def open_items(self) -> tuple[Item, ...]:
        return tuple(item for item in self.items if item.open)


@dataclass(frozen=True)
class Listed:
    """The first of some lines, and how many there are in all."""

    lines: tuple[Any, ...]
    total: int


@dataclass(frozen=True)
class Clash:
    """One thing that two people changed: what stands there now, who changed it, and when."""

    stored: Any
    offered: Any
    by: int | None
    at: str


class DeskConflict(ArchiveError):
    """Somebody else changed the same things since `revision`; nothing was saved.

    `clashes` maps each name to its Clash; `revision` and `job_revision` are those now stored.
    """

    def __init__(self, clashes: Mapping[str, Clash], revision: int, job_revision: int):
        super().__init__("Changed meanwhile by somebody else: " + ", ".join(sorted(clashes)))
        self.clashes = clashes
        self.revision = revision
        self.job_revision = job_revision
