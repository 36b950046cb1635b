"""An inspection at the desk: booked, asked for, its result, the inspector's items, the second visit."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from flask import Blueprint, redirect, render_template, request, url_for

from heaterapp import archive
from heaterapp.archive.checking import LONGEST_REASON
from heaterapp.archive.desk_shapes import OPEN_RESULTS, DeskConflict, DeskJob, Inspection
from heaterapp.web.days import days_until, earliest_today, latest_today, shown_day, shown_moment, today
from heaterapp.web.desk import everybody, read_installer, workers
from heaterapp.web.desk_fields import like_a_gate_code
from heaterapp.web.desk_job import address_of, opened, permit_texts
from heaterapp.web.desk_words import MENDERS, RESULTS, after_it_lapses, failed_step, undated
from heaterapp.web.inspected import item_words
from heaterapp.web.security import current_organisation, current_person, require, store
from heaterapp.web.visit_forms import (
    BECAME,
    BOOKED,
    FIRST_ITEMS,
    MORE_ITEMS,
    MOST_ITEMS,
    Said,
    checks_of,
    read_booking,
    read_mended,
    read_result,
    request_text,
    typed_of,
)

blueprint = Blueprint("desk_inspection", __name__, url_prefix="/office/desk")
BOTH = ("office", "owner")
LABELS = {"booked_for": "Day", "result": "Result", "result_on": "Day of the result", "items": "Items"}
FAR_DAYS = 180
FIRST_THAT = "Note its result, or change its day, before another is booked."
SAID = {
    "booked": "Booked. The text to send to the permit office stands below.",
    "moved": "Saved.",
    "told": "The result is saved.",
    "mended": "Saved.",
    "again": "The job is open for the second visit. Its next paper replaces the one that was issued.",
    "back": "The result is taken back.",
}


@blueprint.get("/<job_id>/inspection")
@require(*BOTH)
def ask(job_id: str) -> Any:
    """Ask what is needed to book an inspection."""
    job = opened(job_id)
    home = job.facts.get("contact_name") or str(job.job.answers.get("owner_name") or "")
    return _booking(job, Said({"contact": home, "phone": job.facts.get("contact_phone", "")}))


@blueprint.post("/<job_id>/inspection")
@require(*BOTH)
def book(job_id: str) -> Any:
    """Book it."""
    job, person, said = opened(job_id), current_person(), read_booking(request.form, earliest_today())
    if not said.errors:
        try:
            made = store().inspections.book(person.organisation, person.id, job.job.id, said.day, said.facts)
            return redirect(url_for(".page", number=made.id, said="booked"), 303)
        except archive.Invalid as refused:
            stands = _booked(job)
            if stands and stands.booked_for == said.day and _same(stands.facts, said.facts):
                # The button pressed twice: it is booked as was asked.
                return redirect(url_for(".page", number=stands.id, said="booked"), 303)
            says = f"expected {refused.expected}"
            if stands:
                says = f"an inspection is booked already, for {shown_day(stands.booked_for)}. {FIRST_THAT}"
            said.errors[refused.field] = f"{LABELS.get(refused.field, 'Day')}: {says}"
    return _booking(job, said), 422


@blueprint.get("/inspections/<int:number>")
@require(*BOTH)
def page(number: int) -> Any:
    """Show one inspection: what to ask for, its result, its items."""
    return _page(_found(number))


@blueprint.post("/inspections/<int:number>/booked")
@require(*BOTH)
def move(number: int) -> Any:
    """Change what is booked."""
    said = read_booking(request.form, earliest_today(), _found(number).booked_for)
    return _kept(number, said, "moved", lambda *own: store().inspections.move(*own, said.day, said.facts))


@blueprint.post("/inspections/<int:number>/result")
@require(*BOTH)
def tell(number: int) -> Any:
    """Record the result with the inspector's items, or give the form more lines for them."""
    if request.form.get("go") == "more":
        said = typed_of(request.form)
        said.rows = min(said.rows + MORE_ITEMS, MOST_ITEMS)
        return _page(_found(number), said)
    said = read_result(request.form, latest_today(), _open_before(_found(number)))
    return _kept(
        number, said, "told",
        lambda *own: store().inspections.tell(
            *own, said.result, said.day, said.facts, said.items, said.became
        ),
    )  # fmt: skip


@blueprint.post("/inspections/<int:number>/items")
@require(*BOTH)
def mend(number: int) -> Any:
    """Keep who mends each item, and when it was mended."""
    said = read_mended(request.form, _found(number), latest_today())
    return _kept(number, said, "mended", lambda *own: store().inspections.mend(*own, said.items))


