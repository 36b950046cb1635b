"""What the pages for an insurer, a home buyer and a warranty claim say of a record, and how it stands.

First what kind of paper it is and what is to fix or open on it, by name: the answers alone would read
as if all were well. Words that an installer typed freely may name people and are left out.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from heaterapp import archive, rules
from heaterapp.certificate.filed import bars_certificate
from heaterapp.sheet.answered import accepted as accepted_as_usual
from heaterapp.sheet.findings import is_open_item, topic_and_name
from heaterapp.sheet.older import whole
from heaterapp.sheet.words import book_beside
from heaterapp.web.days import day_of_record, shown_day
from heaterapp.web.desk_block import left_open
from heaterapp.web.office import KINDS
from heaterapp.web.recorded import said_line, shown
from heaterapp.web.security import store

Answers = Mapping[str, Any]
Lines = list[tuple[str, str]]

PERMIT = ("permit_status", "permit_number")
DONE_BY = ("installer_name", "installer_licence")
HEATER = ("heater_kind", "heater_maker", "heater_model", "heater_serial", "storage_gal")
INSURER = (
    ("Installation", ("work_date", *PERMIT, *DONE_BY)),
    ("Heater", (*HEATER, "room")),
    (
        "Leak protection",
        ("leak_would_damage", "pan_fitted", "pan_material", "pan_depth_in", "pan_drain_end", "pan_substitute",
         "no_leaks_seen", "cold_shutoff"),
    ),
    ("Relief valve", ("relief_fitted", "relief_valve_new", "relief_end")),
)  # fmt: skip
WARRANTY = (
    ("Heater", HEATER),
    ("Installation", ("work_date", *DONE_BY, "contractor_name", "permit_number")),
    ("Water pressure", ("house_pressure_psi", "prv_fitted", "prv_setting_psi", "street_pressure_psi")),
    (
        "Expansion",
        ("check_valve_upstream", "backflow_preventer_upstream", "expansion_device", "expansion_tank_gal",
         "expansion_acceptance_gal", "precharge_psi", "pressure_rises_on_heating"),
    ),
    ("Temperature", ("thermostat_f", "mixing_valve_fitted", "mixed_outlet_f", "outlet_temperature_f")),
)  # fmt: skip
BUYER = (("", ("work_date", "permit_number", *HEATER[:4], "strap_kind", "strap_heights_in", "strap_anchor",
               "gap_blocked")),)  # fmt: skip
PARTS = {"insurer": INSURER, "warranty": WARRANTY, "address": BUYER}
NOT_OURS = frozenset(("work_date", *DONE_BY, "contractor_name"))
"""Who looked over somebody else's work did not install it: these answers are of the looking over."""
INSTALLATION = "Installation"
MOST_NAMED = 8
UNMEASURED = "Could not be measured."
AS_USUAL = "(accepted as usual, not measured)"
WHAT_IT_IS = {
    "certificate": "",
    "correction_list": ", not a certificate",
    "findings_report": ", not an installer's certificate",
}
WHAT_IT_WAS = {
    "certificate": "",
    "correction_list": "It was not a certificate.",
    "findings_report": "It was not an installer's certificate.",
}
RELY = {"void": "Do not rely on {number}.", "replaced": ""}


@dataclass(frozen=True)
class Left:
    """One thing that is to fix, open or to answer: what, how it was found, by which section."""

    word: str
    name: str
    says: str
    section: str


@dataclass(frozen=True)
class Outcome:
    """How a paper came out: a sentence for its head, and what is left, the gravest first."""

    head: str
    left: tuple[Left, ...]
    inspection: str = ""
    """What of the inspections of its job is not done, in a sentence."""
    became: str = ""
    """What became of a paper that stands no more: said before all, and then nothing that reads as a pass."""

    @property
    def sentence(self) -> str:
        """What is said of it first."""
        return " ".join(filter(None, (self.became, self.head, self.inspection)))

    @property
    def named(self) -> str:
        """How it came out, and what is left by name, for a cover page that says itself what became of it."""
        names = [one.name for one in self.left]
        more = [f"and {len(names) - MOST_NAMED} more"] if len(names) > MOST_NAMED else []
        listed = f"{'; '.join((*names[:MOST_NAMED], *more))}." if names else ""
        return " ".join(filter(None, (self.head, listed, self.inspection)))


def outcome_of(opened: archive.Record) -> Outcome:
    """Return what kind of paper it is and its outcome, by its own report, and its inspections'."""
    found = [one for one in whole(json.loads(opened.report))["findings"] if one["kind"] == "rule"]
    barred = [one for one in found if bars_certificate(one)]
    sorted_out = (
        ("to fix", "To fix", [one for one in barred if one["verdict"] != "unanswered"]),
        ("open", "Open", [one for one in found if _is_open(one, barred)]),
        ("not answered", "Not answered", [one for one in barred if one["verdict"] == "unanswered"]),
    )
    taken = [one for one in found if one.get("accepted") and one not in barred]
    counts = [f"{len(some)} {counted}" for counted, _, some in sorted_out if some]
    inspection = left_open(opened.organisation, opened.job_id)
    # What the inspector found open, the paper had not seen.
    nothing = "nothing to fix by the paper itself" if inspection else "nothing to fix, nothing open"
    accepted = [f"{len(taken)} accepted by the authority"] if taken else []
    state = store().records.status(opened.organisation, opened.id).state
    left = tuple(_left(word, one) for _, word, some in (*sorted_out, ("", "", taken)) for one in some)
    if state in RELY:
        then = ", ".join([*counts, *accepted])
        rely = RELY[state].format(number=opened.number)
        was = f"When it was issued: {then}." if then else ""
        became = " ".join(filter(None, (f"{KINDS[opened.kind]} {state_words(opened)}", rely)))
        return Outcome(" ".join(filter(None, (WHAT_IT_WAS[opened.kind], was))), left, inspection, became)
    said = ", ".join([*(counts or [nothing]), *accepted])
    head = f"{KINDS[opened.kind]} {opened.number}{WHAT_IT_IS[opened.kind]}: {said}."
    return Outcome(head, left, inspection)


