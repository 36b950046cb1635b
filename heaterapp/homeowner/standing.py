"""What is said before anything else: a void or replaced paper, a paper that is no certificate, a hazard."""

from __future__ import annotations

from collections.abc import Iterator

from heaterapp.homeowner.hazard import hazard_said, was_repaired
from heaterapp.homeowner.known import Known
from heaterapp.homeowner.said import Said, day_in_words

STOP = Said(
    "Stop. Do not use this heater. Have it put right first.",
    "Alto. No use este calentador. Primero haga que lo arreglen.",
)
LIST = Said(
    "This is not a certificate. Some things are still to be fixed. They are listed below.",
    "Esto no es un certificado. Todavía hay cosas por arreglar. Están en la lista de abajo.",
)
LIST_WAS = Said(
    "This is not a certificate. It was a list of what was to be fixed then.",
    "Esto no es un certificado. Era una lista de lo que entonces había que arreglar.",
)
LIST_WAS_BELOW = Said(
    "This is not a certificate. What was to be fixed then is listed below.",
    "Esto no es un certificado. Lo que entonces había que arreglar está en la lista de abajo.",
)
REPORT = Said(
    "This is not a certificate. It says what was found. Others put in this heater.",
    "Esto no es un certificado. Dice lo que se encontró. Otros instalaron este calentador.",
)
VOID = Said(
    "This paper is void: it was taken back. Do not rely on it.",
    "Este documento está anulado: fue retirado. No se guíe por él.",
)
VOID_NOW = {
    "certificate": Said(
        "The paper in its place is {number}. Ask {whom} for it.",
        "El documento que lo reemplaza es {number}. Pídalo {whom}.",
    ),
    "correction_list": Said(
        "The newest paper is {number}, a list of what is to be put right. Ask {whom} for it.",
        "El documento más nuevo es {number}, una lista de lo que hay que arreglar. Pídala {whom}.",
    ),
    "findings_report": Said(
        "The newest paper is {number}, a report of what was found. Ask {whom} for it.",
        "El documento más nuevo es {number}, un informe de lo que se encontró. Pídalo {whom}.",
    ),
}
REPLACED_NOW = {
    "certificate": Said(
        "A newer paper, {number}, replaced this one. Ask {whom} for it.",
        "Un documento más nuevo, {number}, reemplazó a este. Pídalo {whom}.",
    ),
    "correction_list": Said(
        "This paper no longer holds. {number}, a list of what is to be put right, is the newest one. Ask"
        " {whom} for it.",
        "Este documento ya no vale. El más nuevo es {number}, una lista de lo que hay que arreglar. Pídala"
        " {whom}.",
    ),
    "findings_report": Said(
        "A newer paper, {number}, a report of what was found, replaced this one. Ask {whom} for it.",
        "Un documento más nuevo, {number}, un informe de lo encontrado, reemplazó a este."
        " Pídalo {whom}.",
    ),
}
VOID_NONE = Said("Ask {whom} what holds now.", "Pregunte {whom} qué vale ahora.")
FIRM = Said("{firm}", "a {firm}")
FIRM_PHONE = Said("{firm} ({phone})", "a {firm} ({phone})")
NO_FIRM = Said("the installer", "al instalador")
NO_FIRM_OTHERS = Said("whoever looked it over", "a quien lo revisó")
REPLACED_NONE = Said(
    "This paper was replaced, and no newer one stands. Ask {whom}.",
    "Este documento fue reemplazado y no hay otro que valga. Pregunte {whom}.",
)
FAILED = Said(
    "The inspection of {day} was not passed in full. Ask the installer what is still to be done.",
    "La inspección del {day} no se aprobó por completo. Pregunte al instalador qué falta por hacer.",
)
FAILED_OTHERS = Said(
    "The inspection of {day} was not passed in full. Ask the building department what is still to be done,"
    " and a licensed plumber to do it.",
    "La inspección del {day} no se aprobó por completo. Pregunte al departamento de construcción qué falta, y"
    " pida a un plomero con licencia que lo haga.",
)
FACES = {"correction_list": LIST, "findings_report": REPORT}


def notices(known: Known, language: str) -> tuple[str, ...]:
    """Return what stands above all else, nothing for a certificate that is current."""
    return tuple(words for words in _said(known, language) if words)


def has_hazard(known: Known) -> bool:
    """Say whether a hazard was found that nobody's word makes good."""
    return any(one.get("hazard") and one["verdict"] == "fails" for one in known.report["findings"])


def _said(known: Known, language: str) -> Iterator[str]:
    stands = known.standing
    number, kind = stands.present_number, stands.present_kind
    # A hazard is told until a certificate stands that knows of none, whichever paper found it.
    certified = stands.is_followed and kind == "certificate"
    # What a void paper found, or one that a newer follows, that one says.
    found = "" if stands.is_void or stands.is_followed else hazard_said(known, language)
    if not was_repaired(known):
        yield found
    if stands.hazard_stands or (has_hazard(known) and not certified):
        yield STOP.of(language)
    if was_repaired(known):
        yield found
    if stands.state == "void":
        now = VOID_NOW[kind] if number else VOID_NONE
        yield f"{VOID.of(language)} {now.of(language, number=number, whom=_whom(known, language))}"
    elif stands.state == "replaced":
        now = REPLACED_NOW[kind] if number else REPLACED_NONE
        yield now.of(language, number=number, whom=_whom(known, language))
    if known.paper in FACES:
        yield _face(known).of(language)
    if stands.failed_on:
        day = day_in_words(stands.failed_on, language)
        failed = FAILED_OTHERS if known.is_others_work else FAILED
        yield failed.of(language, day=day) if day else ""


def _face(known: Known) -> Said:
    """Return what a paper that is no certificate says of itself; a list that stands no more, what it was."""
    stands = known.standing
    if known.paper != "correction_list" or stands.is_current:
        return FACES[known.paper]
    return LIST_WAS if stands.is_void or stands.is_followed else LIST_WAS_BELOW


def _whom(known: Known, language: str) -> str:
    """Return whom to ask for the paper that stands: the firm, and its phone."""
    firm, phone = map(known.reached, ("name", "phone"))
    nameless = NO_FIRM_OTHERS if known.is_others_work else NO_FIRM
    words = FIRM_PHONE if firm and phone else FIRM if firm else nameless
    return words.of(language, firm=firm, phone=phone)
