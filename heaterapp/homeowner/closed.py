"""What stands where a link does not open, closed, ended or never given; and where a paper is not made yet."""

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

NOT_YET = Said("The paper is not ready yet", "El documento todavía no está listo")
BUSY = Said(
    "It is made when somebody asks for it, and others have asked before you. Nothing is lost.",
    "Se hace cuando alguien lo pide, y otras personas lo pidieron antes que usted. No se ha perdido nada.",
)
WAIT = Said("Wait a little, then ask again.", "Espere un poco y pídalo de nuevo.")
AGAIN = Said("Ask again", "Pedirlo de nuevo")
BACK = Said("Back to your page", "Volver a su página")


def paper_not_yet(language: str) -> dict[str, str]:
    """Return the words of the page, by name."""
    said = {"title": NOT_YET, "why": BUSY, "ask": WAIT, "who": WHO, "again": AGAIN, "back": BACK}
    return {name: words.of(language) for name, words in said.items()}


def closed_link(language: str) -> dict[str, str]:
    """Return the words of the page, by name."""
    said = {"title": TITLE, "why": WHY, "ask": ASK, "who": WHO}
    return {name: words.of(language) for name, words in said.items()}
