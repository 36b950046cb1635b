"""Each act of the log in plain words: what follows on the name of who did it."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from typing import Any, NamedTuple

from heaterapp.archive import LogEntry
from heaterapp.filling import usual
from heaterapp.rules import CATALOGUE
from heaterapp.web.firm_settings import LINES, PAPERS, USUAL

Body = Mapping[str, Any]
VIEWS = {
    "paper": "The paper itself",
    "insurer": "Summary for an insurer",
    "address": "Papers of this address, for a home buyer",
    "warranty": "Facts for a warranty claim",
}
GIVEN = {
    "paper": "a copy",
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
    text = str(body.get(name) or "").strip().rstrip(".")
    return f": {text}" if text else ""


def _corrected(body: Body, number: str) -> str:
    asked = (CATALOGUE[one].label for one in body.get("questions", ()) if one in CATALOGUE)
    return f"corrected {number} ({', '.join(asked)}) by {body.get('number', 'the next one')}{_why(body)}"


def _amended(body: Body, number: str) -> str:
    named = f"amendments {str(body.get('name', '')).replace('_', ' ')}, version {body.get('version', '')}"
    return f"withdrew {named}" if body.get("withdrawn") else f"saved {named}"


def _rechecked(body: Body, number: str) -> str:
    state, looked = body.get("state"), f"{body.get('looked', 0):,} of {body.get('total', 0):,}"
    if state == "started":
        return f"began a recheck of {body.get('total', 0):,} certificates by the rules of that day"
    ended = "ended" if state == "finished" else "left"
    return f"{ended} a recheck: {looked} looked at, {body.get('differing', 0):,} otherwise"


def _swept(body: Body, number: str) -> str:
    what = "letters to" if body.get("form") == "letters" else "a list of"
    sought = body.get("sought")
    named = {k: v for k, v in sought.items() if isinstance(v, str)} if isinstance(sought, Mapping) else {}
    # The serial of one heater stands apart and goes with its job; an empty one was not kept or is gone.
    named |= {k: body[k] or "not kept" for k in ("serial_from", "serial_to") if isinstance(body.get(k), str)}
    by = ", ".join(f"{key.replace('_', ' ')} {value}" for key, value in sorted(named.items()))
    count = body.get("count", 0)
    return f"made {what} {count:,} address{'es' if count != 1 else ''} by {by}"


def _exported(body: Body, number: str) -> str:
    count = body.get("count", 0)
    if body.get("what") == "recheck":
        return f"took out the list of a recheck, {count:,} line{'s' if count != 1 else ''}"
    if body.get("what") == "month":
        return f"took out the figures of a month, with {count:,} address{'es' if count != 1 else ''}"
    return f"took out {count:,} records as an export"


ROLES = {"installer": "an installer", "office": "office staff", "owner": "an owner"}


def _invited(body: Body, number: str) -> str:
    what, role = body.get("what"), ROLES.get(str(body.get("role")), "somebody")
    which = f"invitation {body.get('invite', '')}".rstrip()
    if what == "used":
        return f"took up {which} for {role}: from then on person {body.get('person', '')}"
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


def _presets(body: Body) -> str:
    changed = body.get("presets") if isinstance(body.get("presets"), Mapping) else {}
    said = (
        f"{CATALOGUE[name].label} from {preset_words(name, old)} to {preset_words(name, new)}"
        for name, (old, new) in sorted(changed.items()) if name in CATALOGUE
    )  # fmt: skip
    return ", ".join(said)


def _set(body: Body, number: str) -> str:
    values = body.get("values") if isinstance(body.get("values"), Mapping) else {}
    named = []
    for key in body.get("keys", ()):
        label = LABELS.get(key) or (LINES[key].label if key in LINES else key.replace("_", " "))
        if key in values:
            old, new = (str(USUAL.get(key, "nothing") if one is None else one) for one in values[key])
            label += f" from {PAPERS.get(old, old)} to {PAPERS.get(new, new)}"
        named.append(label)
    presets = _presets(body)
    if presets:
        named[named.index(LABELS["presets"])] += f": {presets}"
    return "changed the firm's settings" + (f" ({'; '.join(named)})" if named else "")


VISITS = {
    "booked": "booked an inspection", "moved": "changed a booked inspection",
    "passed": "noted a passed inspection", "failed": "noted a failed inspection",
    "partly": "noted an inspection passed in part",
    "cancelled": "noted a cancelled inspection", "items": "kept what was mended after an inspection",
    "second_visit": "opened a job for the second visit", "taken_back": "took an inspection's result back",
}  # fmt: skip


def _at_desk(body: Body, number: str) -> str:
    if "opened" in body.get("changed", ()):
        return "opened a job at the desk"
    names = (str(name).replace("_", " ").removesuffix(" usd") for name in body.get("changed", ()))
    return f"changed a job at the desk ({', '.join(names)}){_why(body)}"


ACTS: dict[str, Act] = {
    "issue": Act("Issued", lambda b, n: f"issued {n}"),
    "finish": Act("Papers stored", lambda b, n: f"stored the papers of {n}"),
    "correct": Act("Corrected", _corrected),
    "correct_opened": Act(
        "Opened to correct", lambda b, n: f"opened the job of {n} again, to be signed anew{_why(b)}"
    ),
    "void": Act("Made void", lambda b, n: f"declared {n} void{_why(b)}"),
    "copy": Act(
        "Copy given",
        lambda b, n: (
            f"gave {GIVEN.get(b.get('what'), 'a copy')} of {n} to {b.get('asked_by') or 'somebody'}"
            + _why(b, "purpose")
        ),
    ),
    "share": Act("Link made", lambda b, n: f"made a homeowner's link to {n}"),
    "share_revoked": Act("Link closed", lambda b, n: f"closed a homeowner's link to {n}"),
    "hold": Act("Put on hold", lambda b, n: f"put the job of {n or 'an address'} on hold{_why(b)}"),
    "hold_lifted": Act(
        "Hold lifted", lambda b, n: f"lifted the hold on the job of {n or 'an address'}{_why(b)}"
    ),
    "erase": Act("Erased", lambda b, n: f"erased the content of {n}{_why(b)}"),
    "erase_job": Act("Job erased", lambda b, n: f"erased the whole job of {n or 'an address'}{_why(b)}"),
    "amend": Act("Amendments", _amended),
    "ruleset": Act("Rules kept", lambda b, n: f"kept the rules, version {b.get('version', '')}, for good"),
    "trust_rules": Act(
        "Rules trusted", lambda b, n: f"trusted the rules that were brought, version {b.get('version', '')}"
    ),
    "recheck": Act("Recheck", _rechecked),
    "sweep": Act("Sweep", _swept),
    "desk": Act("Desk", _at_desk),
    "inspection": Act(
        "Inspection", lambda b, n: VISITS.get(str(b.get("what")), "changed an inspection") + _why(b)
    ),
    "export": Act("Export", _exported),
    "person": Act("People", lambda b, n: PEOPLE.get(str(b.get("what")), "changed who may sign in")),
    "invite": Act("Invitation", _invited),
    "passkey": Act("Passkey", lambda b, n: PASSKEYS.get(str(b.get("what")), "changed a passkey")),
    "settings": Act("Settings", _set),
    "logo": Act("Logo", lambda b, n: "gave the papers a new logo"),
}


def body_of(entry: LogEntry) -> Body:
    """Return what an entry says, nothing where that cannot be read."""
    try:
        body = json.loads(entry.body)
    except ValueError:
        return {}
    return {**body, **entry.said} if isinstance(body, dict) else {}


def told(act: str, body: Body, number: str) -> str:
    """Return what was done, in words that follow on a name; one that is not listed here by its own word."""
    known = ACTS.get(act)
    if known is None:
        about = f" for {number}" if number else ""
        return f"did this: {act.replace('_', ' ')}{about}"
    return known.said(body, number)
