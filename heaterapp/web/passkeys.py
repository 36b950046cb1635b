"""Passkeys: kept on a person's own page, answered at the sign-in. JSON both ways, asked by static/passkey.js.

A challenge is bound to the visitor by the signed cookie that carries it, to what it is for and, where one is
kept, to the person; it counts for five minutes and is spent in the archive with its first answer.
"""

from __future__ import annotations

import secrets
from typing import Any

from flask import Blueprint, Response, abort, current_app, jsonify, redirect, request, session, url_for

from heaterapp import archive
from heaterapp.archive import Person
from heaterapp.archive.passkeys import CHALLENGE_LASTS
from heaterapp.languages import say
from heaterapp.web import strict_json
from heaterapp.web.devices import device_words
from heaterapp.web.errors import waiting
from heaterapp.web.passkey_address import asked
from heaterapp.web.security import (
    begin,
    current_organisation,
    current_person,
    just_signed_in,
    own_path,
    personal,
    require,
    store,
)
from heaterapp.web.sign_in import FIRST_PAGE

blueprint = Blueprint("passkeys", __name__)
HELD = "passkey_challenge"
CHALLENGE_BYTES = 32
KEEP, SIGN_IN = "keep", "sign_in"
NOT_TAKEN = "That passkey was not accepted. Try again, or sign in with your password."
ASK_PRESENT = "Present password: type the one you sign in with now, then add the passkey."
NOT_PRESENT = "Present password: that is not it. Type the one you sign in with now."
NOT_KEPT = "The passkey was not kept. Try again."


@blueprint.post("/account/passkeys/options")
@require()
def options_to_keep() -> Any:
    """Give the browser what it needs to make a passkey, to who has just proved who it is."""
    from webauthn import generate_registration_options, options_to_json
    from webauthn.helpers import base64url_to_bytes
    from webauthn.helpers.structs import (
        AuthenticatorSelectionCriteria,
        PublicKeyCredentialDescriptor,
        ResidentKeyRequirement,
        UserVerificationRequirement,
    )

    me, firm = current_person(), current_organisation()
    unproved = _unproved(me)
    if unproved is not None:
        return unproved
    known = [one.credential for one in store().passkeys.all_for(me.organisation, me.id)]
    made = generate_registration_options(
        rp_id=asked().place, rp_name=firm.name or "Water heater records", user_name=me.login,
        user_display_name=me.name, user_id=_handle(me), challenge=_challenge(KEEP, me.id),
        authenticator_selection=AuthenticatorSelectionCriteria(
            resident_key=ResidentKeyRequirement.REQUIRED,
            user_verification=UserVerificationRequirement.REQUIRED,
        ),
        exclude_credentials=[PublicKeyCredentialDescriptor(base64url_to_bytes(one)) for one in known],
    )  # fmt: skip
    return _json(options_to_json(made))


@blueprint.post("/account/passkeys")
@require()
def keep() -> Any:
    """Keep a passkey that was made for this person just now."""
    from webauthn import verify_registration_response
    from webauthn.helpers import bytes_to_base64url

    me, (place, origin) = current_person(), asked()
    given, challenge = _given(), _taken(KEEP, me.id)
    if given is None or challenge is None:
        return _refused(NOT_KEPT, 400)
    try:
        made = verify_registration_response(
            credential=given, expected_challenge=challenge, expected_rp_id=place, expected_origin=origin,
            require_user_verification=True,
        )  # fmt: skip
    except Exception as wrong:  # whatever the reader of a hostile answer raises
        current_app.logger.info("a passkey was not kept: %s", type(wrong).__name__)
        return _refused(NOT_KEPT, 400)
    try:
        store().passkeys.add(
            me.organisation, me.id, bytes_to_base64url(made.credential_id), made.credential_public_key,
            made.sign_count, device_words(request.user_agent.string),
        )  # fmt: skip
    except archive.Invalid as refused:
        return _refused(f"The passkey was not kept: expected {refused.expected}.", 400)
    return {"to": url_for("account.page", said="passkey")}


@blueprint.post("/account/passkeys/<int:number>/remove")
@require()
def remove(number: int) -> Any:
    """Remove one of one's own passkeys."""
    me = current_person()
    store().passkeys.remove(me.organisation, me.id, number, me.id)
    return redirect(url_for("account.page", said="removed"), 303)


