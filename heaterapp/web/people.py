"""The owner's page of people: who may sign in, as what, from which devices; and whom to invite."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, abort, redirect, render_template, request, url_for
from wtforms import Form, StringField

from heaterapp import archive
from heaterapp.archive.checking import SHORTEST_PASSWORD
from heaterapp.web import security
from heaterapp.web.devices import device, local
from heaterapp.web.passwords import weakness
from heaterapp.web.plain_forms import faults, one, text
from heaterapp.web.qr import qr
from heaterapp.web.security import current_organisation, current_person, require, store
from heaterapp.web.settings import public_address

blueprint = Blueprint("people", __name__, url_prefix="/office/people")
ROLES = {
    "installer": "Installer: makes jobs",
    "office": "Office: finds records",
    "owner": "Owner: everything",
}
SAID = {
    "changed": "Changed. That person has to sign in again.",
    "facts": "Saved. Papers made before keep the name and the license they say.",
    "revoked": "The invitation is closed. Its link opens nothing any more.",
    "signed_out": "That device is signed out.",
    "passkeys": "The passkeys are removed. That person signs in with the password.",
}
LAST_OWNER = "Somebody else who is owner and can sign in is needed first."


class Invited(Form):
    """Whom to invite, and as what."""

    person_name = text("Name", 200, "Name: type the name of the person to invite.")
    role = StringField("Role", default="installer")
    person_licence = text("Own license", 100)


@blueprint.get("")
@require("owner")
def page() -> Any:
    """Show everybody, their devices, and the invitations that wait."""
    return _page()


@blueprint.post("/invites")
@require("owner")
def invite() -> Any:
    """Make an invitation; its link is shown this once."""
    form, firm = Invited(request.form), current_organisation()
    errors = faults(form)
    if form.role.data not in ROLES:
        errors.setdefault("role", "Role: choose one of the three.")
    if errors:
        return _page(form, errors)
    try:
        token, made = store().invites.make(
            firm.id, current_person().id, form.person_name.data, form.role.data, form.person_licence.data
        )
    except archive.Invalid as refused:
        field = {"name": "person_name", "licence": "person_licence"}.get(refused.field, refused.field)
        return _page(form, {field: f"{form[field].label.text}: {refused.expected}."})
    return _page(made=made, link=public_address(url_for("joining.ask", token=token)))


@blueprint.post("/invites/<int:number>")
@require("owner")
def revoke(number: int) -> Any:
    """Close an invitation that waits."""
    store().invites.revoke(current_organisation().id, number, current_person().id)
    return redirect(url_for(".page", said="revoked"), 303)


@blueprint.post("/devices/<int:number>")
@require("owner")
def sign_out(number: int) -> Any:
    """End one sign-in of anybody here."""
    store().people.sign_out(current_organisation().id, number, current_person().id)
    return redirect(url_for(".page", said="signed_out"), 303)


@blueprint.post("/<int:number>")
@require("owner")
def change(number: int) -> Any:
    """Change what a person may do, is called, or signs in with."""
    firm, me, people = current_organisation(), current_person(), store().people
    other, act = people.get(firm.id, number), one("act")
    said = "changed"
    try:
        if act in ("close", "open") and (other.id != me.id or act == "open"):
            people.save(firm.id, other.id, disabled=act == "close", by=me.id)
        elif act == "role" and one("role") in ROLES:
            people.save(firm.id, other.id, role=one("role"), by=me.id)
        elif act == "facts":
            people.save(firm.id, other.id, name=one("name"), licence=one("licence"), by=me.id)
            said = "facts"
        elif act == "passkeys":
            for key in store().passkeys.all_for(firm.id, other.id):
                store().passkeys.remove(firm.id, other.id, key.id, me.id)
            said = "passkeys"
        elif act == "password":
            fresh = one("password")
            weak = weakness(fresh, other.login, other.name, firm.name)
            if weak:
                return _page(errors={f"password-{other.id}": f"New password of {other.name}: {weak}"})
            people.set_password(firm.id, other.id, fresh, by=me.id, keep=security.current_session())
        else:
            abort(400)
    except archive.Invalid as refused:
        field = "name" if refused.field == "name" else "licence" if refused.field == "licence" else "role"
        says = {
            "name": f"Name: {refused.expected}.", "licence": f"Own license: {refused.expected}.",
            "role": f"Role of {other.name}: {LAST_OWNER}",
        }[field]  # fmt: skip
        return _page(errors={f"{field}-{other.id}": says})
    return redirect(url_for(".page", said=said), 303)


def _page(
    form: Invited | None = None, errors: dict[str, str] | None = None, made: Any = None, link: str = ""
) -> Any:
    firm = current_organisation()
    here, devices = security.current_session(), {}
    for session in store().sessions.live(firm.id):
        devices.setdefault(session.person.id, []).append(device(session, firm, here))
    everybody = store().people.all(firm.id)
    shown = render_template(
        "office/people.html", form=form or Invited(), errors=errors or {}, roles=ROLES, people=everybody,
        devices=devices, keys={one.id: len(store().passkeys.all_for(firm.id, one.id)) for one in everybody},
        invites=[(one, local(one.expires_at, firm)) for one in store().invites.waiting(firm.id)],
        shortest=SHORTEST_PASSWORD, said=SAID.get(request.args.get("said", "")), link=link, made=made,
        qr=qr(link) if link else "", until=local(made.expires_at, firm) if made else "", given=request.form,
    )  # fmt: skip
    return shown, 400 if errors else 200
