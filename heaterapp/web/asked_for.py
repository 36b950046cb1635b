"""What is handed out when somebody asks: the paper itself, or a page made for who asks.

Nothing is shown for handing out before it is logged: the form is sent, the act `copy` stands in the
log, and the page of that act gives the files, or is itself the page to print. Opened again, the
same act's page adds nothing to the log.
"""

from __future__ import annotations

import hashlib
import io
import re
import secrets
import zipfile
from typing import Any

from flask import Blueprint, Response, abort, current_app, redirect, render_template, request, url_for

from heaterapp import archive
from heaterapp.archive.checking import printable
from heaterapp.archive.copies import Copy
from heaterapp.archive.words import UNITS, same_address
from heaterapp.certificate import Cover
from heaterapp.certificate.parties import line, named
from heaterapp.web.act_words import VIEWS
from heaterapp.web.copy_states import as_given, came_since, papers_told, told_apart
from heaterapp.web.days import day_of_record, shown_day, shown_moment
from heaterapp.web.desk_block import final_words
from heaterapp.web.handed_out import (
    facts_of,
    looked_over,
    outcome_of,
    present_told,
    state_words,
)
from heaterapp.web.office import KINDS
from heaterapp.web.one_record import line_of, names_of_people, open_record, present_of
from heaterapp.web.papers_offered import offered
from heaterapp.web.plain_forms import one
from heaterapp.web.sealed import handed_out, sealed_as
from heaterapp.web.security import current_person, require, store

blueprint = Blueprint("asked_for", __name__, url_prefix="/office/records")
LONGEST = 200
MOST_AT_ADDRESS = 200
TELL = {
    "void": "Tick that the receiver is told: this paper is void.",
    "replaced": "Tick that the receiver is told: this paper was replaced.",
}
TICKED = {"void": "told_void", "replaced": "told_replaced"}
"""What stands no more goes out only when that is told."""
SAYS = {
    "asked_by": ("Who asks", "say who asks, such as the insurer"),
    "purpose": ("What for", "say what for, such as a claim's number"),
}
ASKED = ("what", "asked_by", "purpose", "consent", *TICKED.values(), "key")
KEY = re.compile(r"copy-[0-9a-f]{32}")
EARLIEST = (1980, 1, 1, 0, 0, 0)
CONSENT = {"yes": "The owner has agreed.", "no": "Not noted."}


@blueprint.get("/<number>/copy")
@require("office", "owner")
def ask(number: str) -> Any:
    """Ask who wants what, and for what."""
    wanted = request.args.get("what", "")
    return _ask_page(open_record(number), {"what": wanted if wanted in VIEWS else "paper"}, {})


@blueprint.post("/<number>/copy")
@require("office", "owner")
def give(number: str) -> Any:
    """Log who gets what, then show it."""
    opened, person = open_record(number), current_person()
    given = {name: one(name).strip() for name in ASKED}
    errors = {}
    if given["what"] not in VIEWS:
        errors["what"] = "What is given: choose one of the list."
    for name, (label, wanted) in SAYS.items():
        if not given[name]:
            errors[name] = f"{label}: {wanted}."
        elif len(given[name]) > LONGEST or not printable(given[name]):
            errors[name] = f"{label}: one line of at most {LONGEST} characters."
    standing = _state(opened)
    # The page of an address names every paper and what stands.
    if standing == "void" or (standing == "replaced" and given["what"] != "address"):
        if given[TICKED[standing]] != "yes":
            errors[TICKED[standing]] = TELL[standing]
    if errors:
        return _ask_page(opened, given, errors), 422
    key = store().copies.give(
        person.organisation, opened.id, person.id, given["what"], given["asked_by"], given["purpose"],
        given["consent"] == "yes", standing == "void", given["key"] if KEY.fullmatch(given["key"]) else "",
        given["told_replaced"] == "yes" and standing == "replaced",
    )  # fmt: skip
    return redirect(url_for(".given", number=opened.number, key=key), 303)


@blueprint.get("/<number>/copy/<int:key>")
@require("office", "owner")
def given(number: str, key: int) -> Any:
    """Show what was handed out by this act: the files, or the page to print."""
    opened = open_record(number)
    copy = store().copies.given(opened.organisation, opened.id, key)
    told = {"record": opened, "copy": copy, "by": names_of_people().get(copy.by or 0, "")}
    state, since = told_apart(opened, copy)
    told |= {"kind": KINDS[opened.kind], "state": state, "since": since, "consent": CONSENT[_consent(copy)]}
    view = copy.told["what"]
    if view == "paper":
        return render_template(
            "office/copy_given.html", offers=offered(opened), standing=_state(opened), **told
        )
    if view == "redacted":
        return render_template("office/redacted_given.html", standing=_state(opened), **told)
    if view == "address":
        found = _at_address(opened)
        hits = as_given(found, copy, opened.organisation)
        told["since"] = came_since(found, hits, opened.organisation)
        spelt = sorted({hit.facts.address for hit in hits})
        papers = papers_told(opened.organisation, hits)
        standing = [one for one in papers if one["standing"]]
        return render_template(
            "office/given_address.html", papers=papers, spelt=spelt, standing=standing, **told
        )
    return render_template(
        "office/given_facts.html", title=VIEWS[view], sections=facts_of(opened, view),
        final=final_words(opened.organisation, opened.job_id), firm=opened.organisation_snapshot,
        insurer=view == "insurer", outcome=outcome_of(opened), looked_over=looked_over(opened),
        stands=present_told(opened), **told,
    )  # fmt: skip


