"""Sign in, sign out, and the first page of each role."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, abort, make_response, redirect, render_template, request, url_for
from flask_wtf.csrf import CSRFError
from wtforms import Form, PasswordField, StringField
from wtforms.validators import InputRequired

from heaterapp import archive
from heaterapp.languages import say, told
from heaterapp.web import passkey_address, resend
from heaterapp.web.errors import stale_form, stale_proof, waiting
from heaterapp.web.plain_forms import at_most
from heaterapp.web.security import (
    SignInEnded,
    begin,
    current_person,
    end,
    for_phone,
    own_path,
    page_of_form,
    personal,
    store,
    wants_json,
)

blueprint = Blueprint("sign_in", __name__)
FIRST_PAGE = {"installer": "/jobs", "office": "/office", "owner": "/office"}
# One sentence for a wrong name, a wrong password and an account that was closed.
NO_MATCH = "That sign-in name and password do not go together. Check both and try again."


class SignIn(Form):
    """What the sign-in page sends."""

    login = StringField(validators=[InputRequired("Type your sign-in name."), at_most("Sign-in name", 100)])
    password = PasswordField(validators=[InputRequired("Type your password."), at_most("Password", 256)])
    firm = StringField(validators=[at_most("Firm", 64)])


@blueprint.get("/")
def home() -> Any:
    """Send each role to its own first page."""
    person = current_person()
    return redirect(FIRST_PAGE[person.role] if person else url_for(".ask"))


@blueprint.get("/sign-in")
def ask() -> Any:
    """Show the form."""
    if current_person():
        return redirect(own_path(request.args.get("next"), url_for(".home")))
    return _page(SignIn(firm=request.args.get("firm", "")[:64]))


@blueprint.post("/sign-in")
def check() -> Any:
    """Start a session, or show the form again with one sentence."""
    form = SignIn(request.form)
    if not form.validate():
        said = [told("common", say(message)) for messages in form.errors.values() for message in messages]
        return _page(form, list(dict.fromkeys(said)), 400)
    try:
        person = _person(form.firm.data or "", form.login.data, form.password.data)
        begin(person)
    except archive.WrongPassword:
        return _page(form, [say(NO_MATCH)], 401)
    except archive.TooManyTries as stopped:
        says = say("Too many tries. Wait {time}, then try again.", time=waiting(stopped.wait_s))
        answer = _page(form, [says], 429)
        answer.headers["Retry-After"] = str(stopped.wait_s)
        return answer
    kept = resend.given_back(resend.carried(), person)
    if kept:
        return _again(kept)
    return redirect(own_path(request.args.get("next"), FIRST_PAGE[person.role]), 303)


@blueprint.app_errorhandler(SignInEnded)
def ended(error: SignInEnded) -> Any:
    """Ask for the sign-in again, with what was typed in hand."""
    kept = resend.gathered()
    if kept:
        return _page(SignIn(), status=401, kept=kept)
    return redirect(url_for("sign_in.ask", next=own_path(page_of_form())))


@blueprint.app_errorhandler(CSRFError)
def stale(error: CSRFError) -> Any:
    """A form older than this sign-in: nothing is changed by it, and what was typed is given back."""
    if for_phone():
        return stale_proof()
    person, kept = current_person(), resend.gathered() or resend.carried()
    if wants_json() or not kept:
        return stale_form()
    if person is None:
        return _page(SignIn(), status=401, kept=kept)
    held = resend.given_back(kept, person)
    return _again(held, 400) if held else stale_form()


def _again(kept: dict[str, Any], status: int = 200) -> Any:
    return personal(make_response(render_template("send_again.html", **kept), status))


@blueprint.post("/sign-out")
def leave() -> Any:
    """End the session on the server."""
    end()
    if wants_json():
        abort(401)
    return redirect(url_for(".ask", left="1"), 303)


def _person(firm: str, login: str, password: str) -> archive.Person:
    organisations = store().organisations
    try:
        organisation = organisations.by_slug(firm) if firm else organisations.default()
    except archive.NotFound:
        # A firm nobody has costs as many tries and as much time as a wrong password.
        organisation, login = organisations.default(), f"{firm}\x1f{login}"
    return store().people.sign_in(organisation.id, login, password, request.remote_addr or "")


def _page(form: SignIn, errors: list[str] | None = None, status: int = 200, kept: str = "") -> Any:
    sent_from = page_of_form() if request.endpoint not in {"sign_in.ask", "sign_in.check"} else None
    shown = render_template(
        "sign_in.html", form=form, errors=errors or [], left="left" in request.args,
        next=own_path(request.args.get("next") or sent_from, ""),
        kept=kept or resend.carried(), kept_in=resend.FIELD,
        # A form's fields are carried through the password's own form only.
        passkeys=not (kept or resend.carried()) and passkey_address.possible(),
    )  # fmt: skip
    return make_response(shown, status)
