"""What the mail with a paper says, English and Spanish side by side: plain, short, nothing promised."""

from __future__ import annotations

from typing import NamedTuple


class Pair(NamedTuple):
    """One sentence in both languages."""

    en: str
    es: str

    def of(self, language: str) -> str:
        """The words in `language` (en or es)."""
        return self.es if language == "es" else self.en


SUBJECTS = {
    "certificate": Pair("Water heater certificate {number}", "Certificado del calentador de agua {number}"),
    "findings_report": Pair("Water heater report {number}", "Informe sobre el calentador de agua {number}"),
    "correction_list": Pair(
        "Not a certificate: water heater list {number}",
        "No es un certificado: lista del calentador de agua {number}",
    ),
}
HELLO = Pair("Hello,", "Hola:")
WHERE = Pair("Address: {address}", "Dirección: {address}")
PAPER = {
    "certificate": Pair(
        "The certificate {number} is attached to this mail. Keep it with the papers of the house.",
        "El certificado {number} va adjunto a este correo, en inglés; en su página está en español. Guárdelo"
        " con los papeles de la casa.",
    ),
    "findings_report": Pair(
        "The report {number} is attached to this mail. Keep it with the papers of the house.",
        "El informe {number} va adjunto a este correo, en inglés; en su página está en español. Guárdelo"
        " con los papeles de la casa.",
    ),
    "correction_list": Pair(
        "The list {number} is attached to this mail. It names what is still to be put right.",
        "La lista {number} va adjunta a este correo, en inglés; en su página está en español. Dice lo que"
        " todavía hay que corregir.",
    ),
}
BOTH = {
    "certificate": Pair(
        "The certificate {number} is attached to this mail twice. Keep both with the papers of the house.",
        "El certificado {number} va adjunto a este correo dos veces. Guarde los dos con los papeles de la"
        " casa.",
    ),
    "findings_report": Pair(
        "The report {number} is attached to this mail twice. Keep both with the papers of the house.",
        "El informe {number} va adjunto a este correo dos veces. Guarde los dos con los papeles de la casa.",
    ),
    "correction_list": Pair(
        "The list {number} is attached to this mail twice. It names what is still to be put right.",
        "La lista {number} va adjunta a este correo dos veces. Dice lo que todavía hay que corregir.",
    ),
}
FILES = {
    "translation": Pair(
        "{translation} is the translation. It was made for you and is not on record.",
        "{translation} es la traducción al español. Se hizo para usted y no consta en el archivo.",
    ),
    "record": Pair(
        "{record} is in English and is the one on record. Whoever asks for the paper needs this one.",
        "{record} está en inglés y es el que consta en el archivo. Quien le pida el documento necesita este.",
    ),
}
_PAGE = Pair(
    "Your page in plain words: what there is, what to watch for, who to call.",
    "Su página, en palabras sencillas: qué hay, a qué estar atento y a quién llamar.",
)
PAGE = {
    "certificate": _PAGE,
    "findings_report": _PAGE,
    "correction_list": Pair(
        "Your page with the same list in plain words: what must be mended, what to watch for, who to call.",
        "Su página con la misma lista, en palabras sencillas: qué hay que corregir, a qué estar atento y a"
        " quién llamar.",
    ),
}
PRIVATE = Pair(
    "Whoever has this link can read the page. Give it only to people who should read it.",
    "Quien tenga este enlace puede leer la página. Compártalo solo con quien deba leerla.",
)
ENDS = Pair("It opens until {date}.", "Abre hasta el {date}.")
WHAT_IT_IS = {
    "certificate": Pair(
        "The certificate says what the installer measured and wrote down, checked against the local code. It"
        " is not a permit and not an inspection. Local codes and the maker's manual come first.",
        "El certificado dice lo que el instalador midió y anotó, comparado con el código local. No es un"
        " permiso ni una inspección. Los códigos locales y el manual del fabricante son lo primero.",
    ),
    "findings_report": Pair(
        "The report says what was found on that day. It is not an installer's certificate, not a permit and"
        " not an inspection.",
        "El informe dice lo que se encontró ese día. No es un certificado del instalador, ni un permiso, ni"
        " una inspección.",
    ),
    "correction_list": Pair(
        "This is not a certificate. There can be none until the work is done and has been looked at again.",
        "Esto no es un certificado. No puede haber ninguno hasta que el trabajo esté hecho y se haya revisado"
        " de nuevo.",
    ),
}
ASK = Pair("Questions? Answer this mail.", "¿Preguntas? Conteste este correo.")
ASK_OR_CALL = Pair(
    "Questions? Answer this mail or call {phone}.", "¿Preguntas? Conteste este correo o llame al {phone}."
)
LICENCE = Pair("License {licence}", "Licencia {licence}")
TEST_SUBJECT = "Test from your water heater records"
TEST = (
    "This is a test. It came through the mail settings of {firm}, and papers can go out the same way.\n\n"
    "Nobody else got it."
)
