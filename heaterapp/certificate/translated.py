"""A paper in another language, or one that no longer stands marked so: laid out anew and never stored.

The English one as it was issued is on record. Numbers, drawings and the record's own number, code and hash
are those of the record. What nobody translated stands in English, marked so. Such a paper is made when it is
asked for, so it says what has become of the one on record since.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from heaterapp.firm_clock import day_words
from heaterapp.languages import LANGUAGES, SOURCE, speaking

from . import wording
from .filed import NAMES, Filed, identifier
from .paper import Paper
from .saying import own

SAYS = (
    "Translation. The paper on record is {number} in English; the number, code and SHA-256 printed here are"
    " its own."
)
COPY = (
    "Copy made on request. The paper on record is {number}; the number, code and SHA-256 printed here are its"
    " own."
)
VOID = {
    "": "{number} is void since {day}. Do not rely on this paper.",
    "certificate": (
        "{number} is void since {day}; {other} is the paper that stands. Do not rely on this paper."
    ),
    "correction_list": (
        "{number} is void since {day}; the newest paper is {other}, a list of what is to be put right. Do not"
        " rely on this paper."
    ),
    "findings_report": (
        "{number} is void since {day}; the newest paper is {other}, a report of what was found. Do not rely"
        " on this paper."
    ),
}
REPLACED = {
    "": "{number} was replaced, and no newer paper stands. Do not rely on this paper.",
    "certificate": "{number} was replaced; {other} is the paper that stands. Do not rely on this paper.",
    "correction_list": (
        "{number} was replaced; the newest paper is {other}, a list of what is to be put right. Do not rely"
        " on this paper."
    ),
    "findings_report": (
        "{number} was replaced; the newest paper is {other}, a report of what was found. Do not rely on this"
        " paper."
    ),
}
"""Said of a void and of a replaced paper, by the kind of the one that stands now; "" where none does."""
FEET = {"void": "VOID. {paper}", "replaced": "REPLACED. {paper}"}
"""At the foot of every page of a paper that stands no more."""


@dataclass(frozen=True, slots=True)
class Translated:
    """What a translation is made of."""

    filed: Filed
    language: str
    standing: str = "current"
    """What has become of the paper: `current`, `replaced` or `void`."""
    other: str = ""
    """The number of the paper of its job that stands now."""
    kind: str = "certificate"
    """That paper's kind; read only where there is one."""
    since: str = ""
    """ISO date on which it became void."""
    hazard_stands: bool = False
    """Whether the paper of its job that stands now has a hazard."""

    def __post_init__(self) -> None:
        current = {SOURCE} if self.standing == "current" else set()
        if self.language not in LANGUAGES.keys() - current:
            # What stands is had in English as it was issued.
            others = ", ".join(sorted(LANGUAGES.keys() - current))
            raise ValueError(f"language: expected one of {others}, not {self.language!r}")

    @property
    def name(self) -> str:
        """What its file is called, beside the names of the stored ones."""
        return f"{NAMES[self.filed.kind]}-{self.language}.pdf"


def pressed(given: Translated) -> dict[str, bytes]:
    """Make the translation or the marked copy in this process, an archival file under its name.

    returns  the same bytes for the same record, language and standing in any process
    raises   NotReady as `paper_of`
    """
    from .press import press_translated

    return {given.name: press_translated(translated_paper(given), given.filed, given.name)}


def identifiers(kind: str, content_digest: str, number: str, revision: int) -> list[str]:
    """Return what names a record's translations and marked copy to readers of PDF, whatever became of it."""
    names = [f"{NAMES[kind]}-{language}.pdf" for language in LANGUAGES]
    return [identifier(content_digest, number, revision, name).decode() for name in names]


def translated_paper(given: Translated) -> Paper:
    """Return a record's paper as it is said in the language. Raises NotReady as `paper_of`."""
    from .content import paper_of

    filed = given.filed
    with speaking(given.language):
        paper: Paper = paper_of(filed)
        now = given.kind if given.other else ""
        said = {"void": VOID[now], "replaced": REPLACED[now]}
        named = {"number": filed.number, "other": given.other, "day": day_words(given.since)}
        became = own(said.get(given.standing, ""), **named)
        if given.language == SOURCE:
            footer, says = f"Copy: {paper.footer}", COPY.format(number=filed.number)
        else:
            footer = own("Translation: {paper}", paper=paper.footer)
            says = own(SAYS, number=filed.number)
        footer = marked_foot(footer, given.standing)
        stop = own(wording.STOP) if given.hazard_stands else paper.stop
    face = " ".join(filter(None, (became, paper.face)))
    return replace(paper, translation=says, face=face, footer=footer, stop=stop)


def marked_foot(foot: str, standing: str) -> str:
    """Return what stands at the foot of every page: before all, that a paper is void or was replaced.

    standing  `current`, `replaced` or `void`
    """
    return own(FEET[standing], paper=foot) if standing in FEET else foot
