"""A file held against one record's papers, for the office: looked at in memory and kept nowhere."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from flask import Blueprint, render_template, request

from heaterapp import archive, sealed_papers, sealing
from heaterapp.certificate import identifiers, redacted_identifier
from heaterapp.web.one_record import line_of
from heaterapp.web.security import current_person, require, store

blueprint = Blueprint("look_at_file", __name__, url_prefix="/office/records")
LARGEST_FORM = sealing.LARGEST + 100_000
"""Bytes: a paper with its seal, and the form around it."""
CHOOSE = "File: choose one PDF first."


@blueprint.url_value_preprocessor
def _own_limit(endpoint: str | None, values: Mapping[str, Any] | None) -> None:
    if endpoint == "look_at_file.look":
        request.max_content_length = LARGEST_FORM


@blueprint.get("/<number>/compare-file")
@require("office", "owner")
def ask(number: str) -> Any:
    """Ask for the file."""
    return _page(line_of(number))


@blueprint.post("/<number>/compare-file")
@require("office", "owner")
def look(number: str) -> Any:
    """Say what a file is, beside this record's papers, in the words of `check-paper`; nothing is kept."""
    hit, org = line_of(number), current_person().organisation
    sent = [one for one in request.files.getlist("file") if one.filename]
    if len(sent) != 1:
        return _page(hit, errors={"file": CHOOSE}), 422
    # A large file costs the processor: each look counts, as a guess does.
    store().throttle.attempt(org, [("file", str(current_person().id))])
    stored, keys = sealed_papers.beside(store(), org, hit, identifiers, redacted_identifier)
    with sent[0].stream as given:
        looked = sealing.look(given.read(), keys, stored)
    what, then, *more = sealing.said_of(looked)
    said = [what, then, f"{hit.number}: {sealed_papers.standing(hit)}.", *more]
    return _page(hit, said, looked.sound)


def _page(
    hit: archive.Hit, said: list[str] | None = None, sound: bool = False, errors: dict[str, str] | None = None
) -> str:
    return render_template(
        "office/compare_file.html", hit=hit, said=said or [], sound=sound, errors=errors or {}
    )
