"""What is left on a paper, in plain words: to be fixed, to decide, not checked, accepted, advised.

Each check is told as the rule it stands for, so the same sentence reads true under every heading. What was
accepted is told by what it is about and what was found: the rule would read as if it were not kept. What is
to be fixed has what was found and its limit behind the rule, and what is dangerous stands first.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from functools import cache
from importlib.resources import files
from typing import Any, NamedTuple

from heaterapp.homeowner.beside import beside
from heaterapp.homeowner.known import Known
from heaterapp.homeowner.said import Said, day_in_words
from heaterapp.homeowner.units import spelled
from heaterapp.homeowner.what import A_PLUMBER
from heaterapp.sheet.findings import SPOKEN
from heaterapp.sheet.found_in import found_in

TITLE = Said("What is still open", "Lo que queda pendiente")
TITLE_THEN = Said("What was open then", "Lo que entonces estaba pendiente")
TITLE_ACCEPTED = Said("What was accepted", "Lo que se aceptó")
TO_FIX = Said("These are still to be fixed:", "Todavía hay que arreglar esto:")
TO_DECIDE = Said(
    "On these the building department has the last word:",
    "En esto decide el departamento de construcción:",
)
TO_DESIGN = Said("These need a design by an engineer:", "Esto requiere el diseño de un ingeniero:")
NOT_CHECKED = Said("These were not checked:", "Esto no se revisó:")
TO_FIX_THEN = Said("These were to be fixed then:", "Entonces había que arreglar esto:")
TO_DECIDE_THEN = Said(
    "On these the building department was to have the last word:",
    "En esto iba a decidir el departamento de construcción:",
)
TO_DESIGN_THEN = Said(
    "These needed a design by an engineer:", "Esto requería el diseño de un ingeniero:"
)
ACCEPTED = Said(
    "The code book alone does not settle these. The building department accepted them as they are:",
    "El código solo no basta para decidir esto. El departamento de construcción lo aceptó como está:",
)
ACCEPTED_OTHERWISE = Said(
    "These differ from the code book. The building department accepted them as they are:",
    "Esto difiere del código. El departamento de construcción lo aceptó como está:",
)
TAKEN = {ACCEPTED_OTHERWISE: ("fails",), ACCEPTED: ("authority", "engineer")}
"""What was accepted, by how it was judged."""
FOUND = Said("{about}: {found}.", "{about}: {found}.")
FOUND_NO_MORE = Said("{about}.", "{about}.")
ACCEPTED_ON = Said("{what} Accepted on {day}.", "{what} Aceptado el {day}.")
ASK = Said(
    "Ask {firm} when these will be fixed. Then ask for a new paper.",
    "Pregunte a {firm} cuándo se va a arreglar. Después pida un documento nuevo.",
)
ASK_SOMEBODY = Said("Ask a licensed plumber to fix these.", "Pida a un plomero con licencia que lo arregle.")
ADVISED_TITLE = Said("Good practice", "Buena práctica")
ADVISED = Said(
    "The code here does not ask for this. Good practice does:",
    "El código de aquí no pide esto. La buena práctica sí:",
)
UNNAMED = Said("{name}: see the paper.", "{name}: vea el documento.")


class Left(NamedTuple):
    """A heading and the rules under it."""

    heading: str
    rules: tuple[str, ...]


def rules_in_words() -> Mapping[str, Said]:
    """Return check -> the rule it stands for, from `asked/`, a file a topic."""
    return {check: Said(words["en"], words["es"]) for check, words in _asked().items()}


def subjects_in_words() -> Mapping[str, Said]:
    """Return check -> what its rule is about, without what the rule wants."""
    return {check: Said(words["about_en"], words["about_es"]) for check, words in _asked().items()}


@cache
def _asked() -> Mapping[str, Mapping[str, str]]:
    found = {}
    for path in files(__package__).joinpath("asked").iterdir():
        if path.name.endswith(".toml"):
            topic = path.name.removesuffix(".toml")
            for name, words in tomllib.loads(path.read_text(encoding="utf-8")).items():
                found[f"{topic}.{name}"] = words
    return found


def title(known: Known, language: str) -> str:
    """Return the heading over what is left: what was accepted, or was open then, is not called open."""
    if all(heading in TAKEN for heading, _ in _sorted_out(known)):
        return TITLE_ACCEPTED.of(language)
    return (TITLE if known.standing.is_current else TITLE_THEN).of(language)


def left(known: Known, language: str) -> tuple[Left, ...]:
    """Return what is left on the paper, the gravest first; nothing where a newer paper says it."""
    if known.standing.is_void or known.standing.is_followed:
        return ()
    return tuple(
        Left(heading.of(language), tuple(dict.fromkeys(_told(known, heading, one, language) for one in some)))
        for heading, some in _sorted_out(known)
    )


def advised(known: Known, language: str) -> tuple[str, ...]:
    """Return what the paper advises, each in plain words; nothing where a newer paper says it."""
    if known.standing.is_void or known.standing.is_followed:
        return ()
    some = (one for one in known.report["findings"] if one["kind"] == "advice" and one["verdict"] in SPOKEN)
    told = (beside(known, rule_of(one, language), one, language) for one in some)
    return tuple(dict.fromkeys(told))


def _told(known: Known, heading: Said, finding: Mapping[str, Any], language: str) -> str:
    """Return a finding's rule; of one that was accepted what was, and when: by whom, the paper says alone."""
    if heading in (TO_FIX, TO_FIX_THEN):
        return beside(known, rule_of(finding, language), finding, language)
    if heading not in TAKEN:
        return rule_of(finding, language)
    what = _accepted(finding, language)
    day = day_in_words(str(finding["accepted"].get("on") or ""), language)
    return ACCEPTED_ON.of(language, what=what, day=day) if day else what


