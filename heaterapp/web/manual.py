"""The rule manual, open to anyone: no one's data stands in it."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, abort, make_response, render_template

from heaterapp import manual
from heaterapp.manual.contents import sureness
from heaterapp.rules import RULESET, digest
from heaterapp.sheet.findings import short_name
from heaterapp.web.security import current_person, personal

blueprint = Blueprint("manual", __name__)
KEPT = "public, max-age=3600"


def _kept(page: str) -> Any:
    """The page, for anybody to keep; kept by nobody where it carries a person's name and form secret."""
    if current_person() is not None:
        return personal(page)
    answer = make_response(page)
    answer.headers["Cache-Control"] = KEPT
    return answer


@blueprint.get("/manual")
def index() -> Any:
    """Show every check by topic, and how sure each place's clauses are."""
    checks = [
        (words, [(one.name, short_name(one.name), one.title) for one in found])
        for _, words, found in manual.topics()
    ]
    count = sum(len(found) for _, found in checks)
    page = render_template(
        "manual/index.html", checks=checks, count=count, sureness=sureness(), ruleset=RULESET, digest=digest()
    )
    return _kept(page)


@blueprint.get("/manual/coverage")
def coverage() -> Any:
    """Show what published checklists ask, against what is asked, judged and printed here."""
    return _kept(render_template("manual/coverage.html", items=manual.items(), short_name=short_name))


@blueprint.get("/manual/<name>")
def check(name: str) -> Any:
    """Show one check: why, how it is worked out, its clauses side by side, its cases."""
    entry = manual.entries().get(name)
    if entry is None:
        abort(404)
    return _kept(render_template("manual/check.html", entry=entry, called=short_name(name)))