def _is_open(finding: Mapping[str, Any], barred: Sequence[Mapping[str, Any]]) -> bool:
    """Whether it still waits for a word of the authority or a designer."""
    return is_open_item(finding) and finding not in barred and not finding.get("accepted")


def present_told(opened: archive.Record, on_paper: bool = False) -> str:
    """Say which paper stands in the place of one that does not, and how it came out; else nothing.

    on_paper  with what it leaves open by name
    """
    hit = store().records.hit(opened.organisation, opened.number)
    if hit.state == "current":
        return ""
    present = store().records.present(opened.organisation, opened.job_id)
    if present is None or present.erased:
        return "No paper of this job stands now."
    stands = store().records.get(opened.organisation, present.record)
    serials = stands.facts.serial, opened.facts.serial
    other = f" Its serial number is {serials[0] or 'not recorded'}, not {serials[1] or 'as here, none'}."
    outcome = outcome_of(stands)
    told = outcome.named if on_paper else outcome.sentence
    return f"What stands now is {present.number}. {told}{other if serials[0] != serials[1] else ''}"


def _left(word: str, finding: Mapping[str, Any]) -> Left:
    taken = finding.get("accepted")
    # Why it could not be measured is told in somebody's own words.
    why = UNMEASURED if finding["why"].startswith("Could not be measured") else finding["why"]
    says = "" if finding["verdict"] == "unanswered" else why
    section = ", ".join(part for part in (finding["section"], book_beside(finding)) if part)
    accepted = f"Accepted on {shown_day(taken['on'])}" if taken else ""
    return Left(accepted or word, topic_and_name(finding["check"]), says, section)


def looked_over(opened: archive.Record) -> str:
    """Return who looked an installation of others over, and when it was installed; else nothing."""
    if opened.kind != "findings_report":
        return ""
    answers = answers_of(opened)
    day = shown("work_date", answers["work_date"]) if "work_date" in answers else ""
    by = str(answers.get("installer_name") or opened.issued_by.get("name") or "")
    firm = str(opened.organisation_snapshot.get("name") or "")
    year = answers.get("install_year")
    told = [f"on {day}" if day else "", f"by {by}" if by else "", f"of {firm}" if by and firm else ""]
    done = f"in {year} by others" if isinstance(year, str) and year.isdigit() else "by others, year not known"
    return f"Looked over {' '.join(filter(None, told))}; installed {done}.".replace("over ;", "over;")


def answers_of(opened: archive.Record) -> Answers:
    """Return the answers to what the job asks."""
    asked: Answers = rules.asked_only(json.loads(opened.job))
    return asked


def facts_of(opened: archive.Record, view: str) -> list[tuple[str, Lines]]:
    """Return (title, [(label, value)]) of a view, without what would call others' work this firm's own."""
    answers = answers_of(opened)
    others = NOT_OURS if opened.kind == "findings_report" else frozenset()
    told, usual = answers.keys() - others, frozenset(accepted_as_usual(answers))
    found = [
        (title, [_told(n, answers[n], n in usual) for n in names if n in told])
        for title, names in PARTS[view]
    ]
    return [(title, lines) for title, lines in found if lines or title == INSTALLATION]


def _told(name: str, value: Any, usual: bool) -> tuple[str, str]:
    label, said = said_line(name, value)
    if usual:
        return label, f"{said} {AS_USUAL}"
    # Why something was not measured is told in the installer's own words, which may name people.
    return label, "Could not measure" if isinstance(value, dict) else said


def state_words(opened: archive.Record, then: archive.Hit | None = None) -> str:
    """Say in a sentence what became of a record.

    then  its line as it stood at another moment than now
    """
    status = then or store().records.status(opened.organisation, opened.id)
    if status.state == "void":
        by = f" {_in_its_place(opened, status.superseded_by_number)}" if status.superseded_by_number else ""
        return f"{opened.number} is void since {shown_day(day_of_record(opened, status.voided_at))}.{by}"
    if status.state == "replaced":
        return f"{opened.number} was replaced by {status.superseded_by_number}."
    return f"{opened.number} is the current paper of this job."


def _in_its_place(opened: archive.Record, next_one: str) -> str:
    """Name what stands in the place of a void paper; where that stands no more, as the next one alone."""
    present = store().records.present(opened.organisation, opened.job_id)
    stands = present is not None and present.number == next_one
    return f"{next_one} stands in its place." if stands else f"{next_one} was issued after it."
