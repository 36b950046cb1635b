"""What the homeowner's texts are made from: one record and how it stands, as plain data.

Knows no database and no web: the record is taken by its fields, as the papers take it.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from heaterapp.rules import asked_only
from heaterapp.sheet.older import whole

TANKS = frozenset({"gas_storage", "electric_storage", "heat_pump_storage", "indirect"})
GAS = frozenset({"gas_storage", "gas_instantaneous"})
ELECTRIC = frozenset({"electric_storage", "heat_pump_storage", "electric_instantaneous"})
TANKLESS = frozenset({"gas_instantaneous", "electric_instantaneous"})
KINDS = TANKS | TANKLESS
OF_OTHERS = "findings_report"
"""The paper of an installation that others made."""


@dataclass(frozen=True)
class Standing:
    """What became of a record.

    state           current, replaced or void
    present_number  the paper of the job that stands now, where there is one
    present_kind    its kind: certificate, correction_list or findings_report
    failed_on       ISO date of the job's last inspection where that was not passed, or in part only
    hazard_stands   whether the paper that stands now in its place has a hazard
    """

    state: str = "current"
    present_number: str = ""
    present_kind: str = ""
    failed_on: str = ""
    hazard_stands: bool = False

    @property
    def is_current(self) -> bool:
        return self.state == "current"

    @property
    def is_void(self) -> bool:
        return self.state == "void"

    @property
    def is_followed(self) -> bool:
        """Whether another paper of the job stands in its place now."""
        return not self.is_current and bool(self.present_number)


@dataclass(frozen=True)
class Known:
    """One record as the homeowner is told of it.

    paper      certificate, correction_list or findings_report
    kind       what heater it is, "" where nobody said
    answers    what the job asked and what was answered
    report     how it was judged
    firm       the firm as it was: name, phone, address, licence, settings
    gas_phone  the natural gas company's emergency phone, by the firm's present settings
    job        the job's id: what ids in calendars are made from, never shown
    before     how many papers the job had before this one
    contact    the firm as it is reached now: name, phone, address, licence; empty where nobody knows
    """

    paper: str
    number: str
    issued_at: str
    kind: str
    answers: Mapping[str, Any]
    report: Mapping[str, Any]
    firm: Mapping[str, Any]
    address: str
    model: str
    serial: str
    permit: str
    work_date: str
    place: str
    job: str
    standing: Standing
    gas_phone: str = ""
    before: int = 0
    contact: Mapping[str, str] = field(default_factory=dict)

    @classmethod
    def of(
        cls, record: Any, standing: Standing | None = None, gas_phone: str = "", before: int = 0,
        contact: Mapping[str, str] | None = None,
    ) -> Known:
        """Take from the archive's record all that the homeowner is told."""
        answers = asked_only(json.loads(record.job))
        kind = answers.get("heater_kind")
        known, facts = isinstance(kind, str) and kind in KINDS, record.facts
        return cls(
            record.kind, record.number, record.issued_at, kind if known else "", answers,
            whole(json.loads(record.report)), record.organisation_snapshot,
            facts.address or "", facts.model or "",
            facts.serial or "", facts.permit or "", facts.work_date or "", facts.place or "",
            record.job_id, standing or Standing(), gas_phone, before, contact or {},
        )  # fmt: skip

    @property
    def is_tank(self) -> bool:
        return self.kind in TANKS

    @property
    def burns(self) -> bool:
        """Whether something may burn for it: a boiler may, and so may a heater that nobody named."""
        return self.kind not in ELECTRIC

    def reached(self, what: str) -> str:
        """Return the firm's name, phone, address or licence as it is now, else as the paper has it.

        A number that the firm gave up leads nowhere, or to somebody else.
        """
        named = {**self.contact, "name": self.contact.get("name") or self.firm.get("name")}
        return str((named if self.contact else self.firm).get(what) or "")

    @property
    def gas(self) -> str:
        """Which gas the house has: natural, propane, "" where nobody said."""
        return str(self.answers["gas_kind"]) if self.says("gas_kind", "natural", "propane") else ""

    @property
    def utility_phone(self) -> str:
        """The gas company's emergency phone, where it is the company that this house has its gas from."""
        return self.gas_phone if self.burns and self.gas == "natural" else ""

    @property
    def is_electric(self) -> bool:
        """Whether it runs on electricity alone, or nobody named its kind."""
        return self.kind in ELECTRIC or not self.kind

    @property
    def is_others_work(self) -> bool:
        return self.paper == OF_OTHERS

    @property
    def straps(self) -> int:
        """How many straps were recorded."""
        heights = self.answers.get("strap_heights_in")
        there = isinstance(heights, list) and self.answers.get("strap_kind") != "none"
        return len(heights) if there and isinstance(heights, list) else 0

    @property
    def is_strapped(self) -> bool:
        """Whether straps were recorded, their heights or not."""
        if self.found_no_strap:
            return False
        kind = self.answers.get("strap_kind")
        return self.straps > 0 or (isinstance(kind, str) and kind != "")

    @property
    def found_no_strap(self) -> bool:
        """Whether it is recorded that there is none: by their kind, or by heights that are none."""
        return self.says("strap_kind", "none") or self.answers.get("strap_heights_in") == []

    def says(self, name: str, *values: str) -> bool:
        """Say whether a question was answered by one of these values."""
        return self.answers.get(name) in values

    def unmeasured(self, name: str) -> bool:
        """Say whether somebody tried and could not measure it."""
        return isinstance(self.answers.get(name), dict)

    def as_usual(self, name: str) -> bool:
        """Say whether an answer was accepted as usual and not measured."""
        return name in (self.answers.get("accepted_as_usual") or ())