@blueprint.post("/inspections/<int:number>/take-back")
@require(*BOTH)
def take_back(number: int) -> Any:
    """Take back a result that was recorded by mistake."""
    said = typed_of(request.form)
    why = said.line("why", "Why", LONGEST_REASON)
    if not why:
        said.errors["why"] = "Why: say what was wrong"
    return _kept(number, said, "back", lambda *own: store().inspections.take_back(*own, why))


@blueprint.post("/inspections/<int:number>/second-visit")
@require(*BOTH)
def second_visit(number: int) -> Any:
    """Open the job again, so that its next paper is a revision."""
    visit, person, said = _found(number), current_person(), typed_of(request.form)
    chosen = read_installer(said.typed.get("installer", ""), said.errors)
    if said.errors:
        return _page(visit, said), 422
    store().inspections.second_visit(person.organisation, person.id, visit.id, chosen)
    return redirect(url_for(".page", number=visit.id, said="again"), 303)


def _kept(number: int, said: Said, word: str, save: Callable[..., Any]) -> Any:
    """Save, and go to the page; what somebody else saved meanwhile is told, and what was typed is kept."""
    visit, person = _found(number), current_person()
    if said.errors:
        return _page(visit, said), 422
    sent = request.form.get("revision", "")
    revision = int(sent) if sent.isascii() and sent.isdecimal() and len(sent) < 10 else 0
    try:
        save(person.organisation, person.id, visit.id, revision)
    except DeskConflict as conflict:
        clash = conflict.clashes["inspection"]
        who = everybody().get(clash.by, "Somebody") if clash.by else "Somebody"
        at = f" on {shown_moment(clash.at)}" if clash.at else ""
        says = f"{who} saved this inspection meanwhile{at}. Look at what stands here now, and save again."
        said.errors["inspection"] = says
        return _page(_found(number), said), 409
    except archive.Invalid as refused:
        said.errors[refused.field] = f"{LABELS.get(refused.field, 'This')}: expected {refused.expected}"
        return _page(_found(number), said), 422
    return redirect(url_for(".page", number=visit.id, said=word), 303)


def _booked(job: DeskJob) -> Inspection | None:
    """The inspection that is booked for a job and has no result yet."""
    visits = store().inspections.of_job(job.job.organisation, job.job.id)
    return next((one for one in visits if one.result == "booked"), None)


def _same(facts: Mapping[str, str], others: Mapping[str, str]) -> bool:
    return all(facts.get(name, "") == others.get(name, "") for name in BOOKED)


def _found(number: int) -> Inspection:
    found: Inspection = store().inspections.get(current_person().organisation, number)
    return found


def _open_before(visit: Inspection) -> list[Inspection]:
    """The job's other inspections of which something is still to mend, newest first."""
    visits = store().inspections.of_job(current_person().organisation, visit.job_id)
    return [one for one in visits if one.id != visit.id and one.open_items]


def _booking(job: DeskJob, said: Said) -> str:
    return render_template(
        "office/desk_book.html", job=job, address=address_of(job), typed=said.typed, errors=said.errors,
        labels=BOOKED, undated=undated(job, permit_texts(job)),
    )  # fmt: skip


def _page(visit: Inspection, said: Said | None = None) -> str:
    job = opened(visit.job_id)
    said = said or Said({})
    papers = store().records.of_job(job.job.organisation, job.job.id)
    return render_template(
        "office/desk_inspection.html", visit=visit, job=job, address=address_of(job), labels=BOOKED,
        typed=said.typed, errors=said.errors, rows=said.rows or FIRST_ITEMS, results=RESULTS,
        text=request_text(job, visit, permit_texts(job), current_organisation()),
        checks=checks_of(job) if visit.result == "booked" else {}, menders=MENDERS, item_words=item_words,
        numbers={hit.record: hit.number for hit in papers if hit.finished}, said=_said(), on=today(),
        names=everybody(),
        step=_step(visit, job), still=_open_before(visit), became=BECAME,
        late=after_it_lapses(visit.booked_for, job.permit_expires_on) if visit.result == "booked" else "",
        workers={str(number): name for number, name in workers().items()},
        gate_code=like_a_gate_code(visit.facts.get("note", "")),
        far=visit.result == "booked" and days_until(visit.booked_for, today()) > FAR_DAYS,
    )  # fmt: skip


def _step(visit: Inspection, job: DeskJob) -> str:
    """What to do about an inspection that was not passed; nothing of another."""
    if visit.result not in OPEN_RESULTS:
        return ""
    booked = _booked(job)
    later = job.stage not in ("failed", "booked")
    return failed_step(visit, job.job.state, booked.booked_for if booked else "", later)


def _said() -> str | None:
    return SAID.get(request.args.get("said", ""))
