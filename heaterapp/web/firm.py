"""The owner's page: the firm's own facts, and who may sign in."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, abort, redirect, render_template, request, url_for
from wtforms import Form, PasswordField, StringField
from wtforms.validators import DataRequired, Length

from heaterapp import archive
from heaterapp.archive.checking import SHORTEST_PASSWORD
from heaterapp.web.passwords import weakness
from heaterapp.web.places import place_titles
from heaterapp.web.security import current_organisation, current_person, require, store

blueprint = Blueprint("firm", __name__, url_prefix="/office/firm")
ROLES = {
    "installer": "Installer: makes jobs",
    "office": "Office: finds records",
    "owner": "Owner: everything",
}
SAID = {
    "saved": "Saved. What was issued before keeps what it says.",
    "added": "Added. The new person can sign in now.",
    "changed": "Changed. That person has to sign in again.",
}


def _text(label: str, longest: int, needed: str = "") -> StringField:
    checks = [Length(max=longest, message=f"{label}: at most {longest} characters.")]
    return StringField(label, default="", validators=[DataRequired(needed), *checks] if needed else checks)


class Facts(Form):
    """What stands at the head of every paper, and what new jobs begin with."""

    name = _text("Name of the firm", 200, "Name of the firm: type the name that leads every paper.")
    licence = _text("License", 100)
    phone = _text("Phone", 100)
    address = _text("Address", 300)
    gas_emergency_phone = _text("Gas company's emergency phone", 100)
    place = StringField("Codes that new jobs start with", default="")


class Somebody(Form):
    """A new person."""

    person_name = _text("Name", 200, "Name: type the person's name.")
    login = _text("Sign-in name", 100, "Sign-in name: type the name to sign in with.")
    role = StringField("Role", default="installer")
    person_licence = _text("Own licence", 100)
    password = PasswordField("First password", validators=[DataRequired("First password: type one.")])


@blueprint.get("")
@require("owner")
def page() -> Any:
    """Show the firm and its people."""
    return _page()


@blueprint.post("")
@require("owner")
def save() -> Any:
    """Keep the firm's facts."""
    firm = current_organisation()
    form = Facts(request.form, data=_stored(firm))
    if not any(field.name in request.form for field in form):
        abort(400)
    errors = _errors(form)
    # Refused here, before anything is written: the firm and its settings are saved one after the other.
    if not (form.gas_emergency_phone.data or "").isprintable():
        errors["gas_emergency_phone"] = "Gas company's emergency phone: one line of plain characters."
    if form.place.data not in {"", *place_titles()}:
        errors["place"] = "Codes that new jobs start with: choose one of the list."
    if not errors:
        kept = {name: form[name].data for name in ("name", "licence", "phone", "address")}
        try:
            store().organisations.save(firm.id, **kept)
            settings = {
                "place": form.place.data,
                "gas_emergency_phone": form.gas_emergency_phone.data.strip(),
            }
            store().organisations.save_settings(
                firm.id, {key: text or None for key, text in settings.items()}
            )
        except archive.Invalid as refused:
            errors[refused.field] = f"{refused.field.capitalize()}: {refused.expected}."
    return _page(facts=form, errors=errors) if errors else redirect(url_for(".page", said="saved"), 303)


@blueprint.post("/people")
@require("owner")
def add() -> Any:
    """Add a person."""
    form, firm = Somebody(request.form), current_organisation()
    errors = _errors(form)
    weak = weakness(form.password.data or "", form.login.data or "", form.person_name.data or "", firm.name)
    if weak and "password" not in errors:
        errors["password"] = f"First password: {weak}"
    if form.role.data not in ROLES:
        errors["role"] = "Role: choose one of the three."
    if not errors:
        try:
            store().people.add(
                firm.id, form.login.data, form.person_name.data, form.role.data, form.password.data,
                licence=form.person_licence.data,
            )  # fmt: skip
        except archive.Invalid as refused:
            field = {"name": "person_name", "licence": "person_licence"}.get(refused.field, refused.field)
            errors[field] = f"{form[field].label.text}: {refused.expected}."
    return _page(somebody=form, errors=errors) if errors else redirect(url_for(".page", said="added"), 303)


@blueprint.post("/people/<int:number>")
@require("owner")
def change(number: int) -> Any:
    """Close or open a person's sign-in, or set a new password."""
    firm, me = current_organisation(), current_person()
    if not 0 < number < 2**53:
        abort(404)
    other = store().people.get(firm.id, number)
    sent = {name: request.form.getlist(name) for name in ("act", "password")}
    if any(len(said) > 1 for said in sent.values()):
        abort(400)
    act = request.form.get("act")
    if act == "close" and other.id != me.id:
        store().people.save(firm.id, other.id, disabled=True)
    elif act == "open":
        store().people.save(firm.id, other.id, disabled=False)
    elif act == "password":
        fresh = request.form.get("password", "")
        weak = weakness(fresh, other.login, other.name, firm.name)
        if weak:
            return _page(errors={f"password-{other.id}": f"New password of {other.name}: {weak}"})
        store().people.set_password(firm.id, other.id, fresh)
    else:
        abort(400)
    return redirect(url_for(".page", said="changed"), 303)


def _errors(form: Form) -> dict[str, str]:
    form.validate()
    twice = {field.name: f"{field.label.text}: sent more than once; send it once." for field in form}
    return {name: messages[0] for name, messages in form.errors.items()} | {
        name: says for name, says in twice.items() if len(request.form.getlist(name)) > 1
    }


def _stored(firm: archive.Organisation) -> dict[str, str]:
    facts = {name: getattr(firm, name) for name in ("name", "licence", "phone", "address")}
    settings = {name: str(firm.settings.get(name, "")) for name in ("place", "gas_emergency_phone")}
    return {**settings, **facts}


def _page(
    facts: Facts | None = None, somebody: Somebody | None = None, errors: dict[str, str] | None = None
) -> Any:
    firm = current_organisation()
    if facts is None:
        facts = Facts(data=_stored(firm))
    if somebody is None:
        somebody = Somebody()
    shown = render_template(
        "office/firm.html", facts=facts, somebody=somebody, errors=errors or {}, roles=ROLES,
        people=store().people.all(firm.id), places=place_titles(), shortest=SHORTEST_PASSWORD,
        said=SAID.get(request.args.get("said", "")),
    )  # fmt: skip
    return shown, 400 if errors else 200
