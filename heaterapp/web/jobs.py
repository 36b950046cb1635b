"""The installer's jobs: the list, a job's sections, the live call, the review. Works as plain forms."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from flask import Blueprint, redirect, render_template, request, url_for

from heaterapp import archive
from heaterapp.filling import usual
from heaterapp.filling.judging import judged, lapsed, without
from heaterapp.filling.mended_at import place_of
from heaterapp.filling.review import not_answered
from heaterapp.filling.standing import in_form_order, where_it_stands
from heaterapp.filling.together import kept_apart, seen_from, seen_text
from heaterapp.filling.told import folded_words, parts
from heaterapp.filling.typed import asks, questions_of
from heaterapp.filling.ways import following, sections_of, wants, way_on_words
from heaterapp.forms import SectionForm, section_form
from heaterapp.languages import say
from heaterapp.rules import CATALOGUE, SECTIONS, Job
from heaterapp.sheet import live as sheet
from heaterapp.sheet.answered import accepted_html
from heaterapp.sheet.findings import SPOKEN
from heaterapp.web.chosen_codes import not_served, offered_places, standing
from heaterapp.web.days import latest_today
from heaterapp.web.fields import drawer
from heaterapp.web.inspected import inspected, item_words
from heaterapp.web.one_job import (
    address_of,
    draft_of,
    in_words,
    kept,
    open_job,
    revision_of,
)
from heaterapp.web.own_presets import own_presets
from heaterapp.web.recorded import amended_words
from heaterapp.web.security import current_person, require, store
from heaterapp.web.unread import emptied, not_read, notices, shown_again, stored_usual

blueprint = Blueprint("jobs", __name__, url_prefix="/jobs")
ONE_SECTION = f"/<job_id>/<any({','.join(SECTIONS)}):section>"
PER_PAGE = 50
NO_REVISION = (
    "Nothing was saved yet: this page did not say which answers it was made of."
    " What you typed stands below; look at it, and save again."
)


MEANWHILE = "your choice: meanwhile {there} was saved from another device; save again to keep yours"


@blueprint.get("")
@require("installer", "owner")
def listed() -> Any:
    """Show the person's jobs, newest change first; the older ones follow `after`."""
    person = current_person()
    jobs, before = store().jobs, request.args.get("after")
    after = open_job(before) if before else None
    if person.role == "owner":
        found = jobs.all(person.organisation, after=after, limit=PER_PAGE + 1)
    else:
        found = jobs.jobs_for(person.organisation, person.id, after=after, limit=PER_PAGE + 1)
    older = found[PER_PAGE - 1].id if len(found) > PER_PAGE else ""
    found = found[:PER_PAGE]
    ids, records = [job.id for job in found], store().records
    numbers = records.numbers_of_jobs(person.organisation, ids)
    void = records.void_of_jobs(person.organisation, ids) if numbers else set()
    told = {
        job: [say("{number} (void)", number=one) if one in void else one for one in some]
        for job, some in numbers.items()
    }
    rows = [listed_row(job, told.get(job.id, [])) for job in found]
    return render_template(
        "job/list.html", drafts=[r for r in rows if r["draft"]], issued=[r for r in rows if not r["draft"]],
        older=older, later=before, late=[] if before else _with_late_mail(person),
    )  # fmt: skip


def _with_late_mail(person: archive.Person) -> list[tuple[str, str]]:
    """The person's jobs whose mail did not go, or perhaps not: id and address."""
    org, mine = person.organisation, None if person.role == "owner" else person.id
    jobs = (store().jobs.get(org, one) for one in store().mails.late_jobs(org, mine))
    return [(job.id, address_of(job.answers)) for job in jobs if job.state != "erased"]


def listed_row(job: archive.Job, numbers: list[str]) -> dict[str, Any]:
    """One job as a line of a list."""
    kind = str(job.answers.get("heater_kind", ""))
    return {
        "id": job.id,
        "address": address_of(job.answers),
        "heater": say(CATALOGUE["heater_kind"].choices.get(kind, "")),
        "changed": job.updated_at,
        "draft": job.state == "draft",
        "numbers": numbers,
    }


@blueprint.get("/<job_id>")
@require("installer", "owner")
def opened(job_id: str) -> Any:
    """Go to the first section, or to what was issued."""
    job = open_job(job_id)
    if job.state == "issued":
        return redirect(url_for("signing.issued", job_id=job.id))
    return redirect(url_for(".section", job_id=job.id, section="job"))


@blueprint.get(ONE_SECTION)
@require("installer", "owner")
def section(job_id: str, section: str) -> Any:
    """Show one section with what its answers mean now."""
    job = open_job(job_id)
    if job.state == "issued":
        return redirect(url_for("signing.issued", job_id=job.id))
    form = section_form(section)(data={**job.answers, **shown_again(section)})
    faults = {name: expected for name, (_, expected) in not_read().items() if name in form}
    for name, expected in faults.items():
        form[name].process_errors = [expected]
    return page(job, section, form, faults)


