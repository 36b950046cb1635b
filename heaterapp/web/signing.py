"""Sign, issue, and what was issued: the last steps of a job."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

from flask import Blueprint, abort, redirect, render_template, request, url_for

from heaterapp import archive, rules
from heaterapp.archive.checking import printable
from heaterapp.archive.desk_shapes import DeskConflict
from heaterapp.filling.judging import judged
from heaterapp.filling.review import open_items_html
from heaterapp.filling.signed import CONSENT, STATEMENTS, NotIssuable, answers_digest, kind_for, lacking
from heaterapp.issue import submission
from heaterapp.languages import SOURCE, say
from heaterapp.replacing import former_of
from heaterapp.sealed_papers import ARCHIVAL, PAPER
from heaterapp.sheet.answered import accepted_html
from heaterapp.web import going_along, link_ends, link_made, mending, receipt
from heaterapp.web.days import latest_today, void_since
from heaterapp.web.inspected import inspected, item_words, open_again
from heaterapp.web.language import shown_in
from heaterapp.web.mail_block import block_of
from heaterapp.web.office import KINDS, attachment
from heaterapp.web.one_job import address_of, open_job, paper_of_job
from heaterapp.web.opened_again import standing
from heaterapp.web.qr import qr
from heaterapp.web.sealed import sealed_as
from heaterapp.web.security import current_person, require, store
from heaterapp.web.settings import public_address
from heaterapp.web.strokes import read_strokes
from heaterapp.web.unmade import looked_at, made, numbered
from heaterapp.web.unread import as_read, notices

blueprint = Blueprint("signing", __name__, url_prefix="/jobs")
CHANGED = "The answers changed since this page was opened. Look once more at what you sign."
OTHER_PAPER = "A paper of this job was issued or made void since this page was opened. Look once more."
LARGEST_PICTURES = 40_000_000
# The pictures taken again, and the few fields around them.
LARGEST_FORM = LARGEST_PICTURES + 100_000
NEW_RULES = "The rules changed since this page was opened. Look once more at what you sign."
_KEY_END = re.compile(r"(?P<revision>[0-9]{1,9})\.[0-9a-f]{12}")


@blueprint.url_value_preprocessor
def _own_limit(endpoint: str | None, values: Mapping[str, Any] | None) -> None:
    # Before anything reads the form; one that brings no pictures is as small as any other.
    if endpoint == "signing.issue" and request.mimetype == "multipart/form-data":
        request.max_content_length = LARGEST_FORM


def once(name: str) -> str:
    """What a form says under this name; nothing where it says two things."""
    said = request.form.getlist(name)
    return said[0].strip() if len(said) == 1 else ""


@blueprint.get("/<job_id>/sign")
@require("installer", "owner")
def sign(job_id: str) -> Any:
    """Show the statement that goes with what this job can end in."""
    job = open_job(job_id)
    if job.state == "issued":
        return redirect(url_for(".issued", job_id=job.id))
    return _sign_page(job, {}, {})


def _sign_page(
    job: archive.Job, errors: dict[str, str], given: dict[str, str], along: going_along.Along | None = None
) -> Any:
    told = judged(job.answers)
    if not job.answers.get("place"):
        return redirect(url_for("jobs.review", job_id=job.id))
    try:
        kind = kind_for(dict(job.answers), told["outcome"])
    except NotIssuable:
        return redirect(url_for("jobs.review", job_id=job.id))
    errors = {**errors, **lacking(job.answers, kind, latest_today())}
    return render_template(
        "job/sign.html",
        job=job,
        address=address_of(job.answers),
        kind=kind,
        paper=KINDS[kind],
        statement=STATEMENTS[kind],
        consent=CONSENT,
        receipt=receipt.RECEIPT,
        along=along or going_along.offered(job),
        ways=going_along.WAYS,
        largest_pictures=LARGEST_PICTURES,
        errors=errors,
        given=given,
        digest=answers_digest(dict(job.answers)),
        key=wish_key(job),
        notices=notices(job),
        stands=standing(job),
        visit=inspected(job),
        item_words=item_words,
        usual=accepted_html(job.answers),
        open_items=open_items_html(told),
    )


def _key(job: archive.Job) -> str:
    """The key the page was given, where it is one of this job's; nobody takes another's or a later one."""
    sent = once("key")
    own = f"{job.id}."
    shape = _KEY_END.fullmatch(sent.removeprefix(own)) if sent.startswith(own) else None
    return sent if shape and int(shape["revision"]) <= job.revision else wish_key(job)


def wish_key(job: archive.Job) -> str:
    """One key for one wish: these answers, judged by these rules."""
    return f"{job.id}.{job.revision}.{_rules_mark()}"


def _rules_mark() -> str:
    return rules.digest()[:12]


@blueprint.post("/<job_id>/sign")
@require("installer", "owner")
def issue(job_id: str) -> Any:
    """Sign and issue: one certificate for one wish, however often the form is sent."""
    job, person = open_job(job_id), current_person()
    key = _key(job)
    known = store().records.by_key(person.organisation, key)
    if known is not None:
        made(known.record)
        return redirect(url_for(".issued", job_id=job.id))
    if job.state == "issued":
        return redirect(url_for(".issued", job_id=job.id))
    given = {k: once(k) for k in ("name", "strokes", "consent", *receipt.NAMES)}
    errors, strokes = _amiss(job, key, given)
    owner, more = receipt.read(given)
    along = going_along.chosen(job, person)
    errors |= {**more, **along.errors}
    try:
        kind = kind_for(dict(job.answers), judged(job.answers)["outcome"])
        visit, said = inspected(job), mending.typed()
        items, unread = mending.read_items(visit, said) if visit else ([], {})
        given |= {name: text for name, text in said.items() if "-" in name}
        errors |= unread
        if errors or lacking(job.answers, kind, latest_today()):
            return _sign_page(job, errors, given, along), 422
        signed = {
            "name": given["name"],
            "role": "installer",
            "statement": STATEMENTS[kind],
            "method": "drawn" if strokes else "typed",
            "at": datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ"),
            "consent": CONSENT,
            "answers_sha256": answers_digest(dict(job.answers)),
        }
        if strokes:
            signed["strokes"] = strokes
        owner |= {name: signed[name] for name in ("at", "answers_sha256")}
        if read_in := shown_in():
            for one in (signed, owner) if owner["statement"] else (signed,):
                one["read_in"] = read_in
        both = {"signatures": [signed, owner]}
        kept = store().jobs.save_signature(job.organisation, job.id, both, job.revision)
        if visit:
            mending.keep(visit, items, said)
        job = as_read(kept)
        former = former_of(store(), job.organisation, job.id)
        wish = submission(person, job, key, check_address=public_address("/check"), former=former)
        numbered(replace(wish, photos=along.photos()))
        along.let_go(person.organisation)
    except NotIssuable:
        return redirect(url_for("jobs.review", job_id=job.id))
    except DeskConflict:
        return _sign_page(open_job(job.id), {"asked-for": say(mending.MEANWHILE)}, given, along), 409
    except archive.JobChanged:
        return _sign_page(open_job(job.id), {"name": say(CHANGED)}, given, along), 422
    except (archive.KeyConflict, archive.JobIssued):
        # The same wish, sent twice at once: the first one has made it.
        first = store().records.by_key(person.organisation, key)
        if first is not None:
            made(first.record)
    return redirect(url_for(".issued", job_id=job.id))


def _amiss(
    job: archive.Job, key: str, given: dict[str, str]
) -> tuple[dict[str, str], list[list[list[int]]] | None]:
    """What a signature cannot be taken for, by field, and its strokes."""
    errors: dict[str, str] = {}
    if once("digest") != answers_digest(dict(job.answers)):
        errors["name"] = say(CHANGED)
    elif "stands" in request.form and once("stands") != standing(job):
        errors["name"] = say(OTHER_PAPER)
    elif not key.endswith(_rules_mark()):
        errors["name"] = say(NEW_RULES)
    elif not given["name"] or len(given["name"]) > rules.LONGEST_TEXT or not printable(given["name"]):
        errors["name"] = say("Type your name, at most {longest} characters.", longest=rules.LONGEST_TEXT)
    if given["consent"] != "yes":
        errors["consent"] = say("Tick that you sign electronically, or print the review and sign on paper.")
    try:
        return errors, read_strokes(given["strokes"])
    except ValueError as unreadable:
        return {**errors, "strokes": str(unreadable)}, None


@blueprint.get("/<job_id>/issued")
@require("installer", "owner")
def issued(job_id: str) -> Any:
    """Show what was issued for this job."""
    return issued_page(open_job(job_id))


def issued_page(job: archive.Job, errors: Mapping[str, str] | None = None) -> Any:
    """Return the page of what was issued for a job, with the homeowner's link that was just made.

    errors  of its forms, by the names of their boxes
    """
    records = store().records
    found = records.of_job(job.organisation, job.id)
    unmade = None
    if found and not found[0].finished:
        # Its number is taken and its paper broke off: without this nobody could go on before a restart.
        unmade = looked_at(job.id)
        found = records.of_job(job.organisation, job.id)
    papers = [h for h in found if h.finished]
    if unmade and not papers:
        where = address_of(job.answers)
        return render_template("job/numbered.html", address=where, job_id=job.id, unmade=unmade)
    if not papers:
        return redirect(url_for("jobs.review", job_id=job.id))
    latest = records.get(job.organisation, papers[0].record)
    asked_again = papers[0].state == "void" or "link_days" in (errors or {})
    link, until = link_made.NONE if asked_again else link_made.made(papers[0])
    return render_template(
        "job/issued.html",
        job=job,
        unmade=unmade,
        address=address_of(job.answers),
        record=latest,
        paper=KINDS[latest.kind],
        papers=papers,
        void_days={hit.record: void_since(hit, job.organisation) for hit in papers},
        kinds=KINDS,
        files=(files := records.file_names(job.organisation, latest.id)),
        sealed=sealed_as(job.organisation, files),
        link=link,
        qr=qr(link) if link else "",
        until=until,
        share_key=link_made.fresh_key(),
        link_days=request.form.get("link_days", link_ends.usual_days()),
        errors=errors or {},
        mail=block_of(latest, papers[0].state, errors or {}, request.args.get("mail", "")),
    )


@blueprint.get("/<job_id>/papers/<number>/<name>")
@require("installer", "owner")
def paper(job_id: str, number: str, name: str) -> Any:
    """Give a stored paper of this job, to the byte; one that no longer stands as a copy that says so."""
    opened, shown = paper_of_job(job_id, number), request.args.get("as") == "page"
    stands = store().records.status(opened.organisation, opened.id).state == "current"
    if not stands and name.endswith(PAPER) and not name.endswith(ARCHIVAL):
        # What is handed out says that it stands no more; the archival one is kept as it was issued.
        said = {"as": "page"} if shown else {}
        where = url_for("translated.of_job", job_id=job_id, number=number, language=SOURCE, **said)
        return redirect(where, 303)
    return attachment(opened, name, shown)


@blueprint.post("/<job_id>/link")
@require("installer", "owner")
def link(job_id: str) -> Any:
    """Make a link for the homeowner; the page of what was issued shows it to who made it."""
    job, person = open_job(job_id), current_person()
    papers = [hit for hit in store().records.of_job(job.organisation, job.id) if hit.finished]
    if not papers:
        abort(404)
    if papers[0].state == "void":
        abort(409, f"{papers[0].number} is void: no link is made to it.")
    end = link_ends.in_days(request.form)
    if end.errors:
        return issued_page(job, errors=end.errors), 422
    link_made.make(papers[0], once("key"), person.id, end.at)
    return redirect(url_for(".issued", job_id=job.id) + "#link-made", 303)


@blueprint.post("/<job_id>/again")
@require("installer", "owner")
def again(job_id: str) -> Any:
    """Open an issued job for a second visit; the next paper replaces the one before."""
    open_again(open_job(job_id))
    return redirect(url_for("jobs.section", job_id=job_id, section="job"))
