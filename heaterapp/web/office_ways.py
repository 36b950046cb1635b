"""The office's own row of ways: which of its pages a person may open, in the order of the day's work."""

from __future__ import annotations

from typing import NamedTuple

from flask import current_app, request, url_for

from heaterapp.archive.shapes import Person
from heaterapp.web import mail_block


class Way(NamedTuple):
    words: str
    address: str
    here: bool
    late: str = ""
    """What somebody should look at behind it, in a few words."""


BOTH, OWNER = ("office", "owner"), ("owner",)
PAGES = (
    ("Records", "office.records", BOTH),
    ("Desk", "desk.board", BOTH),
    ("Month", "month.page", BOTH),
    ("Mail", "mails.listed", BOTH),
    ("Sweep", "sweep.page", BOTH),
    ("Recheck", "recheck.page", BOTH),
    ("Log", "acts.page", BOTH),
    ("Exports", "exports.page", BOTH),
    ("Codes", "own_codes.listed", BOTH),
    ("Firm", "firm.page", OWNER),
    ("People", "people.page", OWNER),
    ("Backups", "backups.page", OWNER),
)


def ways(person: Person | None) -> list[Way]:
    """Return the ways of the office for this person, none off its pages."""
    path = request.path
    if person is None or not path.startswith("/office"):
        return []
    open_to = [
        (words, url_for(endpoint))
        for words, endpoint, roles in PAGES
        if person.role in roles and endpoint in current_app.view_functions
    ]
    longest = max((to for _, to in open_to if path == to or path.startswith(f"{to}/")), key=len, default="")
    failed = mail_block.given_up()
    late = {"Mail": f"{failed} to look at"} if failed else {}
    return [Way(words, to, to == longest, late.get(words, "")) for words, to in open_to]
