"""Sending a paper by mail: from the installer's page and the office's, and what became of each mail."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from typing import Any

from flask import Blueprint, abort, redirect, render_template, request, url_for

from heaterapp import archive
from heaterapp.archive.mail_shapes import GIVEN_UP, PERHAPS, SENT, WAITING, Mail
from heaterapp.mailing import addresses, handing, letter, sending
from heaterapp.web import mail_block
from heaterapp.web.firm import firm_page
from heaterapp.web.office import record_page
from heaterapp.web.one_job import open_job
from heaterapp.web.one_record import open_record
from heaterapp.web.plain_forms import one
from heaterapp.web.security import current_organisation, current_person, require, store
from heaterapp.web.signing import issued_page

blueprint = Blueprint("mails", __name__)
SHOWN = 100
TEST_WAITS = handing.Waits(answer=10, content=20, whole=25)
Page = Callable[[dict[str, str]], Any]
blueprint.add_app_template_filter(addresses.as_read, "address_read")


@blueprint.post("/office/records/<number>/mail")
@require("office", "owner")
def ask(number: str) -> Any:
    """Ask for a mail with this record's paper."""
    opened = open_record(number)
    here = url_for("office.record", number=opened.number, mail="asked", _anchor="mail")
    return _asked(opened, here, lambda errors: record_page(opened, errors=errors))


@blueprint.post("/jobs/<job_id>/mail")
@require("installer", "owner")
def ask_of_job(job_id: str) -> Any:
    """Ask for a mail with the newest paper of this job."""
    job = open_job(job_id)
    papers = [hit for hit in store().records.of_job(job.organisation, job.id) if hit.finished]
    if not papers:
        abort(404)
    opened = store().records.get(job.organisation, papers[0].record)
    here = url_for("signing.issued", job_id=job.id, mail="asked", _anchor="mail")
    return _asked(opened, here, lambda errors: issued_page(job, errors=errors))


@blueprint.post("/office/mail/<int:number>")
@require("office", "owner")
def change(number: int) -> Any:
    """Send one again, to another address where one is typed, or take it back."""
    mail = store().mails.get(current_person().organisation, number)
    if one("back") == "list":
        return _changed(mail, url_for(".listed"), _listed)
    opened = store().records.get(mail.organisation, mail.record)
    where = url_for("office.record", number=opened.number, mail=one("act"), _anchor="mail")
    return _changed(mail, where, lambda errors: record_page(opened, errors=errors))


@blueprint.post("/jobs/<job_id>/mail/<int:number>")
@require("installer", "owner")
def change_of_job(job_id: str, number: int) -> Any:
    """Send one of this job again, to another address where one is typed, or take it back."""
    job = open_job(job_id)
    mail = store().mails.get(job.organisation, number)
    if mail.record not in {hit.record for hit in store().records.of_job(job.organisation, job.id)}:
        abort(404)
    where = url_for("signing.issued", job_id=job.id, mail=one("act"), _anchor="mail")
    return _changed(mail, where, lambda errors: issued_page(job, errors=errors))


@blueprint.get("/office/mail")
@require("office", "owner")
def listed() -> Any:
    """Show what was given up, what waits, and what went out last."""
    return _listed({})


@blueprint.post("/office/firm/mail-test")
@require("owner")
def test() -> Any:
    """Send a test through the settings that are kept, and keep what the mail server says."""
    firm = current_organisation()
    try:
        to = addresses.read(one("test_to"))
    except addresses.BadAddress as bad:
        return firm_page(errors={"test_to": f"Send a test to: {bad}."})
    settings = store().organisations.mail(firm.id)
    if not settings.get("host") or not settings.get("sender"):
        return firm_page(errors={"test_to": f"Send a test to: {mail_block.NOT_SET_UP}"})
    domain, moment = str(settings["sender"]).rpartition("@")[2], store().database.now()
    name = f"<test-{secrets.token_hex(12)}@{domain}>"
    envelope = sending.envelope_of(settings, to, name, moment)
    body = letter.test_written(envelope, firm.name)
    try:
        said, taken = handing.hand_over(settings, envelope, body, waits=TEST_WAITS), True
    except handing.Failed as failed:
        said, taken = str(failed), False
    store().mails.note_test(firm.id, taken, said)
    return redirect(url_for("firm.page", _anchor="mail-test"), 303)


def _asked(opened: archive.Record, here: str, page: Page) -> Any:
    state = store().records.status(opened.organisation, opened.id).state
    address, language, errors = mail_block.read()
    why_not = mail_block.why_not(state)
    if why_not or errors:
        return page(errors or {"mail_address": why_not}), 409 if why_not else 400
    try:
        key = one("mail_key")
        store().mails.ask(opened.organisation, opened.id, current_person().id, address, language, key)
    except archive.Invalid as refused:
        if refused.field != "key":
            return page({"mail_address": f"Email: {refused.expected}."}), 400
        abort(400)
    except (archive.NotMailed, archive.NotCurrent) as refused:
        return page({"mail_address": _sentence(refused)}), 409
    return redirect(here, 303)


def _changed(mail: Mail, where: str, page: Page) -> Any:
    org, me = mail.organisation, current_person().id
    box = f"again-{mail.id}"
    try:
        if one("act") == "withdrawn":
            store().mails.withdraw(org, mail.id, me)
        elif one("act") == "again":
            address = addresses.read(one("address")) if "address" in request.form else None
            store().mails.again(org, mail.id, me, address)
        else:
            abort(400)
    except addresses.BadAddress as bad:
        return page({box: mail_block.bad_address(bad)}), 400
    except (archive.NotMailed, archive.NotCurrent, archive.Erased) as refused:
        return page({box: _sentence(refused)}), 409
    return redirect(where, 303)


def _listed(errors: dict[str, str]) -> str:
    org, mails = current_person().organisation, store().mails
    found = {state: mails.in_state(org, state, SHOWN) for state in (GIVEN_UP, PERHAPS, WAITING, SENT)}
    return render_template(
        "office/mail.html",
        groups={state: mail_block.lines_of(org, some) for state, some in found.items()},
        errors=errors,
    )


def _sentence(refused: Exception) -> str:
    return f"{str(refused).rstrip('.')}."
