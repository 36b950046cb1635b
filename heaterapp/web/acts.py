"""The log as a page: every act with who and when, newest first."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, render_template, request

from heaterapp.web.act_words import ACTS
from heaterapp.web.one_record import acts, names_of_people, numbered
from heaterapp.web.security import current_person, require, store

blueprint = Blueprint("acts", __name__, url_prefix="/office/log")
PER_PAGE = 50
LONGEST_KEY = 10


@blueprint.get("")
@require("office", "owner")
def page() -> Any:
    """Show the acts that match, fifty a page; `after` is the last one of the page before."""
    asked, org = request.args, current_person().organisation
    people = names_of_people()
    act = asked.get("act") if asked.get("act") in ACTS else None
    who = next((one for one in people if str(one) == asked.get("who")), None)
    number, after = asked.get("number", "").strip()[:40], _key(asked.get("after", ""))
    errors: dict[str, str] = {}
    records = None
    if number:
        found = numbered(number)
        records = [found.record] if found else []
        if found is None:
            errors["number"] = "Number: no paper of this firm has it. Type it as printed, such as C-000123."
    entries = store().log.newest(org, before=after, act=act, actor=who, records=records, limit=PER_PAGE + 1)
    following = entries[PER_PAGE - 1].seq if len(entries) > PER_PAGE else None
    return render_template(
        "office/log.html", acts=acts(entries[:PER_PAGE], people), following=following, after=after,
        act=act, who=who, number=number, people={str(k): v for k, v in people.items()},
        kinds={name: one.word for name, one in ACTS.items()}, errors=errors,
    )  # fmt: skip


def _key(text: str) -> int | None:
    known = len(text) < LONGEST_KEY and text.isascii() and text.isdecimal() and int(text) > 0
    return int(text) if known else None
