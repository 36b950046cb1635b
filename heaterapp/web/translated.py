"""A paper in another language, made when the office, its installer or who has the link asks for it.

Of a paper that no longer stands each of them gets the English one laid out anew too, for it says so then.
"""

from __future__ import annotations

from flask import Blueprint, Response, abort, current_app, request

from heaterapp import archive
from heaterapp.certificate import Filed, PressAway, PressBusy, Translated
from heaterapp.languages import SOURCE
from heaterapp.mailing.translation import NotMade
from heaterapp.web.closed_link import waiting_page
from heaterapp.web.days import day_of_record
from heaterapp.web.language import papers_in
from heaterapp.web.office import FOR_VIEWERS
from heaterapp.web.one_job import paper_of_job
from heaterapp.web.one_record import open_record
from heaterapp.web.security import require, store
from heaterapp.web.share import open_link

blueprint = Blueprint("translated", __name__)


@blueprint.get("/office/records/<number>/in/<language>.pdf")
@require("office", "owner")
def of_record(number: str, language: str) -> Response:
    """Give a record's paper in another language."""
    return _marked(open_record(number), language)


@blueprint.get("/jobs/<job_id>/papers/<number>/in/<language>.pdf")
@require("installer", "owner")
def of_job(job_id: str, number: str, language: str) -> Response:
    """Give a paper of this job in another language."""
    return _marked(paper_of_job(job_id, number), language)


@blueprint.get("/s/<token>/in/<language>.pdf")
def of_link(token: str, language: str) -> Response:
    """Give the homeowner the paper in their language; each time counts, for it costs work."""
    _, opened = open_link(token)
    stands = store().records.status(opened.organisation, opened.id).state == "current"
    copied = language == SOURCE and not stands
    if copied or language in papers_in():
        who = [("translated", request.remote_addr or "")]
        store().throttle.attempt(store().organisations.default().id, who)
    try:
        return _given(opened, language, copied, by_link=True)
    except PressBusy:
        return waiting_page(token, language)


def _marked(opened: archive.Record, language: str) -> Response:
    """In English only what stands no more: the one that stands is had as it was issued."""
    stands = store().records.status(opened.organisation, opened.id).state == "current"
    shown = request.args.get("as") == "page"
    return _given(opened, language, language == SOURCE and not stands, shown=shown)


def for_mail(record: archive.Record, language: str) -> bytes:
    """Make a paper that stands in another language, to go along in a mail. Raises NotMade."""
    from heaterapp.certificate import render_for_mail

    try:
        return render_for_mail(Translated(Filed.of(record), language))
    except PressAway as why:
        raise NotMade(str(why)) from why


def _given(
    opened: archive.Record, language: str, copied: bool = False, by_link: bool = False, shown: bool = False
) -> Response:
    if not copied and language not in papers_in():
        abort(404)
    status = store().records.status(opened.organisation, opened.id)
    stands = status.state == "current"
    present = None if stands else store().records.present(opened.organisation, opened.job_id)
    other, kind = (present.number, present.kind) if present else ("", "")
    since = day_of_record(opened, status.voided_at) if status.voided_at else ""
    danger = not stands and store().records.hazard_stands(opened.organisation, opened.job_id)
    made = Translated(Filed.of(opened), language, status.state, other, kind, since, danger)
    answer = Response(_pressed(made, by_link), content_type="application/pdf")
    how = "inline" if shown else "attachment"
    answer.headers["Content-Disposition"] = f'{how}; filename="{opened.number}-{made.name}"'
    if shown:
        answer.headers["Content-Security-Policy"] = FOR_VIEWERS
    answer.headers["Content-Language"] = language
    answer.headers["Cache-Control"] = "no-store"
    return answer


def _pressed(made: Translated, by_link: bool) -> bytes:
    chosen = current_app.config.get("RENDER_TRANSLATED")
    if chosen is None:
        from heaterapp.certificate import render_for_link, render_translated

        chosen = render_for_link if by_link else render_translated
    return bytes(chosen(made))
