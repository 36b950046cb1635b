"""The homeowner's page as plain data, in one language: what screen and printed sheet both say."""

from __future__ import annotations

from dataclasses import dataclass

from heaterapp.homeowner import calls, care, numbers, sale, still, warranty, watch, what
from heaterapp.homeowner.dialing import EMERGENCY as EMERGENCY_NUMBER
from heaterapp.homeowner.dialing import Piece, numbers_in, pieces
from heaterapp.homeowner.emergency import TITLE as EMERGENCY
from heaterapp.homeowner.emergency import emergencies
from heaterapp.homeowner.known import Known
from heaterapp.homeowner.numbers import Figure
from heaterapp.homeowner.said import Said, language_of
from heaterapp.homeowner.standing import notices
from heaterapp.homeowner.still import Left

TITLE = Said("Your water heater", "Su calentador de agua")
SKIP = Said("Skip to the page", "Ir a la página")
OTHER_LANGUAGE = Said("Español", "English")
PAPER = Said("Your paper", "Su documento")
KEEP = Said("Keep it with the papers of the house.", "Guárdelo con los papeles de la casa.")
DOWNLOAD = Said("Get the PDF", "Descargar el PDF en español")
DOWNLOAD_OTHER = Said("Get it in Spanish", "Descargar el original en inglés")
VOID_PAPER = Said("The void paper, for your records", "El documento anulado, para su archivo")
SEALED = Said(
    "The English PDF has the firm's seal. What the installer wrote down is inside the file too.",
    "El PDF en inglés lleva el sello de la empresa. Dentro va también lo que anotó el instalador.",
)
PRINT = Said("Print this sheet", "Imprimir esta hoja")
TO_PRINT = Said(
    "To print it on one sheet, choose Print in your browser's menu.",
    "Para imprimirlo en una hoja, elija Imprimir en el menú de su navegador.",
)
LINK_ENDS = Said(
    "This link opens until {day}. After that, ask for a new one.",
    "Este enlace abre hasta el {day}. Después, pida otro.",
)
PRINTED_PROOF = Said(
    "To prove this paper: {address}, number {number}, check code {code}.",
    "Para comprobar este documento: {address}, número {number}, código de verificación {code}.",
)
"""On paper there is nothing to press."""
PROVE = Said("Prove this paper", "Comprobar este documento")
CODE = Said("Check code", "Código de verificación")
TO_CALENDAR = Said("Put it in your calendar", "Ponerlo en su calendario")
CAUTION = Said(
    "This page says what the installer measured and wrote down. It is not a permit and not an inspection."
    " Local codes, the maker's manual and licensed work come first.",
    "Esta página dice lo que el instalador midió y anotó. No es un permiso ni una inspección. Los códigos"
    " locales, el manual del fabricante y el trabajo con licencia son lo primero.",
)
CAUTION_OTHERS = Said(
    "This page says what was found when this heater was looked over. It is not a permit and not an"
    " inspection. Local codes, the maker's manual and licensed work come first.",
    "Esta página dice lo que se encontró al revisar este calentador. No es un permiso ni una inspección. Los"
    " códigos locales, el manual del fabricante y el trabajo con licencia son lo primero.",
)


@dataclass(frozen=True)
class Page:
    """Everything the page says. Empty parts are left out of it.

    Of a void paper no fact is told as if it held: no number, nothing for a warranty or a sale.
    """

    language: str
    title: str
    firm: str
    notices: tuple[str, ...]
    emergency_title: str
    emergencies: tuple[tuple[str, str], ...]
    still_title: str
    still: tuple[Left, ...]
    whom_to_ask: str
    what_title: str
    what: tuple[str, ...]
    facts: tuple[tuple[str, str], ...]
    numbers_title: str
    numbers: tuple[Figure, ...]
    advised_title: str
    advised_first: str
    advised: tuple[str, ...]
    watch_title: str
    signs: tuple[str, ...]
    leave_alone: tuple[str, ...]
    care_title: str
    care_first: str
    care_heads: tuple[str, str]
    care: tuple[tuple[str, str], ...]
    warranty_title: str
    warranty: tuple[str, ...]
    calls_title: str
    calls: tuple[tuple[str, str], ...]
    sale_title: str
    sale: tuple[str, ...]
    paper_title: str
    paper: str
    caution: str
    is_void: bool
    phones: tuple[str, ...]
    """What can be dialed in the emergency box and the signs."""
    firm_phones: tuple[str, ...]

    def pieces(self, text: str) -> tuple[Piece, ...]:
        """Return a sentence with the emergency numbers in it apart."""
        return pieces(text, self.phones)

    def line_pieces(self, line: str) -> tuple[Piece, ...]:
        """Return a line of whom to call, or a notice, with the firm's own numbers in it apart."""
        return self.pieces(line) if line in self.phones else pieces(line, self.firm_phones)


def page_of(known: Known, language: str) -> Page:
    """Say everything of one record in one language.

    known     the record and how it stands
    language  "en" or "es"; any other is English
    """
    language = language_of(language)
    void = known.standing.is_void
    gas = numbers_in(known.utility_phone)
    return Page(
        language=language,
        title=TITLE.of(language),
        firm=str(known.firm.get("name") or ""),
        notices=notices(known, language),
        emergency_title=EMERGENCY.of(language),
        emergencies=emergencies(known, language),
        still_title=still.title(known, language),
        still=still.left(known, language),
        whom_to_ask=still.whom_to_ask(known, language),
        what_title=what.title(known, language),
        what=() if void else what.sentences(known, language),
        facts=what.facts(known, language),
        numbers_title=numbers.TITLE.of(language),
        numbers=() if void else numbers.figures(known, language),
        advised_title=still.ADVISED_TITLE.of(language),
        advised_first=still.ADVISED.of(language),
        advised=still.advised(known, language),
        watch_title=watch.TITLE.of(language),
        signs=watch.signs(known, language),
        leave_alone=watch.leave_alone(known, language),
        care_title=care.TITLE.of(language),
        care_first=care.FIRST.of(language),
        care_heads=(care.WHAT.of(language), care.OFTEN.of(language)),
        care=tuple((one.what.of(language), one.often.of(language)) for one in care.care_for(known)),
        warranty_title=warranty.TITLE.of(language),
        warranty=() if void else (warranty.facts(known, language), warranty.CARD.of(language)),
        calls_title=calls.TITLE.of(language),
        calls=calls.calls(known, language),
        sale_title=sale.TITLE.of(language),
        sale=() if void else sale.sentences(known, language),
        paper_title=PAPER.of(language),
        paper="" if void else KEEP.of(language),
        caution=(CAUTION_OTHERS if known.is_others_work else CAUTION).of(language),
        is_void=void,
        phones=(EMERGENCY_NUMBER, *gas),
        firm_phones=numbers_in(known.reached("phone")),
    )
