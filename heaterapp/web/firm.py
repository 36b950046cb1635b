"""The owner's page of the firm: what stands on every paper, and how the office works."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from flask import Blueprint, Response, abort, current_app, redirect, render_template, request, url_for
from wtforms import Form

from heaterapp import archive, firm_days, photo
from heaterapp.archive.retention import kept_until, years_of
from heaterapp.filling import usual
from heaterapp.sealing import MEANS, grouped
from heaterapp.web import firm_settings as kinds
from heaterapp.web import meanwhile, sealed
from heaterapp.web.days import shown_day, today
from heaterapp.web.own_presets import by_section, own_presets
from heaterapp.web.places import place_titles, served
from heaterapp.web.plain_forms import faults, one, text
from heaterapp.web.reached import no_mail
from heaterapp.web.security import current_organisation, current_person, require, store

blueprint = Blueprint("firm", __name__, url_prefix="/office/firm")
SAID = {
    "saved": "Saved. Papers issued before keep what they say, and are kept no shorter than was set then.",
    "mail": "Saved. Mails that wait and new ones go this way. Send a test to see that one arrives.",
    "no-mail": "Saved. Without a mail server no paper goes by mail.",
    "presets": "Saved. From now on As usual fills in these; answers that jobs have already stay as they are.",
    "logo": "The logo is kept. Papers made from now on carry it.",
    "seal": "There is a new key. What was sealed before can still be checked: its certificate is kept.",
    "seal-distrusted": "That key is no longer trusted. Its seals count as a stranger's from now on.",
    "seal-other": "Somebody made another key meanwhile: that one is in use.",
    "no-logo": "Papers made from now on carry no logo. Those made before keep theirs.",
}
OTHERWISE = "Somebody changed the firm meanwhile: look at it, then save again."
OTHER_LOGO = "Logo: somebody changed it meanwhile. Look at the one that is kept now, then choose again."
TICK = "Tick that the key in use is to be replaced for good."
FACTS = tuple(meanwhile.FACTS)
SECTIONS_SENT = ("served", "mail")
NOT_A_LOGO = {
    "not_a_photo": "a PNG or JPEG picture", "heic": "a PNG or JPEG picture; this one is HEIC",
    "too_large": "a picture of at most 25 megapixels", "damaged": "a PNG or JPEG picture that is whole",
}  # fmt: skip


class Facts(Form):
    """What stands at the head of every paper."""

    name = text("Name of the firm", 200, "Name of the firm: type the name that leads every paper.")
    licence = text("License", 100)
    phone = text("Phone", 100)
    address = text("Address", 300)


@blueprint.get("")
@require("owner")
def page() -> Any:
    """Show the firm and its settings."""
    return firm_page()


@blueprint.post("")
@require("owner")
def save() -> Any:
    """Keep what was sent, all of it or nothing; what was not sent stays as it is."""
    firm = current_organisation()
    sections = request.form.getlist("section")
    if not {*FACTS, *kinds.LINES} & request.form.keys() and not set(sections) & set(SECTIONS_SENT):
        abort(400)
    form = Facts(request.form, data={name: getattr(firm, name) for name in FACTS})
    errors = faults(form)
    settings, wrong = kinds.read_lines()
    errors |= wrong
    if "served" in sections:
        settings["places_served"], wrong = kinds.read_served()
        errors |= wrong
    if "mail" in sections:
        settings["mail"], wrong = kinds.read_mail(firm.settings.get("mail", {}))
        errors |= wrong
    for name in (
        name for name in request.form if len(request.form.getlist(name)) > 1 and name in kinds.LINES
    ):
        errors[name] = f"{kinds.LINES[name].label}: sent more than once; send it once."
    after = {**firm.settings, **settings}
    if not errors and after.get("place") and after["place"] not in served(after):
        errors["place"] = "Codes that new jobs start with: one of those that installers may choose."
    later = meanwhile.changed(firm)
    if not errors and not later:
        facts = {name: form[name].data for name in FACTS if name in request.form}
        seen = {name: getattr(firm, name) for name in FACTS if name in request.form}
        seen |= {name: firm.settings.get(name) for name in settings}
        try:
            store().organisations.change(firm.id, current_person().id, facts, settings, seen=seen)
        except archive.Invalid as refused:
            errors[refused.field] = f"{refused.field.capitalize()}: {refused.expected}."
        except archive.SettingsConflict:
            firm = store().organisations.get(firm.id)
            later = meanwhile.changed(firm)
            errors |= {} if later else {"name": OTHERWISE}
        else:
            if settings.get(sealed.SETTING) == sealed.ON:
                sealed.make_sure_of_key(firm.id, current_person().id)
            # Of papers nothing is said where only the mail was saved.
            of_mail = "mail" if settings.get("mail") else "no-mail"
            said = of_mail if not facts and set(settings) == {"mail"} else "saved"
            return redirect(url_for(".page", said=said), 303)
    shown, status = firm_page(form, {**meanwhile.said(later), **errors}, firm, later)
    return shown, 409 if later and not errors else status


@blueprint.post("/logo")
@require("owner")
def logo() -> Any:
    """Keep a logo for the papers made from now on, or let them carry none."""
    firm, me = current_organisation(), current_person()
    if "of" in request.form and one("of") != (firm.settings.get("logo") or ""):
        return firm_page(errors={"logo": OTHER_LOGO})
    if one("act") == "remove":
        store().organisations.change(firm.id, me.id, settings={"logo": None})
        return redirect(url_for(".page", said="no-logo"), 303)
    sent = request.files.getlist("logo")
    body = sent[0].read() if len(sent) == 1 else b""
    if not body:
        return firm_page(errors={"logo": "Logo: choose a PNG or JPEG picture first."})
    try:
        made = photo.logo(body)
    except photo.NotAPhoto as none:
        return firm_page(errors={"logo": f"Logo: expected {NOT_A_LOGO[none.code]}."})
    except photo.DarkroomFailed as failed:
        current_app.logger.error("no logo could be opened: %s", failed)
        later = "Logo: pictures cannot be looked at just now. Try again in a minute."
        return firm_page(errors={"logo": later})
    store().organisations.change(firm.id, me.id, logo=made)
    return redirect(url_for(".page", said="logo"), 303)


@blueprint.post("/seal")
@require("owner")
def seal() -> Any:
    """Make a new key for the seal, in place of the one that the page showed."""
    firm = current_organisation()
    if not firm.name.strip():
        return firm_page(errors={"name": "Name of the firm: the seal carries it. Save one first."})
    # A first key, or one where the private key stayed elsewhere, deletes nothing.
    if sealed.key_in_use(firm.id) is not None and one("sure") != "yes":
        return firm_page(errors={"sure": TICK})
    before = {held.fingerprint for held in store().seals.all_of(firm.id)}
    made = sealed.new_key(firm.id, current_person().id, one("seen") or None)
    said = "seal-other" if made.fingerprint in before else "seal"
    return redirect(url_for(".page", said=said), 303)


@blueprint.post("/seal/distrust")
@require("owner")
def distrust() -> Any:
    """Trust a retired key no longer."""
    try:
        store().seals.distrust(current_organisation().id, current_person().id, one("key"))
    except (archive.Invalid, archive.NotFound):
        abort(400)
    return redirect(url_for(".page", said="seal-distrusted"), 303)


@blueprint.get("/logo.jpg")
@require("owner")
def logo_file() -> Any:
    """Give the logo as papers carry it."""
    body = store().organisations.logo(current_organisation().id)
    if body is None:
        abort(404)
    return Response(body, content_type="image/jpeg")


def firm_page(
    form: Facts | None = None,
    errors: Mapping[str, str] | None = None,
    firm: archive.Organisation | None = None,
    later: Mapping[str, meanwhile.Later] | None = None,
) -> Any:
    """Return the page of the firm; with `errors`, by the names of boxes, what was typed stands in them.

    later  boxes whose settings somebody changed meanwhile: those not typed in show what stands now
    """
    firm = firm or current_organisation()
    afresh = {name for name, one in (later or {}).items() if not one.typed}
    stored = {name: str(firm.settings.get(name, "")) for name in kinds.LINES}
    mail = {f"mail_{name}": str(firm.settings.get("mail", {}).get(name, "")) for name in kinds.MAIL}
    # What was typed stands in the boxes again; a secret never does.
    boxes = {*stored, *mail, "test_to"} - afresh if errors else set()
    typed = {name: one(name) for name in request.form if name in boxes}
    chosen = (
        request.form.getlist("served")
        if "served" in request.form.getlist("section") and "served" not in afresh
        else served(firm.settings)
    )
    facts = form or Facts(data={name: getattr(firm, name) for name in FACTS})
    for name in afresh & set(FACTS):
        facts[name].data = getattr(firm, name)
    shown = render_template(
        "office/firm.html", facts=facts, seen=meanwhile.mark(firm),
        set=stored | mail | typed, usual=kinds.USUAL, errors=errors or {}, places=place_titles(),
        chosen=chosen, papers=kinds.PAPERS, security=kinds.SECURITY,
        secret_kept=firm.settings.get("mail", {}).get("password_kept"),
        logo=firm.settings.get("logo"), presets=by_section(usual.presets_of(own_presets())),
        own_presets=len(own_presets()), seals=store().seals.all_of(firm.id), sealing=kinds.SEALS,
        seal_works=sealed.key_in_use(firm.id) is not None, seal_means=MEANS, grouped=grouped,
        no_mail=no_mail(), kept_so=_kept_so(firm),
        said=SAID.get(request.args.get("said", "")), tested=store().mails.last_test(firm.id),
    )  # fmt: skip
    return shown, 400 if errors else 200


def _kept_so(firm: archive.Organisation) -> str:
    """What the years that are set mean for a paper of today."""
    years = years_of(firm.settings)
    first = kept_until(store().database.now(), "", years, firm_days.zone_of(firm.settings))
    return (
        f"As it is set now, {years}: a paper issued today, {shown_day(today())}, may be erased by this rule"
        f" on {shown_day(first)}, and not before."
    )