@blueprint.post(ONE_SECTION)
@require("installer", "owner")
def save(job_id: str, section: str) -> Any:
    """Save what can be read, show what cannot, and go where the person asked to go."""
    job = draft_of(job_id)
    before, _ = sheet.asked(Job(job.answers), judged(job.answers))
    form = section_form(section)(request.form, data=dict(job.answers))
    sent = request.form.getlist("revision")
    revision = revision_of(job, sent[0]) if len(sent) == 1 else None
    if revision is None:
        return page(job, section, form, form.faults(), [say(NO_REVISION), *_also_stored(job, form)]), 422
    seen = seen_from(request.form.get("seen"), job.answers)
    faults = form.faults()
    going, refused = kept_apart(job.answers, form.changes(seen))
    faults |= refused | not_served(going, job.answers.get("place"))
    job, clashes = kept(job, emptied(form, section) | going, revision)
    faults |= {
        name: say(MEANWHILE, there=there)
        for name, there in clashes.items()
    }
    if faults:
        for name, expected in faults.items():
            form[name].process_errors = [expected]
        return page(job, section, form, faults), 422
    if request.form.get("go") == "usual":
        filled = usual.filled(section, job.answers, own_presets())
        if filled:
            filled["accepted_as_usual"] = sorted({*filled["accepted_as_usual"], *stored_usual()})
        job, _ = kept(job, filled, None)
        return redirect(url_for(".section", job_id=job.id, section=section))
    return redirect(_way_on(job, section, before, request.form.get("go", "")))


def _also_stored(job: archive.Job, form: SectionForm) -> list[str]:
    """What is stored where the form has something else: the person must see both before saving again."""
    return [
        f"Saved now as {CATALOGUE[name].label}: {in_words(name, job.answers[name])}."
        for name in form.changes(job.answers)
        if name in job.answers
    ]


def _way_on(job: archive.Job, section: str, before: Mapping[str, bool], go: str) -> str:
    now = sheet.live(job.answers, judged(job.answers), ())
    order = sections_of(now["asked"])
    if go == "next":
        came_up = any(
            wants(now, q.name) and not before[q.name] and q.name not in job.answers
            for q in questions_of(section)
        )
        go = section if came_up else following(section, order, now)
    if go == "review":
        return url_for(".review", job_id=job.id)
    return url_for(".section", job_id=job.id, section=section if go not in SECTIONS else go)


def page(
    job: archive.Job,
    section: str,
    form: SectionForm,
    faults: Mapping[str, str] | None = None,
    also: Sequence[str] = (),
) -> str:
    """One section's page; `also` is said above what is said anyway."""
    answered = without(job.answers, faults or {})
    read = Job(answered)
    now = sheet.live(answered, judged(answered), (section,), read)
    order = sections_of(now["asked"])
    common = usual.offered(section, read, now["asked"], now["spare"], own_presets())
    wrong = {f.name for f in form if f.process_errors}
    return render_template(
        "job/section.html",
        job=job,
        address=address_of(job.answers),
        section=section,
        title=say(SECTIONS[section]),
        form=form,
        draw=drawer(form, now, offered_places(job.answers.get("place"))),
        later=[f.name for f in form if f.name not in wrong and f.name in now["spare"]],
        groups=parts(section, now, job.answers, wrong),
        folded_words=folded_words,
        now=now,
        order=order,
        sections=SECTIONS,
        onward=way_on_words(following(section, order, now)),
        errors={
            f"q-{n}": say("{label}: expected {wanted}", label=say(CATALOGUE[n].label), wanted=says)
            for n, says in (faults or {}).items()
        },
        usual=usual.told(common),
        seen=seen_text(section, job.answers),
        existing=job.answers.get("job_kind") == "existing",
        notices=[*also, *notices(job, section)],
        visit=inspected(job) if section == "job" else None,
        item_words=item_words,
        **_own_codes(job, section),
    )


def _own_codes(job: archive.Job, section: str) -> dict[str, Any]:
    """What the page says of the firm's own amendments, where this job or its firm has any."""
    if section != "job":
        return {"amended": None, "has_own": False}
    return {
        "amended": standing(job.answers),
        "has_own": bool(store().amendments.current(job.organisation)),
    }


@blueprint.get("/<job_id>/review")
@require("installer", "owner")
def review(job_id: str) -> Any:
    """Show what stands in the way, what is left to others, and the figures."""
    return review_page(open_job(job_id))


def review_page(
    job: archive.Job, errors: Mapping[str, str] | None = None, given: Mapping[str, str] | None = None
) -> str:
    """The review of a job; `errors` and `given` belong to an acceptance that could not be read."""
    told = judged(job.answers)
    now = sheet.live(job.answers, told, ())
    stands = where_it_stands(job.answers, told, now, latest_today())
    advised = [f for f in told["findings"] if f["kind"] == "advice" and f["verdict"] in SPOKEN]
    return render_template(
        "job/review.html", job=job, address=address_of(job.answers), now=now, told=told, stands=stands,
        order=sections_of(now["asked"]), sections=SECTIONS, questions=CATALOGUE,
        advised=in_form_order(advised, now), not_answered=not_answered(told, now),
        labels={n: q.label for n, q in CATALOGUE.items() if asks(q)}, place_of=place_of,
        pictures={s: sheet.picture_html(job.answers, told, s) for s in ("water", "place")},
        errors=errors or {}, given=given or {},
        amended=amended_words(told["amended_by"]) if told.get("amended_by") else "",
        notices=notices(job), lapsed=lapsed(job.answers, told), usual=accepted_html(job.answers),
        visit=inspected(job), item_words=item_words,
    )  # fmt: skip
