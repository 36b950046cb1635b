"""One record made again while somebody waits: its report and its papers, held against the stored ones."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, render_template

from heaterapp import archive, recomputing
from heaterapp.web.security import current_person, require, store
from heaterapp.web.settings import renderer

blueprint = Blueprint("recompute", __name__, url_prefix="/office")


@blueprint.get("/records/<number>/recompute")
@require("office", "owner")
def page(number: str) -> Any:
    """Make the record again and show whether it comes out the same; nothing is changed."""
    org = current_person().organisation
    hit = store().records.hit(org, number)
    if not hit.finished:
        raise archive.NotFound("No record has this number.")
    found = recomputing.recompute(store(), org, hit.record, render=renderer())
    return render_template("office/recompute.html", hit=hit, found=found, words=recomputing.WORDS)
