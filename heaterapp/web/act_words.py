"""Each act of the log in plain words: what follows on the name of who did it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NamedTuple

from heaterapp.filling import usual
from heaterapp.filling.typed import read_one
from heaterapp.rules import CATALOGUE, BadAnswer
from heaterapp.web.act_bodies import Body, changes, count, named, printable, text, words
from heaterapp.web.desk_fields import EVERY
from heaterapp.web.firm_settings import LINES, PAPERS, SEALS, USUAL

VIEWS = {
    "paper": "The paper itself",
    "redacted": "The paper with personal data left out, for a home buyer",
    "insurer": "Summary for an insurer",
    "address": "Papers of this address, for a home buyer",
    "warranty": "Facts for a warranty claim",
}
GIVEN = {
    "paper": "a copy",
    "redacted": "a copy with personal data left out",
    "insurer": "an insurer's summary",
    "address": "the papers of the address",
    "warranty": "the facts for a warranty claim",
}
PEOPLE = {
    "added": "added a person",
    "password": "set a person's password",
    "signed_out": "signed a person's device out",
    "role": "changed a person's role",
    "closed": "closed a person's account",
    "opened": "opened a person's account again",
    "facts": "changed a person's name or license",
}
PASSKEYS = {"added": "added a passkey", "removed": "removed a passkey"}


class Act(NamedTuple):
    """`word` stands in the list to choose from; `said(body, number)` is the sentence without its subject."""

    word: str
    said: Callable[[Body, str], str]


def _why(body: Body, name: str = "reason") -> str:
    said = text(body, name).strip().rstrip(".")
    return f": {said}" if said else ""


def _corrected(body: Body, number: str) -> str:
    asked = (CATALOGUE[one].label for one in words(body, "questions") if one in CATALOGUE)
    return f"corrected {number} ({', '.join(asked)}) by {text(body, 'number', 'the next one')}{_why(body)}"


def _amended(body: Body, number: str) -> str:
    these = f"amendments {text(body, 'name').replace('_', ' ')}, version {text(body, 'version')}"
    return f"withdrew {these}" if body.get("withdrawn") else f"saved {these}"


def _rechecked(body: Body, number: str) -> str:
    state, total = body.get("state"), f"{count(body, 'total'):,}"
    if state == "started":
        return f"began a recheck of {total} certificates by the rules of that day"
    ended = "ended" if state == "finished" else "left"
    looked, otherwise = count(body, "looked"), count(body, "differing")
    return f"{ended} a recheck: {looked:,} of {total} looked at, {otherwise:,} otherwise"


def _swept(body: Body, number: str) -> str:
    what = "letters to" if body.get("form") == "letters" else "a list of"
    sought = {key: value for key, value in named(body, "sought").items() if isinstance(value, str)}
    # The serial of one heater stands apart and goes with its job; an empty one was not kept or is gone.
    ends = ("serial_from", "serial_to")
    sought |= {key: body[key] or "not kept" for key in ends if isinstance(body.get(key), str)}
    by = ", ".join(f"{key.replace('_', ' ')} {value}" for key, value in sorted(sought.items()))
    many = count(body, "count")
    return f"made {what} {many:,} address{'es' if many != 1 else ''} by {by}"


def _exported(body: Body, number: str) -> str:
    many = count(body, "count")
    if body.get("what") == "recheck":
        return f"took out the list of a recheck, {many:,} line{'s' if many != 1 else ''}"
    if body.get("what") == "month":
        listed = f", with {many:,} address{'es' if many != 1 else ''}" if many else ""
        return f"took out the figures of a month{listed}"
    return f"took out {many:,} records as an export"


ROLES = {"installer": "an installer", "office": "office staff", "owner": "an owner"}


def _invited(body: Body, number: str) -> str:
    what, role = body.get("what"), ROLES.get(text(body, "role"), "somebody")
    which = f"invitation {text(body, 'invite')}".rstrip()
    if what == "used":
        return f"took up {which} for {role}: from then on person {text(body, 'person')}"
    return f"took {which} for {role} back" if what == "revoked" else f"invited {role} ({which})"


LABELS = {
    "name": "name of the firm", "licence": "license", "phone": "phone", "address": "address", "logo": "logo",
    "mail": "mail", "places_served": "codes that installers may choose", "prefixes": "prefixes of numbers",
    "presets": "what As usual fills in",
}  # fmt: skip


def preset_words(name: str, value: str | None) -> str:
    """A preset as a person reads it; None is what the program fills in."""
    if value is None and name in usual.USUAL:
        value = usual.USUAL[name][0]
    return usual.words(name, value) if value else "asked"


def _preset_said(name: str, value: Any) -> str:
    """A preset of another day: what its question takes no more is told as it stands."""
    if value in (None, usual.NOT_FILLED):
        return preset_words(name, value)
    try:
        read = read_one(name, value) if isinstance(value, str) else None
    except BadAnswer:
        read = None
    return preset_words(name, read) if isinstance(read, str) else f'"{str(value)[:60]}"'


def _presets(body: Body) -> str:
    said = (
        f"{CATALOGUE[name].label} from {_preset_said(name, old)} to {_preset_said(name, new)}"
        for name, (old, new) in sorted(changes(body, "presets").items()) if name in CATALOGUE
    )  # fmt: skip
    return ", ".join(said)


def _value_said(key: str, value: Any) -> str:
    value = str(USUAL.get(key, "nothing") if value is None else value)
    return {**PAPERS, **SEALS}.get(value, value)


def _set(body: Body, number: str) -> str:
    values, presets = changes(body, "values"), _presets(body)
    said = []
    for key in words(body, "keys"):
        label = LABELS.get(key) or (LINES[key].label if key in LINES else key.replace("_", " "))
        if key in values:
            old, new = (_value_said(key, one) for one in values[key])
            label += f" from {old} to {new}"
        said.append(f"{label}: {presets}" if key == "presets" and presets else label)
    return "changed the firm's settings" + (f" ({'; '.join(said)})" if said else "")


def _key_said(body: Body) -> str:
    """A key by the beginning of its fingerprint, as the firm's page shows it."""
    said = text(body, "fingerprint")[:16]
    return " ".join(said[at : at + 4] for at in range(0, len(said), 4)) or "one"