@blueprint.post("/sign-in/passkey/options")
def options_to_sign_in() -> Any:
    """Give the browser what it needs to ask for any passkey of this site."""
    from webauthn import generate_authentication_options, options_to_json
    from webauthn.helpers.structs import UserVerificationRequirement

    made = generate_authentication_options(
        rp_id=asked().place, challenge=_challenge(SIGN_IN, 0),
        user_verification=UserVerificationRequirement.REQUIRED,
    )  # fmt: skip
    return _json(options_to_json(made))


@blueprint.post("/sign-in/passkey")
def sign_in() -> Any:
    """Start a session for whose passkey answered; every refusal reads the same."""
    given, challenge = _given(), _taken(SIGN_IN, 0)
    credential = str((given or {}).get("id", ""))[:1400]
    whole = store().organisations.default().id
    tries = [("passkey", request.remote_addr or ""), ("credential", credential)]
    store().throttle.attempt(whole, tries)
    person = _person_of(given, challenge) if given and challenge else None
    if person is None:
        return _refused(NOT_TAKEN, 401)
    try:
        begin(person)
    except (archive.WrongPassword, archive.NotFound):
        # Closed, or given another password, while the passkey was looked at.
        return _refused(NOT_TAKEN, 401)
    store().throttle.succeeded(whole, tries)
    return {"to": own_path(request.args.get("next"), FIRST_PAGE[person.role])}


def _person_of(given: dict[str, Any], challenge: bytes) -> Person | None:
    from webauthn import verify_authentication_response
    from webauthn.helpers import base64url_to_bytes

    place, origin = asked()
    found = store().passkeys.by_credential(str(given.get("id", "")))
    if found is None:
        return None
    key, person = found
    try:
        answered = verify_authentication_response(
            credential=given, expected_challenge=challenge, expected_rp_id=place, expected_origin=origin,
            credential_public_key=key.public_key, credential_current_sign_count=key.sign_count,
            require_user_verification=True,
        )  # fmt: skip
        claimed = given["response"].get("userHandle")
        same = not claimed or base64url_to_bytes(claimed) == _handle(person)
    except Exception as wrong:  # whatever the reader of a hostile answer raises
        current_app.logger.info("a passkey was not accepted: %s", type(wrong).__name__)
        return None
    count = answered.new_sign_count
    return person if same and store().passkeys.used(key.organisation, key.id, key.sign_count, count) else None


def _unproved(me: Person) -> Any | None:
    """The refusal for who signed in a while ago and does not give the password; None for everybody else."""
    if just_signed_in():
        return None
    given = _given() or {}
    word = given.get("present")
    if not isinstance(word, str) or not word:
        return _refused(ASK_PRESENT, 403)
    try:
        right = store().people.knows_password(me.organisation, me.id, word, request.remote_addr or "")
    except archive.TooManyTries as stopped:
        answer = _refused(f"Too many tries. Wait {waiting(stopped.wait_s)}, then try again.", 429)
        answer.headers["Retry-After"] = str(stopped.wait_s)
        return answer
    return None if right else _refused(NOT_PRESENT, 403)


def _handle(person: Person) -> bytes:
    return f"{person.organisation}.{person.id}".encode()


def _challenge(purpose: str, person: int) -> bytes:
    fresh = secrets.token_bytes(CHALLENGE_BYTES)
    until = int((store().database.moment() + CHALLENGE_LASTS).timestamp())
    session[HELD] = {"challenge": fresh.hex(), "for": purpose, "person": person, "until": until}
    return fresh


def _taken(purpose: str, person: int) -> bytes | None:
    """The challenge this visitor was given for this, if it still counts; it never does again."""
    held = session.pop(HELD, None)
    if not held or (held["for"], held["person"]) != (purpose, person):
        return None
    if int(store().database.moment().timestamp()) > held["until"]:
        return None
    challenge = bytes.fromhex(held["challenge"])
    # The cookie may have been copied: the archive alone knows that it was answered.
    return challenge if store().passkeys.spend(store().organisations.default().id, challenge) else None


def _given() -> dict[str, Any] | None:
    if not request.is_json:
        abort(400)
    try:
        sent = strict_json.read(request.get_data())
    except strict_json.NotJson:
        return None
    return sent if isinstance(sent, dict) else None


def _json(text: str) -> Response:
    return personal(Response(text, mimetype="application/json"))


def _refused(says: str, status: int) -> Response:
    answer = personal(jsonify(error=say(says)))
    answer.status_code = status
    return answer
