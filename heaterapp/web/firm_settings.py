"""The firm's settings as the owner types them: each read, bounded and refused by name."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any, NamedTuple

from flask import request

from heaterapp import firm_days
from heaterapp.archive.checking import printable
from heaterapp.archive.desk_rows import LONGEST
from heaterapp.archive.retention import FEWEST_YEARS, MOST_YEARS, USUAL_YEARS
from heaterapp.archive.sessions import INSTALLER_DAYS, LASTS, OFFICE_HOURS
from heaterapp.homeowner.dialing import NUMBER_EXPECTED, numbers_in
from heaterapp.web.places import place_titles
from heaterapp.web.plain_forms import one

SECURITY = {
    "starttls": "STARTTLS (usual on port 587)",
    "tls": "TLS from the first byte (usual on port 465)",
    "none": "None (a mail server on this machine)",
}
SEALS = {"off": "As they are stored", "on": "With the firm's seal"}
LINK_DAYS = (1, 3650)
"""Fewest and most days that a homeowner's link opens, where it ends at all."""
PAPERS = {"letter": "US Letter", "a4": "A4"}
_HOST = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9.-]{0,251}[A-Za-z0-9])?")
_ADDRESS = re.compile(r"[^\s@<>,;:\"]{1,64}@[A-Za-z0-9](?:[A-Za-z0-9.-]{0,251}[A-Za-z0-9])?")


class Wrong(ValueError):
    """A value that is not taken; the text is what was expected."""


class Setting(NamedTuple):
    """One setting of a line: its words, and what makes the stored value of what was typed."""

    label: str
    read: Callable[[str], Any]


def _whole(least: int, most: int, unit: str) -> Callable[[str], int]:
    def read(text: str) -> int:
        if not (text.isascii() and text.isdecimal() and len(text) < 6 and least <= int(text) <= most):
            raise Wrong(f"a whole number of {unit} from {least} to {most}")
        return int(text)

    return read


def _zone(text: str) -> str:
    if not firm_days.is_zone(text):
        raise Wrong("the name of a time zone, such as America/Los_Angeles")
    return text


def _listed(choices: Mapping[str, str]) -> Callable[[str], str]:
    def read(text: str) -> str:
        if text not in choices:
            raise Wrong("one of the list")
        return text

    return read


def _line(text: str) -> str:
    if len(text) > 100 or not printable(text):
        raise Wrong("one line of at most 100 plain characters")
    return text


def _called(text: str) -> str:
    """A line that people call by in an emergency: a tap on it has to reach a phone."""
    line = _line(text)
    if not numbers_in(line):
        raise Wrong(NUMBER_EXPECTED)
    return line


def _fact(name: str) -> Callable[[str], str]:
    """A fact that the desk keeps of each job, as long as it may be there."""

    def read(text: str) -> str:
        if len(text) > LONGEST[name] or not printable(text):
            raise Wrong(f"one line of at most {LONGEST[name]} plain characters")
        return text

    return read


def _matching(pattern: re.Pattern[str], expected: str) -> Callable[[str], str]:
    def read(text: str) -> str:
        if not pattern.fullmatch(text):
            raise Wrong(expected)
        return text

    return read


