"""One plain page, or one plain JSON answer, for everything that can go wrong."""

from __future__ import annotations

import secrets
from collections.abc import Callable
from typing import Any

from flask import Flask, Response, current_app, g, jsonify, make_response, render_template, request
from werkzeug.exceptions import HTTPException, SecurityError

from heaterapp import archive
from heaterapp.languages import say, speaking
from heaterapp.web import closed_link, resend
from heaterapp.web.security import current_person, for_phone, personal, wants_json

SAYS = {
    400: ("That could not be read", "Go back, check what you typed, and send it again."),
    401: ("Sign in first", "Your sign-in has ended. Sign in and try again; what was saved is still there."),
    403: ("Not yours to open", "Your account may not do this. Ask the owner of your firm."),
    404: ("Not found", "There is nothing here under this address. Check it, or start from the first page."),
    405: ("Not possible here", "This address does not take that kind of request. Start from the first page."),
    409: ("Changed meanwhile", "Somebody changed this at the same time. Open it again and look first."),
    413: ("Too much at once", "What was sent is larger than {} MB. Shorten it and send it again."),
    429: ("Too many tries", "Wait a little, then try again."),
    500: (
        "Something broke here",
        "It is not your fault. What was saved is still there. Try again in a minute.",
    ),
    503: ("Not saved yet", "Try again in a minute."),
    507: ("Not saved", "Somebody has to make room on the server first; then send it again."),
}
CODES = {
    400: "bad_request", 401: "sign_in", 403: "not_yours", 404: "not_found", 405: "not_possible",
    409: "changed", 413: "too_large", 429: "too_many", 500: "broken",
    503: "busy", 507: "full",
}  # fmt: skip
PICTURES_TOO_LARGE = (
    "The pictures are larger than {count} MB together, so nothing was saved or issued. Go back, choose"
    " smaller ones or leave some out, and sign again."
)
RETRY_S = 20
STALE_PROOF = "The proof that came with this is older than the sign-in. A fresh one is fetched by itself."
TOO_LARGE = "This is larger than is taken here: a photo 15 MB, a job without its photos 2 MB."
STALE_FORM = (
    "This form is older than your sign-in, so nothing was changed. Open the page again and send it once more."
)


def handle(app: Flask) -> None:
    """Answer every error of the app plainly; behind a homeowner's link in the homeowner's language."""
    answers: dict[type[Exception], Callable[[Any], Any]] = {
        archive.NotFound: lambda error: _answer(404),
        archive.Erased: lambda error: _answer(404, str(error)),
        archive.TooManyTries: _too_many,
        archive.Invalid: lambda error: _answer(400, f"{error}."),
        archive.BlobsFailed: _without_blobs,
        archive.ArchiveError: lambda error: _answer(409, str(error)),
        HTTPException: _http,
        Exception: _broken,
    }
    for kind, answer in answers.items():
        app.register_error_handler(kind, _in_their_language(answer))


def _in_their_language(answer: Callable[[Any], Any]) -> Callable[[Any], Any]:
    def told(error: Any) -> Any:
        if not closed_link.is_asked():
            return answer(error)
        with speaking(closed_link.asked_language()):
            return answer(error)

    return told


def stale_form() -> Any:
    """Answer a form whose secret is not of this sign-in."""
    return _answer(400, say(STALE_FORM))


def stale_proof() -> Any:
    """Answer the phone whose proof is not of this sign-in, or that is signed in no more."""
    if current_person() is None:
        return _answer(401)
    return _answer(403, say(STALE_PROOF), "proof")


def _http(error: HTTPException) -> Any:
    if isinstance(error, SecurityError):
        # A host name nobody vouched for: no address on any page could be trusted.
        return personal(Response("This address is not served here.\n", 400, mimetype="text/plain"))
    code = error.code or 500
    if code < 400:
        return error
    own = code in {403, 409} and type(error).description != error.description
    known = code if code in SAYS else (500 if code >= 500 else 400)
    response = _answer(known, error.description or "" if own else "")
    for name, value in error.get_headers():
        if name in {"Allow", "Retry-After"}:
            response.headers[name] = value
    return response


