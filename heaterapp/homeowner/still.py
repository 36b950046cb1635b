"""What is left on a paper, in plain words: to be fixed, for the building department, not checked, accepted.

Each check is told as the rule it stands for, so the same sentence reads true under every heading.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from typing import Any, NamedTuple

from heaterapp.homeowner.known import Known
from heaterapp.homeowner.said import Said
from heaterapp.homeowner.what import firm_name

TITLE = Said("What is still open", "Lo que queda pendiente")
TO_FIX = Said("These are still to be fixed:", "Todavía hay que arreglar esto:")
TO_DECIDE = Said(
    "On these the building department has the last word:",
    "En esto decide el departamento de construcción:",
)
TO_DESIGN = Said("These need a design by an engineer:", "Esto requiere el diseño de un ingeniero:")
NOT_CHECKED = Said("These were not checked:", "Esto no se revisó:")
ACCEPTED = Said(
    "These were found otherwise, and accepted by the building department:",
    "Esto se encontró distinto, y el departamento de construcción lo aceptó:",
)
ASK = Said(
    "Ask {firm} when these will be fixed. Then ask for a new paper.",
    "Pregunte a {firm} cuándo se va a arreglar. Después pida un documento nuevo.",
)
ASK_SOMEBODY = Said("Ask a licensed plumber to fix these.", "Pida a un plomero con licencia que lo arregle.")
UNNAMED = Said("{name}: see the paper.", "{name}: vea el documento.")


class Left(NamedTuple):
    """A heading and the rules under it."""

    heading: str
    rules: tuple[str, ...]


@cache
def rules_in_words() -> Mapping[str, Said]:
    """Return check -> the rule it stands for, from `asked/`, a file a topic."""
    found = {}
    for path in files(__package__).joinpath("asked").iterdir():
        if path.name.endswith(".toml"):
            topic = path.name.removesuffix(".toml")
            for name, words in tomllib.loads(path.read_text(encoding="utf-8")).items():
                found[f"{topic}.{name}"] = Said(words["en"], words["es"])
    return found


def left(known: Known, language: str) -> tuple[Left, ...]:
    """Return what is left on the paper, the gravest first; nothing where nothing is."""
    found = [one for one in known.report["findings"] if one["kind"] == "rule"]
    sorted_out = (
        (TO_FIX, [one for one in found if one["verdict"] == "fails" and not one.get("accepted")]),
        (NOT_CHECKED, [one for one in found if one["verdict"] in ("unanswered", "error")]),
        (TO_DESIGN, [one for one in found if one["verdict"] == "engineer" and not one.get("accepted")]),
        (TO_DECIDE, [one for one in found if one["verdict"] == "authority" and not one.get("accepted")]),
        (ACCEPTED, [one for one in found if one.get("accepted")]),
    )
    return tuple(
        Left(heading.of(language), tuple(dict.fromkeys(rule_of(one, language) for one in some)))
        for heading, some in sorted_out
        if some
    )


def whom_to_ask(known: Known, language: str) -> str:
    """Return whom to ask to fix what is to be fixed, nothing where nothing is."""
    fails = any(
        one["kind"] == "rule" and one["verdict"] == "fails" and not one.get("accepted")
        for one in known.report["findings"]
    )
    if not fails:
        return ""
    if known.is_others_work:
        return ASK_SOMEBODY.of(language)
    return ASK.of(language, firm=firm_name(known, language))


def rule_of(finding: Mapping[str, Any], language: str) -> str:
    """Return the rule of a finding in plain words; a check of other rules than these by its own name."""
    known = rules_in_words().get(finding["check"])
    if known:
        return known.of(language)
    name = finding["check"].partition(".")[2].replace("_", " ").capitalize()
    return UNNAMED.of(language, name=name)