LINES = {
    "gas_emergency_phone": Setting("Gas company's emergency phone", _called),
    "contractor_class": Setting("License class", _fact("contractor_class")),
    "workers_compensation": Setting("Workers' compensation", _fact("workers_compensation")),
    "place": Setting("Codes that new jobs start with", lambda text: _listed(place_titles())(text)),
    "paper": Setting("Paper size", _listed(PAPERS)),
    "seal": Setting("Seal papers that are handed out", _listed(SEALS)),
    "time_zone": Setting("Time zone", _zone),
    "retention_years": Setting("Years that papers are kept", _whole(FEWEST_YEARS, MOST_YEARS, "years")),
    firm_days.LINK_DAYS: Setting("Days that a homeowner's link opens", _whole(*LINK_DAYS, "days")),
    OFFICE_HOURS: Setting(
        "Hours that the office stays signed in", _whole(1, LASTS[OFFICE_HOURS][1], "hours")
    ),
    INSTALLER_DAYS: Setting(
        "Days that installers stay signed in", _whole(1, LASTS[INSTALLER_DAYS][1], "days")
    ),
}
OF_EACH_JOB = ("contractor_class", "workers_compensation")
"""What each new job's permit facts begin with."""
USUAL = {
    "paper": "letter", "seal": "off", "time_zone": "UTC", "retention_years": USUAL_YEARS,
    OFFICE_HOURS: LASTS[OFFICE_HOURS][0], INSTALLER_DAYS: LASTS[INSTALLER_DAYS][0],
}  # fmt: skip
"""What holds where the firm has said nothing."""
MAY_BE_EMPTY = ("gas_emergency_phone", *OF_EACH_JOB, "place", firm_days.LINK_DAYS, *USUAL)
MAIL = {
    "host": Setting("Mail server", _matching(_HOST, "a host name, such as mail.example.com")),
    "port": Setting("Port", _whole(1, 65535, "ports")),
    "security": Setting("Security", _listed(SECURITY)),
    "user": Setting("User", _line),
    "sender": Setting("Sender", _matching(_ADDRESS, "an address, such as papers@example.com")),
    "reply_to": Setting("Answers go to", _matching(_ADDRESS, "an address, such as office@example.com")),
}
MAIL_NEEDED = ("host", "port", "security", "sender")
LONGEST_SECRET = 256


def read_lines() -> tuple[dict[str, Any], dict[str, str]]:
    """Read the settings of a line that this request carries.

    returns  what to keep, None for what goes back to the usual; and what is wrong, by name
    """
    kept: dict[str, Any] = {}
    errors: dict[str, str] = {}
    for name in (name for name in LINES if name in request.form):
        text = one(name).strip()
        try:
            kept[name] = LINES[name].read(text) if text else None
        except Wrong as wrong:
            errors[name] = f"{LINES[name].label}: {wrong}."
    return kept, errors


def read_served() -> tuple[list[str] | None, dict[str, str]]:
    """Read which codes installers may choose; None stands for all of them."""
    known, chosen = place_titles(), request.form.getlist("served")
    if set(chosen) - set(known) or len(chosen) != len(set(chosen)):
        return None, {"served": "Codes that installers may choose: choose from the list."}
    if not chosen:
        return None, {"served": "Codes that installers may choose: choose at least one."}
    return (None if len(chosen) == len(known) else [name for name in known if name in chosen]), {}


def read_mail(stored: Mapping[str, Any]) -> tuple[dict[str, Any] | None, dict[str, str]]:
    """Read the mail settings; None where all is left empty, which is: no mail.

    stored   what stands now, without the password
    """
    typed = {name: one(f"mail_{name}").strip() for name in MAIL}
    secret, forget = one("mail_password"), one("mail_forget") == "yes"
    if not any(text for name, text in typed.items() if name not in ("security", "port")) and not secret:
        return None, {}
    kept: dict[str, Any] = {}
    errors: dict[str, str] = {}
    for name, text in typed.items():
        label = MAIL[name].label
        try:
            if text:
                kept[name] = MAIL[name].read(text)
            elif name in MAIL_NEEDED:
                raise Wrong("something must stand here to send mail")
        except Wrong as wrong:
            errors[f"mail_{name}"] = f"{label}: {wrong}."
    if len(secret) > LONGEST_SECRET or "\0" in secret or "\n" in secret or "\r" in secret:
        errors["mail_password"] = f"Password: one line of at most {LONGEST_SECRET} characters."
    if secret or forget:
        kept["password"] = secret or None
    if (secret or (stored.get("password_kept") and not forget)) and "user" not in kept:
        errors.setdefault("mail_user", "User: the name that goes with the password.")
    return kept, errors
