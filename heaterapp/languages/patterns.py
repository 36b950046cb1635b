"""A sentence with numbered holes, read once; and what of a text are words that have to be translated."""

from __future__ import annotations

import re
from functools import lru_cache
from string import Formatter
from typing import NamedTuple

FREE = frozenset((
    "(Read in: {0}. Confirm in the adopted edition.)", "This check broke: {0}: {1}",
    "This figure broke: {0}: {1}", "“{0}”: {1} is expected. Kept as given.",
    "Permit {0}{1}.", ": {0}", "{0}, by which this is judged, is in force from {1}, after the work",
))  # fmt: skip
"""Patterns with a hole for names and numbers that are nobody's to translate: editions, permits, faults."""
_HOLE = re.compile(r"\\\{\d\\\}")
TYPED = tuple(
    re.compile(_HOLE.sub("(.*)", re.escape(one))) for one in sorted(FREE) if not one.startswith(": ")
)
"""The same as they are found in a sentence: what their holes hold was typed by somebody."""
UNITS = frozenset(
    "in psi psia psig ft ga gal lb kW Btu Btu/h Btu/cu cu sq min cfm w.c. in. hr h mm x s".split()
)
"""Letters that are a unit or a sign: the same in both languages, as the trade in the US writes them."""
AS_PRINTED = UNITS | {"Table"}
"""What stays as it is in a code: a section keeps the words that it is printed with."""
_WORD = re.compile(r"[^\W\d_]+(?:[./'-][^\W\d_]+)*\.?")
_JOINS = re.compile(r"(?<!\w)(?:[Aa]|[Dd]e) \Z")
_BETWEEN = re.compile(r"(?<=[\d%]) (to|and|or) (?=[\d-])")
_AMONG_NUMBERS = {"to": " a ", "and": " y ", "or": " o "}
RUN = re.compile(r"[^\W\d_]+")
"""Letters without a break: no text and no literal of a pattern is cut within one, but for `Pattern.cuts`."""
_ANYWHERE = frozenset(_AMONG_NUMBERS) | {run.lower() for unit in AS_PRINTED for run in RUN.findall(unit)}


@lru_cache(maxsize=20_000)
def wordless(text: str) -> bool:
    """Whether a text holds numbers, units and signs alone, which every language of ours writes alike.

    >>> wordless("14 3/8 in"), wordless("34 to 37 1/4"), wordless("NEC 240.6(A)"), wordless("no pan")
    (True, True, True, False)
    """
    return all(
        len(word) == 1 or word.rstrip(".") in UNITS or word in AS_PRINTED or word.isupper()
        for word in _WORD.findall(_BETWEEN.sub(" ", text))
    )


def over(text: str) -> str:
    """A wordless text in Spanish: as it is, but for what stands between two numbers.

    >>> over("34 to 37 1/4 in")
    '34 a 37 1/4 in'
    """
    return _BETWEEN.sub(lambda one: _AMONG_NUMBERS[one[1]], text)


def put_in(text: str, *values: object, **named: object) -> str:
    """A Spanish text with its holes filled: "a" and "de" before "el" are one word with it.

    >>> put_in("a {0}", "el techo"), put_in("De {where}.", where="el sur"), put_in("a {0}", "El Paso")
    ('al techo', 'Del sur.', 'a El Paso')
    """
    if not any(isinstance(value, str) and value.startswith("el ") for value in (*values, *named.values())):
        return text.format(*values, **named)
    said = ""
    for literal, hole, spec, _ in Formatter().parse(text):
        said += literal
        value = "" if hole is None else f"{{{hole}:{spec}}}".format(*values, **named)
        if value.startswith("el ") and _JOINS.search(said):
            said, value = f"{said[:-1]}l", value.removeprefix("el")
        said += value
    return said


def typed_in(text: str) -> tuple[str, ...]:
    """What somebody typed of a sentence that a report holds in English, the longest first.

    >>> typed_in("Permit issued: BP 2^2."), typed_in("Tap 120 F.")
    (('issued: BP 2^2', 'BP 2^2'), ())
    """
    held = {part for one in TYPED if (found := one.search(text)) for part in found.groups() if part}
    held |= {part.partition(": ")[2] for part in held}
    return tuple(sorted(held - {""}, key=lambda part: (-len(part), part)))


def runs(text: str) -> tuple[str, ...]:
    """The runs of letters of a text, small, in their order.

    >>> runs("Tank needs 3.2 gal; this one is 2")
    ('tank', 'needs', 'gal', 'this', 'one', 'is')
    """
    return tuple(RUN.findall(text.lower()))


def goes_over(run: str) -> bool:
    """Whether a run of letters may stand in what is wordless: one letter, a unit, a sign in capitals."""
    return len(run) == 1 or run.lower() in _ANYWHERE or run == run.upper()


def has_holes(text: str) -> bool:
    """Whether a text is a pattern."""
    return re.search(r"\{\d+\}", text) is not None


class Pattern(NamedTuple):
    """A sentence with numbered holes: the literal text around them, and how the language says it.

    needles     its literals, small: a text without one of them is no match
    words       the runs of letters in each of them
    cuts        runs of letters at the edge of a literal, where the hole beside it may go on within the word
    open_end    it ends in a hole behind a space
    open_start  it begins with a hole before a space
    weight      how much of it is literal: the more, the surer a match
    """

    literals: tuple[str, ...]
    holes: tuple[int, ...]
    says: str
    free: bool
    needles: tuple[str, ...]
    words: tuple[tuple[str, ...], ...]
    cuts: frozenset[str]
    open_end: bool
    open_start: bool
    weight: int

    @classmethod
    def of(cls, text: str, says: str) -> Pattern:
        """Read a pattern; `says` names the same holes in any order."""
        parts = list(Formatter().parse(text))
        literals = [part[0] for part in parts]
        holes = tuple(int(part[1]) for part in parts if part[1])
        if len(literals) == len(holes):
            literals.append("")
        small = [one.lower() for one in literals]
        cuts = {RUN.findall(one)[-1] for one in small[:-1] if RUN.search(one[-1:])}
        cuts |= {RUN.findall(one)[0] for one in small[1:] if RUN.search(one[:1])}
        return cls(
            tuple(literals),
            holes,
            says,
            text in FREE,
            tuple(dict.fromkeys(one for one in small if one)),
            tuple(found for one in small if (found := runs(one))),
            frozenset(cuts),
            not literals[-1] and literals[-2].endswith(" "),
            not literals[0] and literals[1].startswith(" "),
            sum(map(len, literals)),
        )

    def filled(self, values: list[str]) -> str:
        """What the language says with these values in the holes, in their order in the English text."""
        named = dict(zip(self.holes, values, strict=True))
        return put_in(self.says, *(named.get(hole, "") for hole in range(max(named) + 1))).strip(" ")
