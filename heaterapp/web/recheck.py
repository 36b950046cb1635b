"""Recheck: which current certificates today's rules would judge otherwise; begun, watched and read here."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from typing import Any

from flask import Blueprint, Response, abort, current_app, redirect, render_template, request, url_for

from heaterapp import archive, recheck_beside, rechecking, rules
from heaterapp.archive import Wanted
from heaterapp.archive.rechecks import Recheck, RecheckOpen
from heaterapp.recheck_words import change_words, question_words, verdict_words
from heaterapp.sheet_rows import written
from heaterapp.web.security import current_organisation, current_person, require, store

blueprint = Blueprint("recheck", __name__, url_prefix="/office/recheck")
AGAIN_S = 5
LATELY_S = 30
"""A batch takes some 0.2 s: a run that did not move for this long is not worked at."""
PER_PAGE = 50
LONGEST_MARK = 200
HEADS = (
    "Number", "Issued", "Address", "Change", "Check", "Then", "Today", "Today's sentence", "Book", "Section",
)  # fmt: skip
NOTICES = {
    "running": "A recheck is under way already.",
    "other": "That recheck was begun under other rules. Begin a new one.",
    "none": "There is no recheck to go on with.",
}


@blueprint.get("")
@require("office", "owner")
def page() -> Any:
    """Show the newest recheck, or the one that is asked for: how far it came and what it found."""
    org = current_person().organisation
    runs = store().rechecks.newest(org)
    asked = request.args.get("run", "")
    if asked:
        if not asked.isascii() or not asked.isdecimal() or len(asked) > 12:
            abort(404)
        run = store().rechecks.get(org, int(asked))
    else:
        run = runs[0] if runs else None
    working = run is not None and run.finished_at is None and _moves(run)
    counts = store().rechecks.counts(org, run.id) if run else {}
    answer = Response(
        render_template(
            "office/recheck.html", run=run, runs=runs, working=working, groups=_groups(counts),
            notice=NOTICES.get(request.args.get("said", "")), today=rules.digest(), version=rules.RULESET,
            again_s=AGAIN_S,
        )
    )  # fmt: skip
    if working:
        # As a head of the answer it works without a script.
        answer.headers["Refresh"] = str(AGAIN_S)
    return answer


@blueprint.post("")
@require("office", "owner")
def begin() -> Any:
    """Begin a recheck, or go on with the one that was broken off, in a process beside this server."""
    person, firm = current_person(), current_organisation()
    said = request.form.getlist("act")
    if said not in (["begin"], ["go_on"]):
        abort(400)
    notice = None
    if said == ["begin"]:
        try:
            rechecking.begin(store(), firm.id, person.id)
        except RecheckOpen:
            notice = "running"
    else:
        run = store().rechecks.unfinished(firm.id)
        notice = "none" if run is None else "other" if run.ruleset_digest != rules.digest() else None
        if run is not None and notice is None and _moves(run, begun=False):
            notice = "running"
    if notice is None:
        recheck_beside.start(store(), firm.id, firm.slug, current_app.config["DATA_DIR"])
    return redirect(url_for("recheck.page", said=notice), 303)


@blueprint.get("/<int:run>/change")
@require("office", "owner")
def change(run: int) -> Any:
    """List the certificates of a run that have one change."""
    org, mark = current_person().organisation, request.args.get("mark", "")[:LONGEST_MARK]
    known = store().rechecks.get(org, run)
    if not mark:
        return redirect(url_for("recheck.page", run=run))
    count = store().rechecks.counts(org, run).get(mark)
    if count is None:
        raise archive.NotFound("No such change.")
    typed = request.args.get("after", "")
    after = int(typed) if typed.isascii() and typed.isdecimal() and len(typed) < 12 else 0
    found = store().rechecks.turned(org, run, mark, (after, mark), PER_PAGE + 1)
    return render_template(
        "office/recheck_change.html", run=known, mark=mark, words=change_words(mark), count=count,
        after=after, found=found[:PER_PAGE],
        following=found[PER_PAGE - 1].record if len(found) > PER_PAGE else None,
        told=[_told(one.change, one.what) for one in found[:PER_PAGE]],
    )  # fmt: skip


@blueprint.get("/<int:run>/list.csv")
@require("office", "owner")
def listed(run: int) -> Any:
    """Give every change of a run as a file for a spreadsheet."""
    org = current_person().organisation
    known = store().rechecks.get(org, run)
    count = sum(store().rechecks.counts(org, known.id).values())
    store().exports.note(org, current_person().id, "recheck", Wanted(), count)
    answer = Response(written(HEADS, _rows(store(), org, known.id)), content_type="text/csv; charset=utf-8")
    answer.headers["Content-Disposition"] = f'attachment; filename="recheck-{known.started_at[:10]}.csv"'
    return answer


def _moves(run: Recheck, begun: bool = True) -> bool:
    """Whether somebody works at it now: a process of this server, or one elsewhere that moved it lately.

    begun   whether its beginning counts as a move
    """
    if recheck_beside.is_running(store(), run.organisation):
        return True
    last = datetime.fromisoformat(run.moved_at)
    lately = store().database.moment() - last < timedelta(seconds=LATELY_S)
    return lately and (begun or run.looked > 0)


def _rows(archived: Any, org: int, run: int) -> Iterator[list[str]]:
    after = (0, "")
    while found := archived.rechecks.turned(org, run, after=after, limit=500):
        for one in found:
            what = one.what
            then, now = (verdict_words(what[end]) if what.get(end) else "" for end in ("before", "now"))
            check = (
                what.get("check") or question_words(what["key"]) if "key" in what or "check" in what else ""
            )
            if one.change.startswith("outcome:"):
                then = now = ""
            yield [
                one.number, one.issued_at[:10], one.address, change_words(one.change), check, then, now,
                _told(one.change, what), what.get("book", ""), what.get("section", ""),
            ]  # fmt: skip
        after = (found[-1].record, found[-1].change)


def _told(mark: str, what: Any) -> str:
    """The sentence beside a change: what today's rules say, or what they expected."""
    if "expected" in what:
        return f"Today expected: {what['expected']}"
    return str(what.get("why") or what.get("says") or "")


def _groups(counts: dict[str, int]) -> list[tuple[str, list[tuple[str, str, int]]]]:
    """What changed, grouped: title and (mark, words, how many), the most first."""
    titles = {
        "outcome": "Another outcome", "changed": "Another verdict", "new": "Asked today, not then",
        "gone": "Asked then, not today", "refused": "Cannot be read by today's rules",
        "broken": "Could not be judged",
    }  # fmt: skip
    grouped: dict[str, list[tuple[str, str, int]]] = {kind: [] for kind in titles}
    for mark, count in counts.items():
        words = change_words(mark)
        kind = mark.partition(":")[0]
        if kind in ("outcome", "refused"):
            words = words.partition(": ")[2]
        grouped[kind].append((mark, words[:1].upper() + words[1:], count))
    return [(titles[kind], found) for kind, found in grouped.items() if found]
