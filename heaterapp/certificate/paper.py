"""A paper as plain data: strings ready to be set, and the photos printed. Templates see nothing else."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup


@dataclass(frozen=True, slots=True)
class Field:
    """A label and what stands under it, a line each."""

    label: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Key:
    """A number the job turns on, set large."""

    label: str
    value: str
    unit: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class Working:
    """A figure with its formula and the numbers put in; the unit brings the space before it."""

    label: str
    value: str
    unit: str
    formula: str
    worked: str
    says: str
    source: str

    @property
    def worded(self) -> bool:
        """Whether words stand in place of its number."""
        return not (self.value or self.worked) and bool(self.says)


Caution = tuple[str, str]
"""What to do, first, and the rest of it."""


@dataclass(frozen=True, slots=True)
class Check:
    """One finding: verdict, what was found, the limit, where the limit stands."""

    verdict: str
    word: str
    mark: Markup
    title: str
    found: str
    limit: str
    cite: str
    why: str = ""
    fix: str = ""
    accepted: str = ""
    name: str = ""
    wide: bool = False
    bound: str = "limit"
    advice: bool = False
    """Of good practice, and not of a code."""
    cautions: tuple[Caution, ...] = ()


@dataclass(frozen=True, slots=True)
class Topic:
    """The findings of one topic that meet, below the cautions that belong to it."""

    title: str
    checks: tuple[Check, ...]
    cautions: tuple[Caution, ...] = ()


@dataclass(frozen=True, slots=True)
class Drawing:
    """A drawing and its numbers in sentences; `share` is its height over its width.

    spare  whether it is left out rather than take a page more
    """

    svg: Markup
    sentences: tuple[str, ...]
    share: float = 0.5
    spare: bool = False


@dataclass(frozen=True, slots=True)
class Signature:
    """Who signed what, when and how.

    statement    word for word, in the language that was signed
    ink          empty for a typed one
    translation  of a statement in another language than the paper's, named as such
    """

    name: str
    role: str
    statement: str
    how: str
    ink: Markup
    translation: str = ""

    def words(self, tight: bool) -> tuple[str, str]:
        """What was signed, and what stands below it in small type; on a full paper a translation alone.

        tight  whether the paper has no room to repeat what stands on the one on record
        """
        if not self.translation:
            return self.statement, self.how
        if tight:
            return self.translation, self.how
        return self.statement, f"{self.translation} {self.how}"


@dataclass(frozen=True, slots=True)
class Photo:
    """A photo as it is printed: JPEG bytes under a name of ours, the place it takes, what stands under it."""

    name: str
    body: bytes
    place: str
    label: str
    note: str
    said: str


@dataclass(frozen=True, slots=True)
class Row:
    """Photos side by side, and the height they have."""

    room: str
    photos: tuple[Photo, ...]


@dataclass(frozen=True, slots=True)
class PhotoPage:
    """The photos of one page."""

    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class Paper:
    """One whole paper."""

    kind: str
    language: str
    title: str
    face: str
    number: str
    revision: str
    replaces: str
    issued: str
    issued_iso: str
    page_size: str
    contractor: str
    contractor_lines: tuple[str, ...]
    parties: tuple[Field, ...]
    codes: tuple[str, ...]
    records: str
    limits: str
    stop: str
    hazard: str
    """What was found that is dangerous, what was done about it, who was told and when; or nothing."""
    keys: tuple[Key, ...]
    fixes: tuple[Check, ...]
    unanswered: tuple[Check, ...]
    opens: tuple[Check, ...]
    excepted: tuple[Check, ...]
    """What the authority accepted as it is."""
    advice: tuple[Check, ...]
    met: tuple[Topic, ...]
    met_counts: str
    """How many that is: by the codes, by makers, agencies and the trade, and of good practice."""
    not_answered: tuple[tuple[str, str], ...]
    """Good practice that nobody answered: topic, and the short names of its checks."""
    not_answered_mark: Markup
    not_here: tuple[tuple[str, str], ...]
    not_here_mark: Markup
    not_here_word: str
    silent: tuple[Check, ...]
    figures: tuple[Working, ...]
    drawings: tuple[Drawing, ...]
    assumed: tuple[str, ...]
    usual: tuple[str, ...]
    flags: tuple[str, ...]
    sureness: tuple[str, ...]
    cautions: tuple[Caution, ...]
    """Those that belong to nothing on the paper."""
    signatures: tuple[Signature, ...]
    photo_pages: tuple[PhotoPage, ...]
    logo: Photo | None
    photos_kept: str
    counts: str
    check_code: str
    check_address: str
    square: Markup
    content_digest: str
    previous_head: str
    ruleset: str
    footer: str
    translation: str = ""
    """On a translation or a copy: that it is one, and which paper is on record."""

    @property
    def every_caution(self) -> tuple[Caution, ...]:
        """All cautions of the paper, wherever they stand on it."""
        items, topics = (*self.fixes, *self.opens, *self.excepted), self.met
        return (*(said for one in (*items, *topics) for said in one.cautions), *self.cautions)
