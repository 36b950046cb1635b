"""A copy of a paper for a home buyer: the former owner's data left out, made when it is asked for."""

from __future__ import annotations

import hashlib

from flask import Blueprint, Response, abort, current_app

from heaterapp import archive
from heaterapp.archive.copies import Copy
from heaterapp.certificate import Filed, Redacted
from heaterapp.web.copy_states import told_apart
from heaterapp.web.days import day_there
from heaterapp.web.desk_block import desk_of
from heaterapp.web.one_record import open_record
from heaterapp.web.security import require, store

blueprint = Blueprint("redacted_copy", __name__, url_prefix="/office/records")
WHO = ("contact_name", "contact_phone", "contact_email", "present_owner", "present_owner_phone")
"""What the desk may know of owners: readable nowhere on a copy."""


@blueprint.get("/<number>/copy/<int:key>/redacted.pdf")
@require("office", "owner")
def paper(number: str, key: int) -> Response:
    """Give the copy that was noted in the log, as a file that nothing is attached to."""
    opened = open_record(number)
    copy = store().copies.given(opened.organisation, opened.id, key)
    if copy.told["what"] != "redacted":
        abort(404)
    answer = Response(_pressed(_redacted(opened, copy)), content_type="application/pdf")
    name = f"{opened.number}-copy-personal-data-left-out.pdf"
    answer.headers["Content-Disposition"] = f'attachment; filename="{name}"'
    return answer


def _redacted(opened: archive.Record, copy: Copy) -> Redacted:
    records, org = store().records, opened.organisation
    # The archival twin has the longer name.
    name = min((one for one in records.file_names(org, opened.id) if one.endswith(".pdf")), key=len)
    desk = desk_of(org, opened.job_id)
    standing = records.status(org, opened.id).state
    return Redacted(
        filed=Filed.of(opened),
        made_from=(name, hashlib.sha256(records.file(org, opened.id, name)).hexdigest()),
        made_on=day_there(copy.at),
        state="" if standing == "current" else " ".join(filter(None, told_apart(opened, copy))),
        standing=standing,
        names=tuple(str(desk.facts[name]) for name in WHO if desk and desk.facts.get(name)),
    )


def _pressed(copy: Redacted) -> bytes:
    chosen = current_app.config.get("RENDER_REDACTED")
    if chosen is None:
        from heaterapp.certificate import render_redacted as chosen
    return bytes(chosen(copy))
