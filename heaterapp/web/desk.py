"""The office's desk: what needs doing today, every job, and a job opened by the office."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any
from uuid import UUID, uuid4

from flask import Blueprint, redirect, render_template, request, url_for

from heaterapp import firm_days
from heaterapp.archive.desk_board import FILTERS
from heaterapp.archive.desk_shapes import Clash, Line, Listed
from heaterapp.archive.waiting import Since
from heaterapp.archive.words import same_address
from heaterapp.filling.starting import account_answers, known_already
from heaterapp.filling.together import kept_apart
from heaterapp.rules import CATALOGUE, place_names
from heaterapp.web.chosen_codes import choices as codes
from heaterapp.web.days import days_told, days_until, local_day, shown_moment, today
from heaterapp.web.desk_fields import EVERY, FIELDS, GROUPS, NEW_OWNER, Read, in_words, read_form
from heaterapp.web.desk_words import (
    STATES,
    UNDATED,
    YEAR_DAYS,
    booked_step,
    failed_step,
    permit_days,
    state_words,
)
from heaterapp.web.firm_settings import OF_EACH_JOB
from heaterapp.web.security import current_organisation, current_person, require, store
from heaterapp.web.unmade import overdue

blueprint = Blueprint("desk", __name__, url_prefix="/office/desk")
BOARD_LINES, PER_PAGE, LONGEST_TEXT = 12, 50, 200
BOTH = ("office", "owner")
WORKERS = ("installer", "owner")
_KEY = re.compile(r"(\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ)_([0-9a-f-]{36})", re.ASCII)
blueprint.add_app_template_filter(local_day, "day")
blueprint.add_app_template_filter(days_told, "days_told")
blueprint.add_app_template_filter(shown_moment, "moment")
blueprint.add_app_template_filter(in_words, "said_in")


@blueprint.get("")
@require(*BOTH)
def board() -> Any:
    """Show what needs doing, then the jobs that are asked for, the newest first."""
    org, on, asked = current_person().organisation, today(), request.args
    text = asked.get("q", "")[:LONGEST_TEXT]
    state = asked.get("state") if asked.get("state") in FILTERS else None
    sent = asked.get("installer", "")
    installer = int(sent) if sent.isascii() and sent.isdecimal() and len(sent) < 10 else None
    key = _KEY.fullmatch(asked.get("after", ""))
    lines, following = store().board.find(
        org, text, on=on, state=state, installer=installer, after=(key[1], key[2]) if key else None,
        limit=PER_PAGE,
    )  # fmt: skip
    todo = None
    if not key and not text and state is None and installer is None:
        todo = store().board.to_do(org, on, BOARD_LINES)
    waiting = [line.job_id for line in _waiting_lines(todo)]
    since = store().waiting.since(org, waiting)
    beside = [line.job_id for part in ("lapsing", "failed") for line in _lines(todo, part)]
    asking = {"q": text or None, "state": state, "installer": installer}
    return render_template(
        "office/desk.html",
        # The board stands above the first page of everything, not above an answer to a question.
        todo=todo, unmade=overdue() if todo is not None else (),
        numbers=store().records.numbers_of_jobs(org, waiting) if waiting else {},
        waits={line.job_id: _waits(line, since.get(line.job_id), on) for line in _waiting_lines(todo)},
        only_void=store().waiting.only_void(org, [line.job_id for line in lines]),
        to_fix=store().waiting.to_fix(org, [line.job_id for line in lines]),
        booked_for=store().board.booked_for(org, beside) if beside else {},
        undated=UNDATED,
        lines=lines, following="_".join(following) if following else None, paged=bool(key), asking=asking,
        states=STATES, workers={str(number): name for number, name in workers().items()},
        names=everybody(), on=on,
        state_words=state_words, permit_days=permit_days, days_until=days_until, booked_step=booked_step,
        failed_step=failed_step,
    )  # fmt: skip


def _waiting_lines(todo: dict[str, Listed] | None) -> list[Line]:
    return [line for part in ("void", "unsigned", "to_fix") for line in _lines(todo, part)]


def _lines(todo: dict[str, Listed] | None, part: str) -> list[Line]:
    found = todo[part].lines if todo else ()
    return [one[0] if isinstance(one, tuple) else one for one in found]


def _waits(line: Line, since: Since | None, on: str) -> tuple[int, str]:
    """How many days a job waits, and since what: what opened it again, else the day of the work."""
    if since is None:
        past = max(0, -days_until(line.day or on, on))
        odd = ": is the year right?" if past > YEAR_DAYS else "."
        return past, f"Day of the work {local_day(line.day)}{odd}"
    zone = firm_days.zone_of(current_organisation().settings)
    day = firm_days.day_of(since.at, zone).isoformat()
    why = f": {since.reason.rstrip('.')}" if since.reason else ""
    return max(0, -days_until(day, on)), f"Open again since {local_day(since.at)}{why}."


@blueprint.get("/new")
@require(*BOTH)
def new() -> Any:
    """Ask what a new job begins with."""
    settings = current_organisation().settings
    given = {name: str(settings.get(name, "")) for name in OF_EACH_JOB}
    given |= {"place": place_names().get(str(settings.get("place")), "")}
    return _new_page(Read(given), str(uuid4()), "")


@blueprint.post("/new")
@require(*BOTH)
def create() -> Any:
    """Open the job; sent twice it is opened once."""
    person, firm, form = current_person(), current_organisation(), request.form
    try:
        job_id = str(UUID(form.get("job_id", "")[:64]))
    except ValueError:
        job_id = str(uuid4())
    read = read_form(form, FIELDS, {}, needed=True)
    installer = read_installer(form.get("installer", ""), read.errors)
    answers = {name: said for name, said in read.answers.items() if said is not None}
    _, refused = kept_apart({}, answers)
    read.errors |= {name: f"{CATALOGUE[name].label}: expected {says}" for name, says in refused.items()}
    if read.errors:
        return _new_page(read, job_id, form.get("installer", "")), 422
    house = same_address(str(answers["address_street"]))
    earlier = [] if form.get("known") == house else _at_house(house, str(answers["address_street"]), job_id)
    if earlier:
        return _new_page(read, job_id, form.get("installer", ""), earlier, house)
    hands = store().people.get(firm.id, installer) if installer else None
    who = {"name": hands.name, "licence": hands.licence} if hands else {}
    account = account_answers(who, {"name": firm.name, "licence": firm.licence})
    answers = {**known_already(answers, account, {}), **answers}
    store().desk.open(firm.id, person.id, job_id, answers, read.facts, installer)
    said = "opened" if installer else "unassigned"
    return redirect(url_for("desk_job.page", job_id=job_id, said=said), 303)


def workers() -> dict[int, str]:
    """Who does jobs and may sign in, by name."""
    people = store().people.all(current_person().organisation)
    found = [one for one in people if one.role in WORKERS and not one.disabled]
    return {one.id: one.name for one in sorted(found, key=lambda one: one.name.casefold())}


def everybody() -> dict[int | None, str]:
    """Every person of the firm by name, those who have left as well."""
    return {one.id: one.name for one in store().people.all(current_person().organisation)}


def read_installer(sent: str, errors: dict[str, str]) -> int | None:
    """Read the choice of an installer; nobody for nothing, an error for who cannot be chosen."""
    known = {str(number): number for number in workers()}
    if sent and sent not in known:
        errors["installer"] = "Installer: expected one of the list"
    return known.get(sent)


def _at_house(house: str, street: str, job_id: str) -> list[Line]:
    """The jobs that the desk has at a house, the newest first, but for the one being opened."""
    found, _ = store().board.find(current_person().organisation, street, on=today(), limit=PER_PAGE)
    same = (one for one in found if f"{same_address(one.address)} ".startswith(f"{house} "))
    return [one for one in same if one.job_id != job_id][:BOARD_LINES]


def _new_page(
    read: Read, job_id: str, installer: str, earlier: Sequence[Line] = (), house: str = ""
) -> str:
    """The form; with earlier jobs at the house, which are told before another is opened."""
    beside = [line.job_id for line in earlier]
    org = current_person().organisation
    return render_template(
        "office/desk_new.html", groups={k: v for k, v in GROUPS.items() if k != NEW_OWNER},
        typed=read.typed, errors=read.errors, codes=codes(),
        job_id=job_id, workers={str(number): name for number, name in workers().items()},
        installer=installer, earlier=earlier, house=house, state_words=state_words,
        only_void=store().waiting.only_void(org, beside) if beside else (),
        to_fix=store().waiting.to_fix(org, beside) if beside else (),
    )  # fmt: skip


def conflict_words(clashes: dict[str, Clash]) -> dict[str, str]:
    """Say of each clash who saved what meanwhile; what was typed stays in the field."""
    names = everybody()
    told = {}
    for name, clash in clashes.items():
        label = EVERY[name].label if name in EVERY else name.replace("_", " ").capitalize()
        who = names.get(clash.by, "Somebody") if clash.by else "Somebody, on another device,"
        at = f" on {shown_moment(clash.at)}" if clash.at else ""
        there = in_words(name, clash.stored) or "nothing"
        told[name] = f"{label}: {who} saved \u201c{there}\u201d{at}. Save again to put yours in its place."
    return told
