"""The invented town of Port Larkin and its contractor, Harborlight Plumbing: people, jobs, papers.

Everything is made through the archive's own doors, as at the pages, and can be made
again: what is there already stays as it is. Nobody and nothing in it is real.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from importlib.resources import files
from typing import Any
from uuid import NAMESPACE_URL, uuid5

from heaterapp import demo_desk
from heaterapp.archive.shapes import Job, Organisation, Person, Render
from heaterapp.filling.signed import STATEMENTS, answers_digest, kind_for
from heaterapp.issue import submission
from heaterapp.replacing import former_of
from heaterapp.rules import assess

FIRM = "Harborlight Plumbing"
PEOPLE = (
    ("riley", "Riley Okafor", "installer", "pilot-flame-blue-7", "J-20417"),
    ("june", "June Castellanos", "office", "filing-drawer-oak-3", ""),
    ("tomas", "Tomas Lindqvist", "owner", "harbor-light-north-9", "C36-000000"),
)
FIRM_FACTS = {"licence": "C36-000000", "phone": "555-0142", "address": "8 Quay Road, Port Larkin, CA 95999"}
SETTINGS = {"place": "us_ca_2022", "gas_emergency_phone": "555-0111", "time_zone": "America/Los_Angeles"}
MADE_BY = uuid5(NAMESPACE_URL, "urn:heaterapp:demo")


class NotEmpty(Exception):
    """The database holds another firm already."""


@dataclass(frozen=True)
class Visit:
    """One paper of a job: what was changed before it was issued, and why."""

    changes: Mapping[str, Any] = field(default_factory=dict)
    reason: str = ""


@dataclass(frozen=True)
class Story:
    """One job: its heater, what is different about it, and each paper that was issued for it."""

    ref: str
    heater: str
    street: str
    owner: str
    serial: str
    day: str
    different: Mapping[str, Any] = field(default_factory=dict)
    visits: tuple[Visit, ...] = (Visit(),)
    only: tuple[str, ...] = ()
    """The beginnings of a draft: only these answers are there yet."""


LOW_AIR = {"precharge_psi": 40}
ONE_STRAP = {"strap_heights_in": [68], "expansion_tank_support": "pipe_only", "place": "model_upc_2024"}
LARGER = {"storage_gal": 50, "first_hour_gal": 80, "heater_model": "LW-50N", "dry_weight_lb": 145}
ARRIVED = ("place", "job_kind", "address_city", "address_state", "address_zip", "building_kind")
PLATE = ("heater_kind", "heater_maker", "heater_model", "storage_gal", "input_btuh", "thermostat_f")
WATER = (
    "drew_water_before_reading",
    "house_pressure_psi",
    "prv_fitted",
    "prv_setting_psi",
    "expansion_device",
)
STORIES = (
    Story("PL-0401", "gas", "12 N. Oak Ave", "Dana Whitlock", "LW26K0041877", "2026-09-03"),
    Story("PL-0402", "electric", "7 Ferry Lane", "Amina Reyes", "LW26E0050133", "2026-09-10"),
    Story("PL-0403", "gas", "48 Cannery Row East", "Bruno Tate", "LW26K0041902", "2026-09-17", ONE_STRAP),
    Story(
        "PL-0404", "gas", "31 Lighthouse Road", "Mei-Lin Foster", "LW26K0042015", "2026-10-01", LOW_AIR,
        (Visit(), Visit({"precharge_psi": 60}, "Tank air set to the house pressure.")),
    ),
    Story(
        "PL-0405", "gas", "5 Harbor Street", "Ines Calloway", "LW26K0042177", "2026-10-08",
        {"address_unit": "Unit B"},
        (Visit(), Visit({"heater_serial": "LW26K0042771"}, "Two digits of the serial number were swapped.")),
    ),
    Story(
        "PL-0406", "gas", "220 Sailmaker Court", "Walter Nunes", "LW11K0007713", "2026-10-15",
        {"job_kind": "existing", "install_year": 2011, "precharge_psi": 40},
    ),
    Story("PL-0407", "electric", "19 Net Loft Lane", "Priya Sandoval", "LW26E0050260", "2026-10-22"),
    Story("PL-0408", "gas", "640 Bayview Terrace", "Owen Marsh", "LW26N0050031", "2026-11-05", LARGER),
    Story("PL-0409", "gas", "3 Chandlery Square", "Rosa Whitfield", "", "2026-11-24", {}, (), ARRIVED),
    Story(
        "PL-0410", "gas", "77 Mariner Way", "Edda Novak", "LW26K0042300", "2026-11-24", LOW_AIR, (),
        (*ARRIVED, *PLATE, *WATER, "expansion_tank_gal", "expansion_acceptance_gal", "precharge_psi"),
    ),
    Story(
        "PL-0411", "electric", "14 Tidewater Alley", "Sam Okoye", "LW26E0050301", "2026-11-25",
        {"breaker_a": None, "wire_awg": None}, (),
    ),
    Story("PL-0412", "gas", "90 Quay Road", "Lotte Ferrer", "LW26K0042355", "2026-11-25", {}, ()),
)  # fmt: skip


def fill(store: Any, render: Render, say: Callable[[str], None] = print) -> str:
    """Make the firm, its people and its jobs, and return the sign-ins to show.

    store   the open archive
    render  makes a record's papers
    say     is told what is being done
    raises  NotEmpty
    """
    firm = _firm(store)
    people = {login: _person(store, firm, login, *facts) for login, *facts in PEOPLE}
    for count, story in enumerate(STORIES, 1):
        if not store.records.by_key(firm.id, f"demo-{story.ref}-{max(len(story.visits), 1)}"):
            say(f"Port Larkin, job {count} of {len(STORIES)}: {story.street}")
        _tell(store, firm, people["riley"], story, render)
    demo_desk.fill(store, firm, people["june"], MADE_BY)
    lines = [f"  {login:8} {password:24} {role}" for login, _, role, password, _ in PEOPLE]
    return "\n".join(["The demo is ready. Sign in as one of:", *lines])


def _firm(store: Any) -> Organisation:
    firm = store.organisations.default()
    if firm.name not in {"", FIRM} or (not firm.name and store.people.all(firm.id)):
        raise NotEmpty(
            "This database holds a firm of its own, so the demo was not added:"
            " name an empty folder with HEATERAPP_DATA."
        )
    if firm.name == FIRM:
        return firm
    store.organisations.save_settings(firm.id, SETTINGS)
    return store.organisations.save(firm.id, name=FIRM, **FIRM_FACTS)


def _person(
    store: Any, firm: Organisation, login: str, name: str, role: str, password: str, licence: str
) -> Person:
    known = store.people.by_login(firm.id, login)
    return known or store.people.add(firm.id, login, name, role, password, licence)


def _tell(store: Any, firm: Organisation, installer: Person, story: Story, render: Render) -> None:
    job_id = str(uuid5(MADE_BY, story.ref))
    job = store.jobs.create(firm.id, installer.id, answers_of(story), job_id)
    for count, visit in enumerate(story.visits, 1):
        key = f"demo-{story.ref}-{count}"
        issued = store.records.by_key(firm.id, key)
        if issued is None:
            job = _changed(store, firm, job, visit)
            _sign(store, installer, job)
            former = former_of(store, firm.id, job_id)
            now = store.jobs.get(firm.id, job_id)
            wish = submission(installer, now, key, reason=visit.reason, former=former)
            store.issue_and_finish(wish, render)
        elif not issued.finished:
            store.finish(firm.id, issued.record, render)
        job = store.jobs.get(firm.id, job_id)


def _changed(store: Any, firm: Organisation, job: Job, visit: Visit) -> Job:
    if job.state == "issued":
        job = store.jobs.reopen(firm.id, job.id)
    store.jobs.save_answers(firm.id, job.id, visit.changes)
    return store.jobs.get(firm.id, job.id)


def _sign(store: Any, installer: Person, job: Job) -> None:
    signed = {
        "name": installer.name,
        "role": "installer",
        "statement": STATEMENTS[kind_for(dict(job.answers), assess(dict(job.answers)).outcome)],
        "method": "typed",
        "at": datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ"),
        "answers_sha256": answers_digest(dict(job.answers)),
    }
    store.jobs.save_signature(job.organisation, job.id, {"signatures": [signed]})


def answers_of(story: Story) -> dict[str, Any]:
    """Return a story's answers: its heater, who and where, and what is different about it."""
    heaters = tomllib.loads(files("heaterapp").joinpath("demo_heaters.toml").read_text("utf-8"))
    installer = next(person for person in PEOPLE if person[2] == "installer")
    answers = {
        **heaters[story.heater],
        "job_ref": story.ref,
        "address_street": story.street,
        "owner_name": story.owner,
        "heater_serial": story.serial,
        "permit_number": f"B26-0{story.ref[-4:]}",
        "work_date": story.day,
        "installer_name": installer[1],
        "installer_licence": installer[4],
        "contractor_name": FIRM,
        "contractor_licence": FIRM_FACTS["licence"],
        **story.different,
    }
    if story.only:
        kept = {*story.only, "job_ref", "address_street", "owner_name", "work_date", "installer_name"}
        answers = {name: value for name, value in answers.items() if name in kept}
    return {name: value for name, value in answers.items() if value not in (None, "")}
