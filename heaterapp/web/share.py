"""The homeowner's page, its calendar and the paper behind an unguessable link, in English and Spanish."""

from __future__ import annotations

import re
from typing import Any

from flask import Blueprint, Response, redirect, render_template, request, url_for

from heaterapp import archive, firm_days, homeowner, sealed_papers
from heaterapp.homeowner import page as words
from heaterapp.languages import SOURCE
from heaterapp.web.desk_block import not_passed_on
from heaterapp.web.office import attachment
from heaterapp.web.security import store
from heaterapp.web.settings import public_address
from heaterapp.web.sheet_type import sheet_classes

blueprint = Blueprint("share", __name__, url_prefix="/s")
_BEFORE_UNIT = re.compile(
    r"(?<=[0-9]) (?=(?:°F|psi|gal|gallons?|galón|galones|in|inch|inches|pulgadas?|ft|foot|feet|pies?|lb"
    r"|pounds?|libras?|amps?|amperios?|volts?|voltios?|gauge|AWG|Btu/h|cubic|square"
    r"|years?|años?|months?|meses)(?!\w))"
)


@blueprint.app_template_filter("unbroken")
def unbroken(sentence: str) -> str:
    """Return a sentence in which no line ends between a number and its unit.

    >>> unbroken("Set to 60 psi, at 36 and 68 inches from the floor. At 140 °F, every 1 to 3 years.")
    'Set to 60\\xa0psi, at 36 and 68\\xa0inches from the floor. At 140\\xa0°F, every 1 to 3\\xa0years.'
    """
    return _BEFORE_UNIT.sub("\u00a0", sentence)


@blueprint.get("/<token>")
def page(token: str) -> Any:
    """Say what was installed, what to watch for, and whom to call."""
    shared, opened = open_link(token)
    language = homeowner.language_of(request.args.get("lang"))
    told = homeowner.page_of(known_of(opened), language)
    names = store().records.file_names(opened.organisation, opened.id)
    sealed = bool(sealed_papers.sealed_as(store(), opened.organisation, names))
    ends = _ends(shared, opened, language)
    return render_template(
        "share/home.html", token=token, paper=opened, sealed=sealed, ends=ends, **shown(told, opened)
    )


@blueprint.get("/<token>/certificate.pdf")
def paper(token: str) -> Any:
    """Give the paper itself, to the byte; one that no longer stands as a copy that says so."""
    shared, opened = open_link(token)
    if store().records.status(opened.organisation, opened.id).state != "current":
        return redirect(url_for("translated.of_link", token=token, language=SOURCE), 303)
    names = store().records.file_names(shared.organisation, opened.id)
    papers = [name for name in names if name.endswith(".pdf")]
    if not papers:
        raise archive.NotFound("No such file.")
    if sealed_papers.sealed_as(store(), opened.organisation, papers):
        # A seal is made each time and costs work, as a translation does.
        who = [("translated", request.remote_addr or "")]
        store().throttle.attempt(store().organisations.default().id, who)
    # The archival twin has the longer name; a person wants the plain one.
    return attachment(opened, min(papers, key=len))


@blueprint.get("/<token>/care.ics")
def care(token: str) -> Response:
    """Give the care calendar, for the homeowner's own calendar program."""
    _, opened = open_link(token)
    settings = store().organisations.get(opened.organisation).settings
    language = homeowner.language_of(request.args.get("lang"))
    body = homeowner.care_calendar(known_of(opened), language, settings, earlier_of(opened))
    answer = Response(body, content_type="text/calendar; charset=utf-8")
    answer.headers["Content-Disposition"] = f'attachment; filename="{opened.number}-care.ics"'
    answer.headers["Cache-Control"] = "no-store"
    return answer


def known_of(opened: archive.Record) -> homeowner.Known:
    """Return what the homeowner is told of a record, how it stands now included."""
    status = store().records.status(opened.organisation, opened.id)
    present = store().records.present(opened.organisation, opened.job_id)
    standing = homeowner.Standing(
        status.state, present.number if present else "", present.kind if present else "",
        not_passed_on(opened.organisation, opened.job_id),
        status.state != "current" and store().records.hazard_stands(opened.organisation, opened.job_id),
    )  # fmt: skip
    firm = store().organisations.get(opened.organisation)
    contact = {"name": firm.name, "phone": firm.phone, "address": firm.address, "licence": firm.licence}
    papers = store().records.of_job(opened.organisation, opened.job_id)
    before = sum(paper.record < opened.id for paper in papers)
    gas_phone = str(firm.settings.get("gas_emergency_phone") or "")
    return homeowner.Known.of(opened, standing, gas_phone, before, contact)


def earlier_of(opened: archive.Record) -> list[homeowner.Known] | None:
    """Return the papers of its job before this one, None where one of them is erased."""
    papers = store().records.of_job(opened.organisation, opened.job_id)
    before = [paper.record for paper in papers if paper.record < opened.id]
    try:
        return [homeowner.Known.of(store().records.get(opened.organisation, one)) for one in before]
    except archive.Erased:
        return None


def open_link(token: str) -> tuple[archive.Share, archive.Record]:
    """Return a link that opens, and its record. Raises NotFound, Erased, TooManyTries."""
    shared = store().shares.lookup(token)
    if shared is None:
        # Only a guess is counted: what to do when gas leaks is read on a busy or full server too.
        store().throttle.attempt(store().organisations.default().id, [("share", request.remote_addr or "")])
        raise archive.NotFound("No such link.")
    return shared, store().records.get(shared.organisation, shared.shows)


def _ends(shared: archive.Share, opened: archive.Record, language: str) -> str:
    """Return until when a link opens, by the firm's own days; nothing of one that does not end."""
    if not shared.expires_at:
        return ""
    zone = firm_days.zone_of(store().organisations.get(opened.organisation).settings)
    day = firm_days.last_day(shared.expires_at, zone).isoformat()
    return words.LINK_ENDS.of(language, day=homeowner.day_in_words(day, language))


def shown(told: homeowner.Page, paper: Any) -> dict[str, Any]:
    """Return what the page is made with besides its own address: what it says, and how large it prints.

    told   what the page says
    paper  its number and check_code are printed, and where they are asked for
    """
    proof = words.PRINTED_PROOF.of(
        told.language, address=public_address(url_for("public.check")), number=paper.number,
        code=paper.check_code,
    )  # fmt: skip
    classes = sheet_classes(told, proof)
    return {"told": told, "say": screen_words(told.language), "classes": classes, "proof": proof}


def screen_words(language: str) -> dict[str, str]:
    """Return the words that only a screen needs: what to press, not what to know."""
    said = {
        "skip": words.SKIP, "other_language": words.OTHER_LANGUAGE, "download": words.DOWNLOAD,
        "to_calendar": words.TO_CALENDAR, "download_other": words.DOWNLOAD_OTHER,
        "void_paper": words.VOID_PAPER, "sealed": words.SEALED, "prove": words.PROVE, "code": words.CODE,
        "print": words.PRINT, "to_print": words.TO_PRINT,
    }  # fmt: skip
    return {name: pair.of(language) for name, pair in said.items()}