@blueprint.get("/<number>/copy/<int:key>/cover.pdf")
@require("office", "owner")
def cover(number: str, key: int) -> Response:
    """Give the cover page of a copy; the stamp of a copy stands on it alone."""
    opened, copy = _paper_copy(number, key)
    answer = Response(_cover_of(opened, copy), content_type="application/pdf")
    answer.headers["Content-Disposition"] = f'attachment; filename="{opened.number}-copy-cover.pdf"'
    return answer


@blueprint.get("/<number>/copy/<int:key>/papers.zip")
@require("office", "owner")
def papers(number: str, key: int) -> Response:
    """Give the papers of a copy with the cover page before them, in one file."""
    opened, copy = _paper_copy(number, key)
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_STORED) as member:
        member.writestr(zipfile.ZipInfo("0-cover.pdf", EARLIEST), _cover_of(opened, copy))
        for name in store().records.file_names(opened.organisation, opened.id):
            if name.endswith(".pdf"):
                body, given = handed_out(opened, name)
                member.writestr(zipfile.ZipInfo(given, EARLIEST), body)
    answer = Response(packed.getvalue(), content_type="application/zip")
    answer.headers["Content-Disposition"] = f'attachment; filename="{opened.number}-copy.zip"'
    return answer


def _paper_copy(number: str, key: int) -> tuple[archive.Record, Copy]:
    opened = open_record(number)
    copy = store().copies.given(opened.organisation, opened.id, key)
    if copy.told["what"] != "paper":
        abort(404)
    return opened, copy


def _state(opened: archive.Record) -> str:
    return str(store().records.status(opened.organisation, opened.id).state)


def _cover_of(opened: archive.Record, copy: Copy) -> bytes:
    records, org = store().records, opened.organisation
    names = records.file_names(org, opened.id)
    # A sealed file has no digest that would stay; it begins with the archival one, which is named.
    sealed = sealed_as(org, names)
    sent = [name for name in names if name.endswith(".pdf") and name not in sealed]
    firm = opened.organisation_snapshot
    contractor = str(firm.get("name") or "")
    lines = (
        line(named("License", str(firm.get("licence") or "")), str(firm.get("phone") or ""), between=" · "),
        str(firm.get("address") or ""),
    )
    state, since = told_apart(opened, copy)
    made = Cover(
        number=opened.number,
        title=KINDS[opened.kind],
        issued=shown_day(day_of_record(opened, opened.issued_at)),
        state=state,
        since=since,
        standing=_state(opened),
        contractor=contractor,
        contractor_lines=tuple(filter(None, lines)),
        asked_by=copy.told["asked_by"],
        purpose=copy.told["purpose"],
        consent=CONSENT[_consent(copy)],
        about=tuple(
            filter(
                None,
                (present_told(opened, True), outcome_of(opened).named, looked_over(opened)),
            )
        ),
        given=shown_moment(copy.at),
        given_by=names_of_people().get(copy.by or 0, ""),
        files=tuple((name, hashlib.sha256(records.file(org, opened.id, name)).hexdigest()) for name in sent),
        page_size="A4" if (firm.get("settings") or {}).get("paper") == "a4" else "letter",
    )
    return _press(made)


def _press(made: Cover) -> bytes:
    chosen = current_app.config.get("RENDER_COVER")
    if chosen is None:
        from heaterapp.certificate import render_cover as chosen
    return bytes(chosen(made))


def _consent(copy: Copy) -> str:
    return "yes" if copy.told.get("consent") == "yes" else "no"


def _at_address(opened: archive.Record) -> list[archive.Hit]:
    """Every paper of the same address, of any kind and state, newest first."""
    wanted = same_address(opened.facts.address)
    if not wanted:
        return [hit for hit in store().records.of_job(opened.organisation, opened.job_id) if _is_shown(hit)]
    # What stands before the number of a unit is written in many ways, or left out.
    words = " ".join(word for word in wanted.split() if word not in UNITS)
    page = store().find(opened.organisation, words, finished=True, limit=MOST_AT_ADDRESS)
    return [hit for hit in page.hits if same_address(hit.facts.address) == wanted]


def _is_shown(hit: archive.Hit) -> bool:
    return hit.finished and not hit.erased


def _ask_page(opened: archive.Record, given: dict[str, str], errors: dict[str, str]) -> str:
    standing = _state(opened)
    replaced = standing == "replaced"
    return render_template(
        "office/copy.html", record=opened, given=given, errors=errors, views=VIEWS, kind=KINDS[opened.kind],
        void=standing == "void", state=state_words(opened), replaced=replaced,
        present=present_of(line_of(opened.number)) if replaced else None,
        key=given.get("key") or f"copy-{secrets.token_hex(16)}",
    )  # fmt: skip