def _accepted(finding: Mapping[str, Any], language: str) -> str:
    about = subjects_in_words().get(finding["check"])
    if about is None:
        return rule_of(finding, language)
    found = spelled(found_in(finding, language), language)
    if not found:
        return FOUND_NO_MORE.of(language, about=about.of(language))
    return FOUND.of(language, about=about.of(language), found=found)


def _sorted_out(known: Known) -> Iterator[tuple[Said, list[Mapping[str, Any]]]]:
    """What is left under its headings, those of a paper that stands no more as they were."""
    rules = (one for one in known.report["findings"] if one["kind"] == "rule")
    found = sorted(rules, key=lambda one: not one.get("hazard"))
    standing = known.standing.is_current
    for heading, verdicts in (
        (TO_FIX if standing else TO_FIX_THEN, ("fails",)),
        (NOT_CHECKED, ("unanswered", "error")),
        (TO_DESIGN if standing else TO_DESIGN_THEN, ("engineer",)),
        (TO_DECIDE if standing else TO_DECIDE_THEN, ("authority",)),
    ):
        whole = [one for one in found if one["verdict"] in verdicts]
        if some := [one for one in whole if heading is NOT_CHECKED or not one.get("accepted")]:
            yield heading, some
    for heading, verdicts in TAKEN.items():
        if some := [one for one in found if one.get("accepted") and one["verdict"] in verdicts]:
            yield heading, some


def whom_to_ask(known: Known, language: str) -> str:
    """Return whom to ask to fix what is to be fixed, nothing where nothing is or a newer paper may stand."""
    fails = any(
        one["kind"] == "rule" and one["verdict"] == "fails" and not one.get("accepted")
        for one in known.report["findings"]
    )
    if not fails or not known.standing.is_current:
        return ""
    if known.is_others_work:
        return ASK_SOMEBODY.of(language)
    return ASK.of(language, firm=known.reached("name") or A_PLUMBER.of(language))


def rule_of(finding: Mapping[str, Any], language: str) -> str:
    """Return the rule of a finding in plain words; a check of other rules than these by its own name."""
    known = rules_in_words().get(finding["check"])
    if known:
        return known.of(language)
    name = finding["check"].partition(".")[2].replace("_", " ").capitalize()
    return UNNAMED.of(language, name=name)
