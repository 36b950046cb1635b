"""Making a record void: asked with a reason, said on every page of it, never taken back."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, redirect, render_template, request, url_for

from heaterapp import archive
from heaterapp.archive.checking import LONGEST_REASON, printable
from heaterapp.web.one_record import line_of, present_of
from heaterapp.web.security import current_person, require, store

blueprint = Blueprint("history", __name__, url_prefix="/office/records")
TICK = "Tick that it is to be void for good."


@blueprint.get("/<number>/void")
@require("office", "owner")
def ask_void(number: str) -> Any:
    """Ask why, and once more whether."""
    hit = line_of(number)
    errors = {"state": f"{hit.number} is void already."} if hit.state == "void" else {}
    return _void_page(hit, "", errors)


@blueprint.post("/<number>/void")
@require("office", "owner")
def void(number: str) -> Any:
    """Declare the record void."""
    hit, person = line_of(number), current_person()
    if hit.state == "replaced":
        return _void_page(hit, request.form.get("reason", "")[:LONGEST_REASON], {}), 409
    reason, errors = reason_of(request.form.getlist("reason"))
    if request.form.get("sure") != "yes":
        errors["sure"] = TICK
    if errors:
        return _void_page(hit, reason, errors), 422
    try:
        store().void(person.organisation, hit.record, person.id, reason)
    except archive.AlreadyVoid as known:
        return _void_page(line_of(number), reason, {"state": str(known)}), 409
    except archive.NotCurrent:
        return _void_page(line_of(number), reason, {}), 409
    return redirect(url_for("office.record", number=hit.number), 303)


def reason_of(sent: list[str], what: str = "Reason") -> tuple[str, dict[str, str]]:
    """Return a reason as it was typed and, under `reason`, what is wrong with it.

    >>> reason_of(["wrong heater"]), reason_of([" "])[1]
    (('wrong heater', {}), {'reason': 'Reason: type why, in one line of at most 300 characters.'})
    """
    text = sent[0].strip() if len(sent) == 1 else ""
    if not text or len(text) > LONGEST_REASON or not printable(text):
        shown = text[:1000]
        return shown, {"reason": f"{what}: type why, in one line of at most {LONGEST_REASON} characters."}
    return text, {}


@blueprint.app_template_filter("unstopped")
def unstopped(text: str | None) -> str:
    """Return what somebody typed without its stop, where a sentence goes on or ends after it.

    >>> unstopped("off the gauge. "), unstopped("misspelled.;"), unstopped(None)
    ('off the gauge', 'misspelled', '')
    """
    return (text or "").rstrip(" .;:,")


def _void_page(hit: archive.Hit, reason: str, errors: dict[str, str]) -> str:
    present = present_of(hit) if hit.state == "replaced" else None
    said = {"state": _replaced(hit, present)} if hit.state == "replaced" else errors
    return render_template("office/void.html", hit=hit, reason=reason, errors=said, present=present)


def _replaced(hit: archive.Hit, present: str | None) -> str:
    says = f"{hit.number} was replaced by {hit.superseded_by_number} and holds no more."
    if present is None:
        return f"{says} No paper of this job is current, so there is none to make void."
    return f"{says} What is made void is the present one, {present}."
