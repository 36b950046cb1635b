"""The owner's page of the backups: which there are, whether they are late, and one now."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

from flask import Blueprint, abort, current_app, redirect, render_template, request, url_for

from heaterapp import backing_up
from heaterapp.archive.backups import listed
from heaterapp.web.days import shown_moment
from heaterapp.web.security import require, store

blueprint = Blueprint("backups", __name__, url_prefix="/office/backups")
SHOWN = 50
SAID = {
    "begun": "Begun. This page tells how it went when you open it again.",
    "busy": "One is being made already, so no second one was begun.",
}


@blueprint.app_context_processor
def late() -> dict[str, Any]:
    """Let a page of the office say in one line that backups are late; asked only where it is shown."""
    return {"backups_late": lambda: backing_up.warning(store(), current_app.config)}


@blueprint.get("")
@require("owner")
def page() -> Any:
    """Show what backups there are, when the next is due, and what went wrong last."""
    plan = backing_up.wanted(current_app.config)
    standing = store().backups.timetable.standing()
    found = listed(plan.folder) if plan else []
    good = standing.good.said.split(" ") if standing.good else []
    name, size, machine = good if len(good) == 3 else ("", "", "")
    return render_template(
        "office/backups.html",
        plan=plan,
        standing=standing,
        due=_due(standing, plan),
        warning=backing_up.warning(store(), current_app.config),
        size=_size(int(size)) if size.isdecimal() else "",
        machine=machine,
        elsewhere=bool(plan and name and all(one.path.name != name for one in found)),
        found=[(one, _size(one.size)) for one in found[:SHOWN]],
        more=len(found) - SHOWN,
        said=SAID.get(request.args.get("said", "")),
    )


@blueprint.post("")
@require("owner")
def make() -> Any:
    """Begin a backup now, unless one is being made."""
    plan = backing_up.wanted(current_app.config)
    if plan is None:
        abort(404)
    begun = backing_up.start_now(store(), plan)
    return redirect(url_for(".page", said="begun" if begun else "busy"), 303)


def _due(standing: Any, plan: backing_up.Wanted | None) -> str:
    if plan is None:
        return ""
    due, now = standing.next_due(plan.hours), datetime.now(UTC)
    if due is None or due <= now + timedelta(minutes=1):
        return "within a minute, while the program is served"
    return shown_moment(due.strftime("%Y-%m-%dT%H:%M:%SZ"))


def _size(count: int) -> str:
    """Write a size as people say it.

    >>> _size(749568), _size(52_428_800), _size(3_210_000_000)
    ('750 kB', '52.4 MB', '3.2 GB')
    """
    if count < 1_000_000:
        return f"{max(count / 1e3, 1):.0f} kB"
    return f"{count / 1e6:.1f} MB" if count < 1_000_000_000 else f"{count / 1e9:.1f} GB"
