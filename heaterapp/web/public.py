"""What anyone may open: the check page, the fonts, and a sign of life."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, Response, abort, render_template, request, send_file, url_for
from markupsafe import Markup

from heaterapp import archive, firm_clock, firm_days, fonts, sealing
from heaterapp.certificate import identifiers, redacted_identifier
from heaterapp.languages import say
from heaterapp.sealing.looking import SOUND
from heaterapp.web.errors import waiting
from heaterapp.web.office import KINDS
from heaterapp.web.places import place_title
from heaterapp.web.security import store

blueprint = Blueprint("public", __name__)
LONGEST_NUMBER = 40
LONGEST_CODE = 40
UNBROKEN = Markup('<span class="unbroken">C-000123</span>')
"""A number as an example, which no line ends within."""
NOT_CERTIFICATES = {
    "correction_list": "This is a correction list, not a certificate.",
    "findings_report": "This is a findings report, not an installer's certificate.",
}
STATES = {"issued": "Current", "replaced": "Replaced", "void": "Void"}


@blueprint.get("/healthz")
def health() -> Any:
    """Say that the app answers and that its database does."""
    store().organisations.default()
    return Response("ok\n", mimetype="text/plain")


@blueprint.get("/fonts/faces.css")
def font_faces() -> Any:
    """Give the rules that name the page fonts."""
    rules = fonts.font_face_css("woff2", lambda name: url_for(".font", file=name))
    answer = Response(rules, mimetype="text/css")
    answer.headers["Cache-Control"] = "public, max-age=86400"
    return answer


@blueprint.get("/fonts/<file>")
def font(file: str) -> Any:
    """Give one prepared font file."""
    try:
        known = fonts.font_files()
    except fonts.FontMissing:
        known = {}
    if file not in known or not file.endswith(".woff2"):
        abort(404)
    answer = send_file(known[file], mimetype="font/woff2", max_age=86400)
    answer.headers["Cache-Control"] = "public, max-age=86400"
    return answer


@blueprint.get("/check")
def check() -> Any:
    """Tell anyone with a paper's number and printed code what became of it."""
    number = request.args.get("number", "").strip()
    code = request.args.get("code", "").strip()
    found, errors, wait = None, {}, 0
    if "number" in request.args or "code" in request.args:
        errors = _missing(number, code)
        if not errors:
            try:
                found = _look_up(number, code)
            except archive.TooManyTries as stopped:
                wait = stopped.wait_s
                says = say("Too many tries. Wait {time}, then try again.", time=waiting(wait))
                errors = {"number": says}
            if found is None and not wait:
                wrong = say("No paper has this number with this code. Check both against the paper.")
                errors = {"number": wrong}
    shown = render_template(
        "public/check.html", number=number[:LONGEST_NUMBER], code=code[:LONGEST_CODE], found=found,
        errors=errors, kinds=KINDS, not_certificates=NOT_CERTIFICATES, states=STATES,
        place=place_title(found.place) if found else "",
        moments=_moments(found) if found else {}, sealing=sealing, sound=SOUND,
        **(_to_compare(found) if found else {}),
    )  # fmt: skip
    if wait:
        return shown, 429, {"Retry-After": str(wait)}
    return shown, 404 if errors and number and code else 200


def _moments(found: archive.PublicRecord) -> dict[str, str]:
    """When it was issued, and since when it does not stand, by its firm's clocks; the days alone too."""
    zone = firm_days.zone_of({"time_zone": found.time_zone})
    stamps = {"issued": found.issued_at, "since": found.since}
    read = {name: firm_clock.moment_of(stamp) for name, stamp in stamps.items()}
    there = {name: one.astimezone(zone) for name, one in read.items() if one}
    days = {f"{name}_day": firm_clock.day_words(one.date().isoformat()) for name, one in there.items()}
    return days | {name: firm_clock.moment_words(one) for name, one in there.items()}


def _missing(number: str, code: str) -> dict[str, str]:
    errors = {}
    if not 0 < len(number) <= LONGEST_NUMBER:
        wrong = Markup.escape(say("Type the number printed on the paper, such as {number}."))
        errors["number"] = wrong.format(number=UNBROKEN)
    if not 0 < len(code) <= LONGEST_CODE:
        errors["code"] = say("Type the check code printed beside the number: three groups of four.")
    return errors


def _to_compare(found: archive.PublicRecord) -> dict[str, Any]:
    """What the page's script holds a file against: no name; of a paper whole hash, size, identifier."""
    # No hashes of parts: who has a copy without personal data has the code, and could try out with them what
    # a part says, such as the former owner's name. For a hash of the whole every byte must be right at once.
    named = found.content_digest, found.number, found.revision
    return {
        "papers": {name: sealing.named(body) for name, body in found.bodies.items() if name.endswith(".pdf")},
        "traces": {one: sealing.traces(held) for one, held in found.certificates.items()},
        "copies": identifiers(found.kind, *named),
        "redacted": redacted_identifier(*named),
    }


def _look_up(number: str, code: str) -> archive.PublicRecord | None:
    # Numbers of several firms may be alike, so tries are counted for the address alone.
    whole = store().organisations.default().id
    tries = [("check", request.remote_addr or "")]
    store().throttle.attempt(whole, tries)
    found = store().records.check(number, code)
    if found is not None:
        store().throttle.succeeded(whole, tries)
    return found