def _too_many(error: archive.TooManyTries) -> Any:
    response = _answer(429, say("Wait {time}, then try again.", time=waiting(error.wait_s)))
    response.headers["Retry-After"] = str(error.wait_s)
    return response


def waiting(seconds: int) -> str:
    """Return a waiting time in words.

    >>> waiting(1), waiting(40), waiting(900)
    ('1 second', '40 seconds', '15 minutes')
    """
    if seconds < 100:
        return say("1 second") if seconds == 1 else say("{count} seconds", count=seconds)
    return say("{count} minutes", count=-(-seconds // 60))


def _without_blobs(error: archive.BlobsFailed) -> Any:
    current_app.logger.error("%s", error)
    return _answer(500, f"{say(SAYS[500][1])} {error}.")


def _not_kept(told: archive.StoreFull | archive.StoreBusy, error: Exception) -> Any:
    """Say that the database did not keep it, and give back what was typed, to be sent again by a press."""
    code = 507 if isinstance(told, archive.StoreFull) else 503
    current_app.logger.error("%s (%s)", told, error)
    says, person = f"{say(str(told))}. {say(SAYS[code][1])}", g.get("person")
    # Looking the person up may be what was refused; the page must not try it again.
    g.person, g.organisation = person, g.get("organisation")
    by_hand = request.method == "POST" and not for_phone() and not wants_json()
    held = resend.given_back(resend.gathered(), person) if person and by_hand else None
    if held:
        says = f"{says} {say('What you typed is kept on this page.')}"
        page = render_template("send_again.html", says=says, **held)
        response = personal(make_response(page, code))
    else:
        response = _answer(code, says)
    if code == 503:
        response.headers["Retry-After"] = str(RETRY_S)
    return response


def _broken(error: Exception) -> Any:
    told = archive.worded(error)
    if told is not None:
        return _not_kept(told, error)
    reference = secrets.token_hex(4)
    # The rule rather than the address: an address may hold the secret of a homeowner's link.
    where = f"{request.method} {str(request.url_rule or request.path)[:200]!r}"
    current_app.logger.error("%s broke (reference %s)", where, reference, exc_info=error)
    # Looking the person up may be what broke; the page must not try it again.
    g.person = g.organisation = None
    again = say("If it happens again, tell us this reference: {reference}.", reference=reference)
    return _answer(500, f"{say(SAYS[500][1])} {again}")


def _too_large(usual: str) -> str:
    """What was too large, by the limit that it went over: the whole, or what was typed in it."""
    whole = request.max_content_length or 0
    # Without its length told the whole was counted as it came in, as what was typed was.
    if (request.content_length or 0) <= whole:
        return usual.format((request.max_form_memory_size or whole) // 1_000_000)
    if request.endpoint == "signing.issue" and request.mimetype == "multipart/form-data":
        return say(PICTURES_TOO_LARGE, count=whole // 1_000_000)
    return usual.format(whole // 1_000_000)


def _answer(code: int, says: str = "", word: str = "") -> Any:
    title, usual = say(SAYS[code][0]), say(SAYS[code][1])
    if code == 413:
        usual = _too_large(usual)
    if for_phone():
        usual = say(TOO_LARGE) if code == 413 else usual
        response = jsonify(error=says or usual, code=word or CODES[code])
    elif wants_json():
        response = jsonify(error=says or usual)
    elif closed_link.is_asked():
        page = closed_link.closed_page() if code == 404 else closed_link.refused_page(title, says or usual)
        response = make_response(page)
    else:
        response = personal(render_template("error.html", title=title, says=says or usual, code=code))
    response.status_code = code
    return personal(response)
