"""Correcting a record: what is wrong is typed over, shown old beside new, and made the next revision."""

from __future__ import annotations

import json
import re
import secrets
from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from typing import Any

from flask import Blueprint, abort, redirect, render_template, request, url_for
from werkzeug.datastructures import MultiDict

from heaterapp import archive, releases, rules
from heaterapp.correcting import NeedsSignature, checked, emptied, signer_of, slip
from heaterapp.filling.together import kept_apart
from heaterapp.filling.typed import asks, boxes, read_one
from heaterapp.filling.typed import shown as boxed
from heaterapp.forms import SectionForm, section_form
from heaterapp.rules import CATALOGUE, SECTIONS
from heaterapp.web.correct_form import laid_out
from heaterapp.web.days import latest_today, shown_day
from heaterapp.web.history import reason_of
from heaterapp.web.one_record import open_record, present_of
from heaterapp.web.recorded import shown
from heaterapp.web.security import current_person, require, store
from heaterapp.web.unmade import made, numbered

blueprint = Blueprint("correcting", __name__, url_prefix="/office/records")
KEY = re.compile(r"correct-[0-9a-f]{32}")
NEVER_RELEASED = "The rules kept beside this paper were never released, so they do not judge again."
LONGEST_SHOWN = 1000
NOTHING = "Nothing is changed yet: type over what is wrong, then look at the changes."
LOOK_AGAIN = "Nothing was done yet: what stands below is not what you had looked at. Look at it again."


@blueprint.get("/<number>/correct")
@require("office", "owner")
def ask(number: str) -> Any:
    """Show what the record says, to be typed over."""
    opened = open_record(number)
    return _page(opened, {}, []), 409 if _overtaken(opened) else 200


@blueprint.post("/<number>/correct")
@require("office", "owner")
def correct(number: str) -> Any:
    """Show the changes old beside new, or make them."""
    opened = open_record(number)
    return _make(opened) if request.form.get("act") == "make" else _look(opened)


def _look(opened: archive.Record, looked_at: str | None = None) -> Any:
    """Show the changes of the form old beside new; nothing where they are those that were looked at."""
    answers, forms = _answers(opened), _forms(opened, request.form)
    # A reason is read when the changes are made; until then it stands as it was typed.
    reason = request.form.get("reason", "")[:LONGEST_SHOWN]
    faults = {name: said for form in forms.values() for name, said in form.faults().items()}
    changes, refused = kept_apart(answers, _changed(answers, forms))
    faults |= refused
    faults |= _not_done_yet(changes) | emptied(answers, changes)
    for name, said in faults.items():
        forms[CATALOGUE[name].section][name].process_errors = [said]
    if faults:
        errors = {f"q-{name}": f"{CATALOGUE[name].label}: expected {said}" for name, said in faults.items()}
        return _page(opened, {}, [], forms, errors, reason), 422
    if looked_at is not None and _carried(changes) == looked_at:
        return None
    if not changes:
        return _page(opened, {}, [NOTHING], forms, reason=reason), 422
    if looked_at is not None:
        return _page(opened, changes, [LOOK_AGAIN], forms, reason=reason), 409
    return _page(opened, changes, [], forms, reason=reason), 409 if _overtaken(opened) else 200


def _make(opened: archive.Record) -> Any:
    """Make the changes of the form: the next revision, or the job opened again."""
    person = current_person()
    if any(field.present for form in _forms(opened, request.form).values() for field in form):
        # Typed after the changes were looked at, it would be issued unseen, or be lost.
        other = _look(opened, request.form.get("changes", ""))
        if other is not None:
            return other
    try:
        changes = _sent_changes(opened)
    except rules.BadAnswer as bad:
        label = CATALOGUE[bad.key].label if bad.key in CATALOGUE else bad.key[:60]
        return _page(opened, {}, [f"{label}: expected {bad.said}. Nothing was changed."]), 400
    reason, errors = reason_of(request.form.getlist("reason"))
    key = request.form.get("key", "")
    if not KEY.fullmatch(key) or not changes:
        abort(400)
    known = store().records.by_key(opened.organisation, key)
    if known is not None:
        return _to_record(replace(known, finished=made(known.record)))
    forms = _forms(opened, MultiDict(_typed(opened, changes)))
    if errors:
        return _page(opened, changes, [], forms, errors, reason, key), 422
    try:
        wish = _slip(opened, changes, reason, key)
        if isinstance(wish, str):
            store().corrections.open_again(
                opened.organisation, opened.id, person.id, _with_usual(opened, changes),
                {name: json.loads(opened.job).get(name) for name in _with_usual(opened, changes)},
                reason, key, _signer(opened, changes),
            )  # fmt: skip
            return redirect(url_for("office.record", number=opened.number), 303)
        return _to_record(numbered(wish))
    except archive.NotCurrent:
        return _page(opened, changes, [], forms, {}, reason), 409
    except (archive.SupersedeConflict, archive.KeyConflict, archive.PapersWait) as refusal:
        return _page(opened, changes, [str(refusal)], forms, {}, reason), 409
    except archive.AnswerConflict:
        says = "The job is open and says a third thing there. It is corrected in the job itself."
        return _page(opened, changes, [says], forms, {}, reason), 409


def _to_record(answer: archive.Issued) -> Any:
    """Lead to a revision; where its papers could not be made, to its job, which tells why and tries again."""
    job = url_for("desk_job.page", job_id=answer.job_id, _anchor="not-made")
    return redirect(url_for("office.record", number=answer.number) if answer.finished else job, 303)


