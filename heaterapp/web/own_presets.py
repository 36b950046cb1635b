"""The owner's page of what "As usual" fills in for the firm: its own answers over the program's."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from typing import Any, NamedTuple

from flask import Blueprint, redirect, render_template, request, url_for

from heaterapp.archive import SettingsConflict
from heaterapp.archive.canonical import canonical
from heaterapp.filling import usual
from heaterapp.filling.typed import asks, shown
from heaterapp.rules import CATALOGUE, SECTIONS, BadAnswer
from heaterapp.rules.question import Question
from heaterapp.web.act_words import preset_words
from heaterapp.web.plain_forms import one
from heaterapp.web.security import current_organisation, current_person, require, store

blueprint = Blueprint("own_presets", __name__, url_prefix="/office/firm/usual")
SETTING = "presets"
MEANWHILE = (
    "Somebody changed what is filled in after this page was opened. What you chose stands below;"
    " look at it and save again."
)


class Row(NamedTuple):
    """One question on the page: what stands in its field, what it takes, what the program itself fills in."""

    question: Question
    typed: str
    choices: Mapping[str, str]
    of_program: str


def own_presets() -> dict[str, str]:
    """Return the presets of this firm, as its pages and its phones are to have them."""
    return _of(current_organisation().settings)


def _of(settings: Mapping[str, Any]) -> dict[str, str]:
    # A phone that opened an older version would take what this one leaves to no firm.
    held = settings.get(SETTING)
    given = held if isinstance(held, Mapping) else {}
    return {name: value for name, value in given.items() if name in usual.may_be_preset()}


def by_section(presets: Mapping[str, str]) -> list[tuple[str, list[list[str]]]]:
    """Return what one tap fills in, section by section, in words."""
    held: dict[str, dict[str, str]] = {}
    for name, question in CATALOGUE.items():
        if name in presets and asks(question):
            held.setdefault(question.section, {})[name] = presets[name]
    return [(SECTIONS[section], usual.told(held[section])) for section in SECTIONS if section in held]


@blueprint.get("")
@require("owner")
def page() -> Any:
    """Show every answer that may be filled in."""
    return _page({})


@blueprint.post("")
@require("owner")
def save() -> Any:
    """Keep the firm's own answers, all of those sent or none."""
    before = own_presets()
    if one("act") == "program":
        after: dict[str, str] = {}
    else:
        after, errors = _read(before)
        if errors:
            return _page(errors)
    if one("of") != _mark(before):
        return _page({"top": MEANWHILE})
    firm, by = current_organisation(), current_person().id
    seen = {SETTING: firm.settings.get(SETTING)}
    try:
        store().organisations.change(firm.id, by, settings={SETTING: after or None}, seen=seen)
    except SettingsConflict:
        return _page({"top": MEANWHILE}, _of(store().organisations.get(firm.id).settings))
    return redirect(url_for("firm.page", said="presets"), 303)


def _read(before: Mapping[str, str]) -> tuple[dict[str, str], dict[str, str]]:
    after, errors = dict(before), {}
    for name in (name for name in usual.may_be_preset() if name in request.form):
        label = CATALOGUE[name].label
        if len(request.form.getlist(name)) > 1:
            errors[name] = f"{label}: sent more than once; send it once."
            continue
        text = one(name).strip()
        try:
            value = usual.read_preset(name, _said(name, text)) if text else usual.NOT_FILLED
        except BadAnswer as bad:
            errors[name] = f"{label}: expected {bad.said}."
            continue
        after.pop(name, None)
        if value != usual.USUAL.get(name, (usual.NOT_FILLED,))[0]:
            after[name] = value
    return after, errors


def _said(name: str, text: str) -> str:
    words = text.casefold().replace(" ", "_")
    return words if words == "not_here" and CATALOGUE[name].may_be_absent else text


def _mark(presets: Mapping[str, str]) -> str:
    return hashlib.sha256(canonical(dict(presets)).encode()).hexdigest()


def _page(errors: Mapping[str, str], stored: dict[str, str] | None = None) -> Any:
    own = own_presets() if stored is None else stored
    now = usual.presets_of(own)
    parts = []
    for section, title in SECTIONS.items():
        rows = [_row(name, now) for name in usual.may_be_preset() if CATALOGUE[name].section == section]
        if rows:
            wrong = any(row.question.name in errors for row in rows)
            own_here = sum(row.question.name in own for row in rows)
            parts.append((title, rows, own_here, wrong))
    shown_page = render_template(
        "office/presets.html", parts=parts, own=own, errors=errors, mark=_mark(own), known=usual.USUAL,
        fixed=usual.told({name: usual.USUAL[name][0] for name in usual.fixed()}),
    )  # fmt: skip
    return shown_page, (409 if "top" in errors else 400) if errors else 200


def _row(name: str, now: Mapping[str, str]) -> Row:
    question, value = CATALOGUE[name], now.get(name, "")
    typed = one(name) if name in request.form else shown(question, value).get("", value.replace("_", " "))
    choices = {"yes": "Yes", "no": "No"} if question.kind == "yes_no" else dict(question.choices)
    if question.kind != "number" and question.may_be_absent:
        choices["not_here"] = "Not here"
    return Row(question, typed, choices, preset_words(name, None))