VISITS = {
    "booked": "booked an inspection", "moved": "changed a booked inspection",
    "passed": "noted a passed inspection", "failed": "noted a failed inspection",
    "partly": "noted an inspection passed in part",
    "cancelled": "noted a cancelled inspection", "items": "kept what was mended after an inspection",
    "second_visit": "opened a job for the second visit", "taken_back": "took an inspection's result back",
}  # fmt: skip


MAILS = {
    "asked": "asked for {n} to be mailed{to}",
    "again": "asked for the mail with {n} to be sent again{to}",
    "withdrawn": "took back the mail with {n}",
    "translated": "put a translation of {n} into its mail{sum}",
    "untranslated": "let the mail with {n} go without its translation{why}",
    "sent": "handed the mail with {n} to the mail server",
    "given_up": "gave up sending the mail with {n}",
    "perhaps": "gave up sending the mail with {n}, which may have arrived",
}


UNTRANSLATED = {
    "press": ": it could not be made", "size": ": with it the mail was larger than mail servers take",
}  # fmt: skip


def _mailed(body: Body, number: str) -> str:
    to, digest = text(body, "to"), text(body, "sha256")
    said = MAILS.get(text(body, "what"), "did something with the mail of {n}")
    return said.format(
        n=number or "a paper", to=f" to {to}" if to else "", sum=f" (SHA-256 {digest})" if digest else "",
        why=UNTRANSLATED.get(text(body, "why"), ""),
    )  # fmt: skip


