"""A person's own page: password, passkeys, and the devices that are signed in."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, abort, redirect, render_template, request, url_for
from wtforms import Form, PasswordField
from wtforms.validators import DataRequired

from heaterapp import archive
from heaterapp.archive.checking import LONGEST_PASSWORD, SHORTEST_PASSWORD
from heaterapp.archive.passkeys import MOST
from heaterapp.languages import LANGUAGES, say
from heaterapp.web import security
from heaterapp.web.devices import device, local
from heaterapp.web.errors import waiting
from heaterapp.web.passkey_address import possible
from heaterapp.web.passwords import weakness
from heaterapp.web.plain_forms import at_most, faults, one
from heaterapp.web.security import current_organisation, current_person, require, store
from heaterapp.web.settings import public_address

blueprint = Blueprint("account", __name__, url_prefix="/account")
SAID = {
    "joined": "You are in. From now on you sign in with that name and password, or with a passkey of yours.",
    "password": "The password is changed. Your other devices are signed out.",
    "all-new": "The password is changed. Your passkeys are removed and your other devices are signed out.",
    "device": "That device is signed out.",
    "others": "Your other devices are signed out.",
    "passkey": "The passkey is kept. You can sign in with it from now on.",
    "removed": "The passkey is removed. It signs nobody in any more.",
}


class Change(Form):
    """The present password and the next one."""

    present = PasswordField(
        "Present password",
        validators=[
            DataRequired("Present password: type the one you sign in with now."),
            at_most("Present password", LONGEST_PASSWORD),
        ],
    )
    fresh = PasswordField("New password", validators=[DataRequired("New password: type one.")])


@blueprint.get("")
@require()
def page() -> Any:
    """Show how this person signs in, and from where."""
    return _page()


@blueprint.post("/password")
@require()
def password() -> Any:
    """Change the password, for who knows the present one; every other sign-in ends."""
    form, me, firm = Change(request.form), current_person(), current_organisation()
    errors = faults(form)
    weak = weakness(form.fresh.data or "", me.login, me.name, firm.name)
    if weak:
        errors.setdefault("fresh", f"{say('New password')}: {weak}")
    if not errors:
        try:
            right = store().people.knows_password(
                me.organisation, me.id, form.present.data, request.remote_addr or ""
            )
        except archive.TooManyTries as stopped:
            errors["present"] = say(
                "Present password: too many tries. Wait {time}, then try again.", time=waiting(stopped.wait_s)
            )
            answer = _page(errors, 429)
            answer.headers["Retry-After"] = str(stopped.wait_s)
            return answer
        if not right:
            errors["present"] = say("Present password: that is not it. Type the one you sign in with now.")
    if errors:
        return _page(errors)
    removes = one("passkeys") == "remove"
    store().people.set_password(
        me.organisation, me.id, form.fresh.data, by=me.id, keep=security.current_session(),
        keep_passkeys=not removes,
    )  # fmt: skip
    return redirect(url_for(".page", said="all-new" if removes else "password"), 303)


@blueprint.post("/devices")
@require()
def devices() -> Any:
    """Sign out every device but this one."""
    me, here = current_person(), security.current_session()
    if one("act") != "others" or here is None:
        abort(400)
    store().sessions.end_others(me.organisation, me.id, here)
    return redirect(url_for(".page", said="others"), 303)


@blueprint.post("/devices/<int:number>")
@require()
def sign_out(number: int) -> Any:
    """Sign out one device of one's own."""
    me = current_person()
    store().sessions.end_own(me.organisation, me.id, number)
    return redirect(url_for(".page", said="device"), 303)


def _page(errors: dict[str, str] | None = None, status: int = 0) -> Any:
    me, firm = current_person(), current_organisation()
    here = security.current_session()
    own = [device(one, firm, here) for one in store().sessions.live(me.organisation, me.id)]
    keys = [
        (key, local(key.created_at, firm), local(key.last_used_at or "", firm))
        for key in store().passkeys.all_for(me.organisation, me.id)
    ]
    elsewhere = firm.id != store().organisations.default().id
    shown = render_template(
        "account.html", languages=LANGUAGES, errors=errors or {},
        devices=sorted(own, key=lambda one: not one.here), keys=keys,
        said=say(SAID.get(request.args.get("said", ""), "")), shortest=SHORTEST_PASSWORD, possible=possible(),
        proved=security.just_signed_in(), most=MOST,
        unticked=request.method == "POST" and one("passkeys") != "remove",
        address=public_address(url_for("sign_in.ask", firm=firm.slug)) if elsewhere else "",
    )  # fmt: skip
    answer = security.personal(shown)
    answer.status_code = status or (400 if errors else 200)
    return answer
