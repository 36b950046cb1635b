"""An invitation's own page: the invited person chooses how to sign in, once."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, redirect, render_template, request, url_for
from wtforms import Form, PasswordField, StringField
from wtforms.validators import DataRequired

from heaterapp import archive
from heaterapp.archive.checking import SHORTEST_PASSWORD
from heaterapp.archive.invites import DEAD, Invite
from heaterapp.languages import say
from heaterapp.web.passwords import weakness
from heaterapp.web.plain_forms import at_most, faults
from heaterapp.web.security import begin, personal, store

blueprint = Blueprint("joining", __name__, url_prefix="/invite")
DOES = {
    "installer": "You make jobs and sign papers.",
    "office": "You find records and pass them on.",
    "owner": "You may do everything, and look after the people of the firm.",
}


class Joining(Form):
    """How to sign in from now on."""

    login = StringField(
        "Sign-in name",
        default="",
        validators=[
            DataRequired("Sign-in name: type the name to sign in with."), at_most("Sign-in name", 100),
        ],
    )
    password = PasswordField("Password", validators=[DataRequired("Password: type one.")])


@blueprint.get("/<token>")
def ask(token: str) -> Any:
    """Ask for a sign-in name and a password."""
    return _page(_open(token), Joining())


@blueprint.post("/<token>")
def join(token: str) -> Any:
    """Make the person and sign in; the link opens nothing from then on."""
    invite, form = _open(token), Joining(request.form)
    errors = faults(form)
    firm = store().organisations.get(invite.organisation)
    weak = weakness(form.password.data or "", form.login.data or "", invite.name, firm.name)
    if weak:
        errors.setdefault("password", f"{say('Password')}: {weak}")
    if errors:
        return _page(invite, form, errors)
    try:
        person = store().invites.take(token, form.login.data, form.password.data)
    except archive.Invalid as refused:
        label = {"login": "Sign-in name", "password": "Password"}[refused.field]
        return _page(invite, form, {refused.field: f"{say(label)}: {refused.expected}."})
    begin(person)
    return redirect(url_for("account.page", said="joined"), 303)


def _open(token: str) -> Invite:
    # Links are of one firm, but who guesses names none: tries are counted for the address alone.
    whole = store().organisations.default().id
    tries = [("invite", request.remote_addr or "")]
    store().throttle.attempt(whole, tries)
    invite: Invite | None = store().invites.lookup(token)
    if invite is None:
        raise archive.NotFound(DEAD)
    store().throttle.succeeded(whole, tries)
    return invite


def _page(invite: Invite, form: Joining, errors: dict[str, str] | None = None) -> Any:
    firm = store().organisations.get(invite.organisation)
    shown = render_template(
        "joining.html", invite=invite, firm=firm, form=form, errors=errors or {}, does=say(DOES[invite.role]),
        shortest=SHORTEST_PASSWORD,
    )  # fmt: skip
    answer = personal(shown)
    answer.status_code = 400 if errors else 200
    return answer