def _slip(
    opened: archive.Record, changes: Mapping[str, Any], reason: str, key: str
) -> archive.Submission | str:
    """Return the wish for the next revision, or why it has to be signed anew."""
    ruleset = store().records.ruleset(opened.organisation, opened.ruleset_digest)
    if not releases.was_released(ruleset, store().origins.of(opened.organisation, opened.id).ruleset_in_log):
        return NEVER_RELEASED
    try:
        return slip(current_person(), opened, changes, reason, key, ruleset, _said)
    except NeedsSignature as why:
        return str(why)


def _said(name: str, answer: Any) -> str:
    return shown(name, answer, iso=True)


def _answers(opened: archive.Record) -> dict[str, Any]:
    """The record's answers as far as this version reads them."""
    return rules.readable(json.loads(opened.job))[0]


def _asked(answers: Mapping[str, Any]) -> dict[str, list[str]]:
    """Section -> its questions that are shown: every name that is asked, and what was answered."""
    read = rules.Job(answers)
    found: dict[str, list[str]] = {section: [] for section in SECTIONS}
    for question in filter(asks, CATALOGUE.values()):
        named = question.names and question.when.holds(read.look) is not False
        if question.name in answers or named:
            found[question.section].append(question.name)
    return found


def _forms(opened: archive.Record, sent: Any = None) -> dict[str, SectionForm]:
    answers = _answers(opened)
    return {section: section_form(section)(sent, data=answers) for section in SECTIONS}


def _changed(answers: Mapping[str, Any], forms: Mapping[str, SectionForm]) -> dict[str, Any]:
    shown_here = {name for names in _asked(answers).values() for name in names}
    changes = {name: new for form in forms.values() for name, new in form.changes(answers).items()}
    return {name: new for name, new in changes.items() if name in shown_here}


def _sent_changes(opened: archive.Record) -> dict[str, Any]:
    """The changes that the page carried, read once more."""
    try:
        sent = json.loads(request.form.get("changes", ""))
        changes = {name: read_one(name, new) for name, new in sent.items()}
        checked(opened, _with_usual(opened, changes))
    except rules.BadAnswer:
        raise
    except (ValueError, AttributeError, TypeError, RecursionError):
        abort(400)
    stored = _answers(opened)
    for name, said in (_not_done_yet(changes) | emptied(stored, changes)).items():
        raise rules.BadAnswer(name, said)
    return {name: new for name, new in changes.items() if stored.get(name) != new}


def _carried(changes: Mapping[str, Any]) -> str:
    """The changes as the page carries them."""
    return json.dumps(dict(changes), sort_keys=True)


def _not_done_yet(changes: Mapping[str, Any]) -> dict[str, str]:
    """What was expected instead of a day of the work that has not come yet."""
    try:
        late = date.fromisoformat(str(changes.get("work_date"))).isoformat() > latest_today()
    except ValueError:
        return {}
    return {"work_date": f"a day not after today, {shown_day(latest_today())}"} if late else {}


def _with_usual(opened: archive.Record, changes: Mapping[str, Any]) -> dict[str, Any]:
    """The changes, and what is accepted as usual without what was now given by hand."""
    usual = json.loads(opened.job).get("accepted_as_usual") or []
    left = [name for name in usual if name not in changes]
    return {**changes, **({"accepted_as_usual": left or None} if left != usual else {})}


def _typed(opened: archive.Record, changes: Mapping[str, Any]) -> list[tuple[str, str]]:
    """The changes as the form's own boxes would send them."""
    sent: list[tuple[str, str]] = []
    for name, new in changes.items():
        held = boxed(CATALOGUE[name], new)
        sent += [(name + end, held.get(end, "")) for end in {*boxes(CATALOGUE[name], new), *held}]
    return sent


def _signer(opened: archive.Record, changes: Mapping[str, Any]) -> int | None:
    """Who is to sign anew: who is named now, else who signed, where that person may, else whose job it is."""
    people = {one.id: one for one in store().people.all(opened.organisation)}
    status = store().records.status(opened.organisation, opened.id)
    named = changes.get("installer_name")
    now = [one.id for one in people.values() if named and one.name == named]
    for found in (*now[:1], signer_of(opened), status.installer):
        one = people.get(found or 0)
        if one is not None and not one.disabled and one.role in ("installer", "owner"):
            return one.id
    return None


def _overtaken(opened: archive.Record) -> archive.NotCurrent | None:
    """Why the record is not the one to correct: replaced or void, as by somebody else meanwhile."""
    hit = store().records.hit(opened.organisation, opened.number)
    return None if hit.state == "current" else archive.NotCurrent(hit.number, hit.state, present_of(hit))


def _page(
    opened: archive.Record,
    changes: Mapping[str, Any],
    notices: list[str],
    forms: Mapping[str, SectionForm] | None = None,
    errors: Mapping[str, str] | None = None,
    reason: str = "",
    key: str = "",
) -> str:
    fresh, overtaken = forms is None, _overtaken(opened)
    notices = [*notices, *([str(overtaken)] if overtaken else [])]
    forms = forms or _forms(opened)
    before = json.loads(opened.job)
    wish = _slip(opened, changes, "looked at", "looked-at") if changes and not overtaken else None
    needs = wish if isinstance(wish, str) else ""
    people = {one.id: one.name for one in store().people.all(opened.organisation)}
    return render_template(
        "office/correct.html", record=opened, notices=notices, errors=errors or {}, reason=reason,
        key=key or f"correct-{secrets.token_hex(16)}", needs=needs, fresh=fresh, overtaken=overtaken,
        signer=people.get(_signer(opened, changes) or 0, ""),
        changes_text=_carried(changes),
        changes=[
            (CATALOGUE[name].label, shown(name, before[name]) if before.get(name) is not None else "",
             shown(name, new) if new is not None else "")
            for name, new in changes.items()
        ],
        groups=laid_out(forms, _asked(_answers(opened)), changes),
    )  # fmt: skip
