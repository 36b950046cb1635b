"""A copy of a paper for a buyer: laid out anew from the record, with the former owner's data left out.

What names the owner is taken out of the record before anything is laid out: name, the homeowner's signature
and receipt, photos, and every word that somebody typed freely. Nothing is attached.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass, fields, is_dataclass, replace
from typing import Any

from markupsafe import Markup

from heaterapp.firm_clock import day_words
from heaterapp.rules import CATALOGUE

from .corrected import signed_for
from .filed import Filed, identifier
from .paper import Paper
from .translated import marked_foot

NAME = "copy.pdf"
LEFT_OUT = "[left out]"
KEPT_WORDS = frozenset(
    ("place", "address_street", "address_unit", "address_city", "address_state", "address_zip",
     "permit_number", "installer_name", "installer_licence", "contractor_name", "contractor_licence",
     "heater_maker", "heater_model", "heater_serial")
)  # fmt: skip
"""Typed answers that a copy keeps: the house, the heater, and who did the work."""
SIGNED = frozenset(("name", "licence", "relation"))
"""What a signer typed of themselves."""
UNMEASURED = "Could not be measured"
SHORTEST = 2
"""Letters of a name below which it is not looked for in other words."""
FACE = "Copy of {number}, personal data left out."
SAYS = (
    "Made on {made} from the record of {number}, whose paper {source}. Left out: the owner's name, phone, "
    "email and signature, photos, and freely typed words."
)


@dataclass(frozen=True, slots=True)
class Redacted:
    """What a copy is made of."""

    filed: Filed
    made_from: tuple[str, str]
    """File name and SHA-256 of the paper that was issued."""
    made_on: str
    """ISO date."""
    state: str = ""
    """What has become of that paper, where it does not stand."""
    names: tuple[str, ...] = ()
    """What else is to be readable nowhere: owners that the office knows of, phones, addresses of mail."""
    standing: str = "current"
    """What the paper is as the copy is made: `current`, `replaced` or `void`."""


def pressed(copy: Redacted) -> dict[str, bytes]:
    """Make the copy in this process: `copy.pdf`, the same bytes for the same record, day and state."""
    from .press import press_alone

    own = copy.filed
    named = redacted_identifier(own.content_digest, own.number, own.revision).encode()
    return {NAME: press_alone(redacted_paper(copy), named)}


def redacted_identifier(content_digest: str, number: str, revision: int) -> str:
    """Return what names every copy of a record with personal data left out to readers of PDF."""
    return identifier(content_digest, number, revision, NAME).decode()


def redacted_paper(copy: Redacted) -> Paper:
    """Return the paper of a record as a copy says it.

    raises  NotReady as `paper_of`
    """
    from .content import paper_of

    given = copy.filed
    names = _Names.of(_names_of(given) | set(copy.names))
    answers = {name: _kept(name, said) for name, said in given.answers().items()}
    answers = {name: _without(said, names.of_typing) for name, said in answers.items() if said is not None}
    report = json.loads(given.report)
    report["findings"] = [_finding(one) for one in report["findings"]]
    kept = {"check_address": given.context.get("check_address", ""), "signed_for": signed_for(given)}
    filed = replace(
        given, job=_json(answers), report=_json(report), signature=_signed(given.signature, names), reason="",
        context=kept, photos=(),
    )  # fmt: skip
    paper = paper_of(filed)
    name, digest = copy.made_from
    source = f"{name} has SHA-256 {digest}"
    says = SAYS.format(number=given.number, made=day_words(copy.made_on), source=source)
    state = _without(copy.state, names.of_typing)
    footer = marked_foot(f"Copy, personal data left out: {paper.footer}", copy.standing)
    marked = replace(
        paper, title=f"Copy: {paper.title}", footer=footer,
        face=" ".join(filter(None, (FACE.format(number=given.number), state, paper.face))),
        replaces=". ".join(filter(None, (paper.replaces, says))),
    )  # fmt: skip
    scrubbed: Paper = _without(marked, names.of_print)
    return scrubbed


def _kept(name: str, said: Any) -> Any:
    question = CATALOGUE.get(name)
    if question is None or (question.kind == "text" and name not in KEPT_WORDS):
        return said if name == "accepted_as_usual" else None
    if isinstance(said, dict) and "could_not_measure" in said:
        return {"could_not_measure": LEFT_OUT}
    return said


def _finding(one: Mapping[str, Any]) -> dict[str, Any]:
    told = dict(one)
    if str(told.get("why", "")).startswith(UNMEASURED):
        told["why"] = f"{UNMEASURED}."
    if told.get("accepted"):
        told["accepted"] = {**told["accepted"], "by": LEFT_OUT, "why": LEFT_OUT}
    return told


def _signed(signature: bytes | None, names: _Names) -> bytes | None:
    if signature is None:
        return None
    given = (one for one in json.loads(signature)["signatures"] if one.get("role") != "homeowner")
    return _json({"signatures": [
        {key: _without(said, names.of_typing) if key in SIGNED else said for key, said in one.items()}
        for one in given
    ]})  # fmt: skip


def _names_of(filed: Filed) -> set[str]:
    """Every way in which the record itself names its owner."""
    answers = json.loads(filed.job)
    given = json.loads(filed.signature)["signatures"] if filed.signature else []
    homeowners = (str(one.get("name") or "") for one in given if one.get("role") == "homeowner")
    told = filed.context.get("correction")
    changes = told.get("changes", ()) if isinstance(told, dict) else ()
    owner = CATALOGUE["owner_name"].label
    before = [str(one[way]) for one in changes if one.get("label") == owner for way in ("old", "new")]
    former = filed.context.get("replaced") or {}
    before += [str(one["old"] or "") for one in former.get("changes", ()) if one["question"] == "owner_name"]
    return {str(answers.get("owner_name") or ""), *homeowners, *before}


@dataclass(frozen=True, slots=True)
class _Names:
    """How an owner's names are looked for: whole, so that no gap in another word spells them."""

    of_typing: re.Pattern[str] | None
    """In what somebody typed: written in any way."""
    of_print: re.Pattern[str] | None
    """In the paper's own sentences: a single word only as a name is written, for May and Will are words."""

    @classmethod
    def of(cls, names: set[str]) -> _Names:
        told = {name.strip() for name in names if len(name.strip()) >= SHORTEST}
        alone = {name for name in told if name.isalpha() and name.upper() != name.lower()}
        written = {way for name in alone for way in (name.title(), name.upper(), name)}
        as_names = {way for way in written if way != way.lower()}
        whole = [f"(?i:{_bounded(name)})" for name in _longest_first(told - alone)]
        return cls(
            _joined([f"(?i:{_bounded(name)})" for name in _longest_first(told)]),
            _joined([*whole, *map(_bounded, _longest_first(as_names))]),
        )


def _longest_first(names: set[str]) -> list[str]:
    return sorted(sorted(names), key=len, reverse=True)


def _bounded(name: str) -> str:
    # Scripts without capitals write no space between words.
    left, right = (one.isdigit() or one.upper() != one.lower() for one in (name[0], name[-1]))
    return ("(?<!\\w)" if left else "") + re.escape(name) + ("(?!\\w)" if right else "")


def _joined(ways: list[str]) -> re.Pattern[str] | None:
    return re.compile("|".join(ways)) if ways else None


def _without(value: Any, names: re.Pattern[str] | None) -> Any:
    """The same value, its texts without the names."""
    if names is None or isinstance(value, Markup):
        return value
    if isinstance(value, str):
        return names.sub(LEFT_OUT, value)
    if isinstance(value, tuple):
        return tuple(_without(one, names) for one in value)
    if is_dataclass(value) and not isinstance(value, type):
        return type(value)(**{one.name: _without(getattr(value, one.name), names) for one in fields(value)})
    return value


def _json(value: Any) -> bytes:
    return json.dumps(value, ensure_ascii=False).encode()
