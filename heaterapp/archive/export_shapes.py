"""What is taken out of an archive: which records are wanted, and the shapes in which they are given."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from heaterapp.archive.desk_shapes import Inspection
from heaterapp.archive.shapes import Hit

DESK = (
    "permit_issued_on", "permit_expires_on", "last_inspection_on", "last_inspection_result",
    "final_passed_on", "contact_name", "contact_phone", "contact_email", "access_note", "planned_on",
    "parcel_no", "job_value_usd", "workers_compensation", "contractor_class", "label_no", "label_used_on",
    "label_licence", "label_reported_on", "present_owner", "present_owner_phone", "present_owner_since",
    "nature_of_work",
    "building_use", "owner_does_work", "more_than_one_heater", "flood_related", "size_changes",
    "permit_status", "permit_number",
)  # fmt: skip
"""What the office holds of a job in one word each; permit status and number where the job does not say."""


@dataclass(frozen=True)
class Wanted:
    """Which records: as in `find`, and issued from `since` on and before `until`, both UTC stamps.

    `first_day` and `last_day` are ISO dates as in `find`: the work done or the paper issued on one between.
    """

    text: str = ""
    kind: str | None = None
    state: str | None = None
    person: int | None = None
    since: str | None = None
    until: str | None = None
    first_day: str | None = None
    last_day: str | None = None
    drafts: bool = False
    """With the jobs that have no paper yet: by `text` and `person`, where nothing else is asked."""

    @property
    def narrows(self) -> bool:
        """Whether anything is asked that only a record has."""
        return any(value for name, value in vars(self).items() if name not in ("text", "person", "drafts"))

    def told(self) -> dict[str, object]:
        """What the log keeps of it. Words may be a name or an address, so only that there were some."""
        told = ("kind", "state", "person", "since", "until", "first_day", "last_day")
        kept = {name: getattr(self, name) for name in told}
        return {name: value for name, value in kept.items() if value is not None} | (
            ({"words": True} if self.text.strip() else {}) | ({"drafts": True} if self.drafts else {})
        )


@dataclass(frozen=True)
class Taken:
    """One record that is taken out. Where it was erased, number and dates are all there is."""

    hit: Hit
    erased_at: str | None
    job: bytes | None
    report: bytes | None
    ruleset_digest: str
    ruleset_version: str
    previous_head: str
    content_digest: str
    check_code: str
    desk: Mapping[str, str | None]
    """What the office holds of its job by now, by the names of DESK; empty once erased."""
    inspections: tuple[Inspection, ...] = ()
    """Those of its job, by day; none once erased."""


@dataclass(frozen=True)
class Draft:
    """One job that no paper was issued for."""

    job_id: str
    opened_at: str
    changed_at: str
    answers: Mapping[str, Any]
    desk: Mapping[str, str | None]
    inspections: tuple[Inspection, ...] = ()


@dataclass(frozen=True)
class Paper:
    """One stored file of a record; `body` is None where it was erased."""

    number: str
    revision: int
    issued_at: str
    name: str
    body: bytes | None
