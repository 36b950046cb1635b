"""The words for a pass, and where they may stand all the same.

A check that meets may say so in its own line, and a check that fails may say what its limit was; what is no
certificate may say that it is none. Everywhere else, on whatever tells of a job with something failed, unanswered
or broken, none of these words may stand. `never_words` are those for which no job whatever is good enough.
"""

from __future__ import annotations

import html
import re

PASSING = re.compile(
    r"\b(?:meets|all meet|ready|certif\w+|nothing (?:to fix|to answer|is wrong|was found)|passed|passes inspection"
    r"|in order(?! (?:to|of|that))|compl(?:y|ies|ied|iant|iance)|conforms?|satisf(?:y|ies|ied|actory)|all good|no faults?"
    r"|(?<!\d )cumplen|cumple|cumplió|cumplimiento|certific\w+|nada (?:que|por) (?:corregir|arreglar|responder)|listos?|(?<!no )pasó|superó"
    r"|en (?:orden|regla)|conforme(?! (?:al?|con)\b)|satisfactori[oa]s?|todo bien|sin fallas)\b",
    re.IGNORECASE,
)
NEVER = re.compile(
    r"\b(?:safe|safely|guarante\w+|approved|segur[oa]s?|seguramente|garantiza\w*|aprobad[oa]s?)\b",
    re.I,
)
# Ignoring case costs three times a search in small letters, which these patterns are in themselves.
_PASSING_LOW, _NEVER_LOW = re.compile(PASSING.pattern), re.compile(NEVER.pattern.removeprefix(r"\b"))
AROUND = 300
"""More letters than what may stand has, around its word for a pass."""
NO_CERTIFICATE = re.compile(
    r"\b(?:not an?|no|never in an?|neither an?|neither|certifies nothing|no es un|no un|nunca en un|ni|ningún)"
    r"(?: installer's)?(?: certific\w+)|certifies nothing|no certifica nada",
    re.IGNORECASE,
)
STANDING = re.compile(
    # The head of a list of single checks, each told in its own line, as the English has it ("Checks that meet"):
    # without a number, it says nothing of the job.
    r"revisiones que cumplen\b"
    # One single check that meets, where a paper counts them by verdict.
    r"|(?:checks: |of good practice )1 meets\b|(?:revisiones: |de buena práctica )1 cumple\b"
    # The tally by verdict at the head of a review and of a job's strip.
    r"|\b1 meets (?=\d+ fix\b)|\b1 cumple (?=\d+ por (?:corregir|arreglar)\b)"
    # What the check page asks for stands above whatever was found.
    r"|from a certificate, correction list or findings report"
    r"|de un certificado, una lista de correcciones o un informe\b"
    # What a tank meets in the pipe; what no height and no size meets.
    r"|charge to the pressure the tank meets|no (?:height|size)(?: above the controls)? meets\b"
    r"|ning[uú]n[ao]? (?:altura|tamaño|medida)(?: sobre los controles| por encima de los controles)? cumple",
    re.IGNORECASE,
)
MAY_BE_SAID = re.compile(r"\bcertific\w+|passed on\b|\bgas leak test passed\b", re.IGNORECASE)
"""What a paper is called, what is done with it, and an answer: said of one that stands no more too."""
STANDS = re.compile(r"\b(?:nothing open|is what stands|is the current paper|nada pendiente)\b", re.IGNORECASE)
"""What is said of a paper that stands, and of no other."""
OWN_LINE = re.compile(
    r'<li class="short"><span class="verdict verdict-meets">.*?</li>'
    r'|<p class="met">.*?</p>'
    r'|<p class="c">.*?</p>',
    re.DOTALL,
)
"""One check that meets, in its line of the strip, under its field, or on paper."""
_SPOKEN = re.compile(r'\s(?:alt|aria-label|title|placeholder|content|data-foot)="([^"]*)"')
_HIDDEN = re.compile(r"<(script|style)\b.*?</\1>|<!--.*?-->", re.DOTALL)
_TAG = re.compile(r"<[^>]*>")


def text_of(page: str) -> str:
    """Everything of a page that is read or read out, its lines of single checks that meet left out."""
    page = OWN_LINE.sub(" ", _HIDDEN.sub(" ", page))
    said = " . ".join(_SPOKEN.findall(page))
    return " ".join(html.unescape(f"{_TAG.sub(' ', page)} . {said}").split())


def passing_words(text: str) -> list[str]:
    """The words for a pass in a text, each with what stands around it."""
    return [word for part in _parts(text) for word in whole_passing_words(part)]


def whole_passing_words(text: str) -> list[str]:
    """The same, by reading all of the text for what may stand: the measure, five times as slow."""
    for allowed in (STANDING, NO_CERTIFICATE):
        text = allowed.sub(" ", text)
    return [_around(text, found) for found in PASSING.finditer(text)]


def _parts(text: str) -> list[str]:
    """The parts of a text, cut at spaces, in which a word for a pass stands, with more around it than any phrase."""
    low = text.lower()
    if len(low) != len(text):
        return [text]
    spans: list[list[int]] = []
    for found in _PASSING_LOW.finditer(low):
        first, last = low.rfind(" ", 0, max(0, found.start() - AROUND)) + 1, low.find(" ", found.end() + AROUND)
        last = len(low) if last < 0 else last
        if spans and first <= spans[-1][1]:
            spans[-1][1] = last
        else:
            spans.append([first, last])
    return [text[first:last] for first, last in spans]


def fallen_words(text: str) -> list[str]:
    """The words for a pass in what tells of a void or replaced paper, each with what stands around it."""
    text = MAY_BE_SAID.sub(" ", text)
    return passing_words(text) + [_around(text, found) for found in STANDS.finditer(text)]


def never_words(text: str) -> list[str]:
    """The words that nothing here says of an installation, each with what stands around it."""
    return [_around(text, found) for found in NEVER.finditer(text)] if _NEVER_LOW.search(text.lower()) else []


def _around(text: str, found: re.Match[str]) -> str:
    return f"{found.group(0)!r} in ...{text[max(0, found.start() - 50) : found.end() + 50]}..."
