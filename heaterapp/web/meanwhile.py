"""What another owner saved between the drawing of a settings form and its sending is told, not written over.

Each form carries the settings as they stood when it was drawn. A box that this owner left alone shows what
stands now; one that was typed in keeps what was typed, which is saved when the form is sent again.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import NamedTuple

from flask import abort, request

from heaterapp.archive import Organisation
from heaterapp.web import firm_settings as kinds
from heaterapp.web.places import place_titles, served
from heaterapp.web.plain_forms import one

FACTS = {"name": "Name of the firm", "licence": "License", "phone": "Phone", "address": "Address"}
SERVED = "served"
SEEN = "seen"
LONGEST_SEEN = 20_000
USUAL_MAIL = {"mail_port": "587", "mail_security": "starttls"}
_LABELS = {
    **FACTS,
    **{name: line.label for name, line in kinds.LINES.items()},
    **{f"mail_{name}": line.label for name, line in kinds.MAIL.items()},
    SERVED: "Codes that installers may choose",
}
_WORDS = {"paper": kinds.PAPERS, "seal": kinds.SEALS, "mail_security": kinds.SECURITY}


class Later(NamedTuple):
    """A box whose setting was changed meanwhile: what stands now, and whether this owner typed in it."""

    now: str
    typed: bool


def boxes(firm: Organisation) -> dict[str, str]:
    """Return what stands in every box of the firm's page, the usual where nothing was set."""
    mail = firm.settings.get("mail") or {}
    return {
        **{name: str(getattr(firm, name)) for name in FACTS},
        **{name: str(firm.settings.get(name) or kinds.USUAL.get(name, "")) for name in kinds.LINES},
        **{f"mail_{name}": str(mail.get(name) or USUAL_MAIL.get(f"mail_{name}", "")) for name in kinds.MAIL},
        SERVED: "\n".join(sorted(served(firm.settings))),
    }


def mark(firm: Organisation) -> str:
    """Return what a form carries of the settings that it was drawn of."""
    return json.dumps(boxes(firm), ensure_ascii=False)


def changed(firm: Organisation) -> dict[str, Later]:
    """Return the boxes of the form just sent whose settings stand otherwise than when it was drawn.

    One in which the same was typed as stands now is no matter. Aborts with 400 where the form's own note of
    what it was drawn of is none.
    """
    before, now = _seen(), boxes(firm)
    return {
        name: Later(now[name], typed != before[name])
        for name, typed in _sent().items()
        if name in before and before[name] != now[name] != typed
    }


def said(later: Mapping[str, Later]) -> dict[str, str]:
    """Return what is said of each such box."""
    return {
        name: f"{_LABELS[name]}: {_shown(name, one.now)} was saved meanwhile"
        + (". What you typed stands here: save again to keep it." if one.typed else ", and stands here now.")
        for name, one in later.items()
    }


def _seen() -> dict[str, str]:
    if SEEN not in request.form:
        return {}
    try:
        held = json.loads(one(SEEN)[:LONGEST_SEEN])
    except ValueError:
        abort(400)
    if not isinstance(held, dict) or not all(isinstance(text, str) for text in held.values()):
        abort(400)
    return held


def _sent() -> dict[str, str]:
    sections = request.form.getlist("section")
    names = [name for name in (*FACTS, *kinds.LINES) if name in request.form]
    names += [f"mail_{name}" for name in kinds.MAIL] if "mail" in sections else []
    sent = {name: one(name).strip() for name in names}
    return sent | ({SERVED: "\n".join(sorted(request.form.getlist(SERVED)))} if SERVED in sections else {})


def _shown(name: str, text: str) -> str:
    if name == SERVED:
        titles = place_titles()
        held = text.split("\n")
        return "all of them" if len(held) == len(titles) else f"{len(held)} of {len(titles)}"
    words = place_titles() if name == "place" else _WORDS.get(name, {})
    return words.get(text, text) or "nothing"
