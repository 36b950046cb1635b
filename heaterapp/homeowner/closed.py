"""What stands where a link does not open: closed, ended or never given, in the same words."""

from __future__ import annotations

from heaterapp.homeowner.said import Said

TITLE = Said("This link does not open", "Este enlace no abre")
WHY = Said(
    "It was closed, it has ended, or a letter of it is missing or wrong.",
    "Se cerró, ya venció, o le falta o le sobra una letra.",
)
ASK = Said(
    "Ask the firm that gave you this link. It has the paper, and can give you a new link.",
    "Pregunte a la empresa que le dio este enlace. Ella tiene el documento y puede darle otro enlace.",
)
WHO = Said("Water heater records", "Registros de calentadores de agua")


def closed_link(language: str) -> dict[str, str]:
    """Return the words of the page, by name."""
    said = {"title": TITLE, "why": WHY, "ask": ASK, "who": WHO}
    return {name: words.of(language) for name, words in said.items()}