def _at_desk(body: Body, number: str) -> str:
    changed = words(body, "changed")
    if "opened" in changed:
        return "opened a job at the desk"
    return f"changed a job at the desk ({'; '.join(map(_asked, changed))}){_why(body)}"


def _asked(name: str) -> str:
    """What was changed, as the desk's form asks for it."""
    return (EVERY[name].label if name in EVERY else name.replace("_", " ")).removesuffix("?")


ACTS: dict[str, Act] = {
    "issue": Act("Issued", lambda b, n: f"issued {n}"),
    "finish": Act("Papers stored", lambda b, n: f"stored the papers of {n}"),
    "finish_failed": Act("Papers not made", lambda b, n: f"could not make the papers of {n}{_why(b, 'why')}"),
    "correct": Act("Corrected", _corrected),
    "correct_opened": Act(
        "Opened to correct", lambda b, n: f"opened the job of {n} again, to be signed anew{_why(b)}"
    ),
    "correct_taken_back": Act(
        "Opening taken back", lambda b, n: f"took back that the job of {n} was opened again: {n} stands"
    ),
    "void": Act("Made void", lambda b, n: f"declared {n} void{_why(b)}"),
    "copy": Act(
        "Copy given",
        lambda b, n: (
            f"gave {GIVEN.get(text(b, 'what'), 'a copy')} of {n} to {text(b, 'asked_by', 'somebody')}"
            + _why(b, "purpose")
        ),
    ),
    "share": Act("Link made", lambda b, n: f"made a homeowner's link to {n}"),
    "share_revoked": Act("Link closed", lambda b, n: f"closed a homeowner's link to {n}"),
    "share_led_on": Act("Link led on", lambda b, n: f"let a homeowner's link to {n} show a newer paper"),
    "mail": Act("Mail", _mailed),
    "hold": Act("Put on hold", lambda b, n: f"put the job of {n or 'an address'} on hold{_why(b)}"),
    "hold_lifted": Act(
        "Hold lifted", lambda b, n: f"lifted the hold on the job of {n or 'an address'}{_why(b)}"
    ),
    "erase": Act("Erased", lambda b, n: f"erased the content of {n}{_why(b)}"),
    "erase_job": Act("Job erased", lambda b, n: f"erased the whole job of {n or 'an address'}{_why(b)}"),
    "amend": Act("Amendments", _amended),
    "ruleset": Act("Rules kept", lambda b, n: f"kept the rules, version {text(b, 'version')}, for good"),
    "trust_rules": Act(
        "Rules trusted", lambda b, n: f"trusted the rules that were brought, version {text(b, 'version')}"
    ),
    "recheck": Act("Recheck", _rechecked),
    "sweep": Act("Sweep", _swept),
    "desk": Act("Desk", _at_desk),
    "inspection": Act(
        "Inspection", lambda b, n: VISITS.get(text(b, "what"), "changed an inspection") + _why(b)
    ),
    "export": Act("Export", _exported),
    "person": Act("People", lambda b, n: PEOPLE.get(text(b, "what"), "changed who may sign in")),
    "invite": Act("Invitation", _invited),
    "passkey": Act("Passkey", lambda b, n: PASSKEYS.get(text(b, "what"), "changed a passkey")),
    "settings": Act("Settings", _set),
    "seal": Act("Seal", lambda b, n: f"made a key for the seal, {_key_said(b)}"),
    "seal_retired": Act("Seal retired", lambda b, n: f"retired the seal's key {_key_said(b)}"),
    "seal_distrusted": Act(
        "Seal not trusted", lambda b, n: f"said that the seal's old key {_key_said(b)} is no longer trusted"
    ),
    "logo": Act("Logo", lambda b, n: "gave the papers a new logo"),
}


def told(act: str, body: Body, number: str) -> str:
    """Return what was done, in words that follow on a name; one that is not listed here by its own word."""
    known = ACTS.get(act)
    if known is None:
        about = f" for {number}" if number else ""
        return printable(f"did this: {act.replace('_', ' ')}{about}")
    return printable(known.said(body, number))
