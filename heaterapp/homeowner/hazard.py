"""A hazard that the installer wrote down, and what was done about it: what the homeowner reads first."""

from __future__ import annotations

from heaterapp.homeowner.known import Known
from heaterapp.homeowner.said import Said, day_in_words

OTHER = "other"
REPAIRED = "repaired"
NO_WORDS = ("not_here", "unknown")
FOUND = {
    "gas_leak": Said("A gas leak was found.", "Se encontró una fuga de gas."),
    "spillage": Said(
        "Burnt gas from the heater was found in the room.",
        "Se encontró que el calentador echa gases quemados al cuarto.",
    ),
    "scorch": Said("Scorch marks were found at the heater.", "Se encontraron marcas de quemado."),
    "co": Said("Carbon monoxide was found.", "Se encontró monóxido de carbono."),
    OTHER: Said("A danger was found.", "Se encontró un peligro."),
}
WORDS = Said("In the installer's words: {words}.", "En palabras del instalador: {words}.")
WORDS_OTHERS = Said(
    "In the words of whoever looked it over: {words}.", "En palabras de quien lo revisó: {words}."
)
DONE = {
    REPAIRED: Said("It was repaired and tested again.", "Se reparó y se probó otra vez."),
    "shut_off": Said("The heater was shut off and tagged.", "El calentador se apagó y se etiquetó."),
    "supplier_called": Said(
        "The gas supplier or the fire service was called.",
        "Se llamó a la compañía de gas o a los bomberos.",
    ),
    "owner_told": Said("The owner was told in writing.", "Se avisó por escrito al dueño."),
}
DONE_ON = {
    "supplier_called": Said(
        "The gas supplier or the fire service was called on {day}.",
        "Se llamó a la compañía de gas o a los bomberos el {day}.",
    ),
    "owner_told": Said("The owner was told in writing on {day}.", "Se avisó por escrito al dueño el {day}."),
}
"""What was done by telling somebody, where the day of it is known."""
OFF = Said("Do not turn it on.", "No lo encienda.")


def was_repaired(known: Known) -> bool:
    """Say whether the hazard is said to be repaired."""
    return known.says("hazard_action", REPAIRED)


def words_of(known: Known) -> str:
    """Return what the hazard is in the words of whoever wrote it down, nothing where nobody did."""
    typed = known.answers.get("hazard_words")
    return typed.strip().rstrip(".") if isinstance(typed, str) and typed not in NO_WORDS else ""


def hazard_said(known: Known, language: str) -> str:
    """Return what was found and what was done about it; nothing where none was, or nobody wrote it down."""
    kind, action = (str(known.answers.get(name)) for name in ("hazard_found", "hazard_action"))
    if kind not in FOUND:
        return ""
    words = words_of(known)
    day = day_in_words(str(known.answers.get("hazard_told_on") or ""), language)
    parts = [FOUND[kind].of(language)]
    if words:
        parts.append((WORDS_OTHERS if known.is_others_work else WORDS).of(language, words=words))
    if action in DONE:
        parts.append((DONE_ON if day and action in DONE_ON else DONE)[action].of(language, day=day))
    if action == "shut_off":
        parts.append(OFF.of(language))
    return " ".join(parts)
