"""A language's catalogue, and how a sentence that was built from a pattern is found in it again.

A report holds whole English sentences. Each was made by one check, of few patterns:
"Tap {0} F, set to {1} F.".
The sentence is laid against the patterns of its own check, and the Spanish one is filled with the same holes.
What stands in a hole is a number, which goes over as it is, or words of ours, which are looked up in turn.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import lru_cache
from string import Formatter
from typing import Any, NamedTuple

MOST_TRIES = 20_000
"""Steps after which a sentence counts as matched by nothing; the longest of our own take some hundreds."""
NOT_MEASURED = "Could not be measured. {0}."
FREE = frozenset((
    "(Read in: {0}. Confirm in the adopted edition.)", "This check broke: {0}: {1}",
    "This figure broke: {0}: {1}", "“{0}”: {1} is expected. Kept as given.",
    "Permit {0}{1}.", ": {0}", "{0}, by which this is judged, is in force from {1}, after the work",
))  # fmt: skip
"""Patterns with a hole for names and numbers that are nobody's to translate: editions, permits, faults."""
UNITS = frozenset("in psi psia psig ft gal lb kW Btu Btu/h Btu/cu cu sq min cfm w.c. in. hr h mm x s".split())
"""Letters that are a unit or a sign: the same in both languages, as the trade in the US writes them."""
_WORD = re.compile(r"[^\W\d_]+(?:[./'-][^\W\d_]+)*\.?")
_BETWEEN = re.compile(r"(?<=[\d%]) (to|and|or) (?=[\d-])")
_AMONG_NUMBERS = {"to": " a ", "and": " y ", "or": " o "}
_STOPS = re.compile(r"[.;:,?](?= )| (?=\()|(?=[;,] )|(?<=\)) (?=x )")
_APART = re.compile(r"(?:[;:]|(?<!\bin)\.) ")
_EDGES = re.compile(r"(?=[ ,;:.(])|\Z")


@lru_cache(maxsize=20_000)
def wordless(text: str) -> bool:
    """Whether a text holds numbers, units and signs alone, which every language of ours writes alike.

    >>> wordless("14 3/8 in"), wordless("34 to 37 1/4"), wordless("NEC 240.6(A)"), wordless("no pan")
    (True, True, True, False)
    """
    return all(
        len(word) == 1 or word.rstrip(".") in UNITS or word in UNITS or word.isupper()
        for word in _WORD.findall(_BETWEEN.sub(" ", text))
    )


class Pattern(NamedTuple):
    """A sentence with numbered holes: the literal text around them, and how the language says it."""

    literals: tuple[str, ...]
    holes: tuple[int, ...]
    says: str
    free: bool
    needles: tuple[str, ...]

    @classmethod
    def of(cls, text: str, says: str) -> Pattern:
        """Read a pattern; `says` names the same holes in any order."""
        parts = list(Formatter().parse(text))
        literals = [part[0] for part in parts]
        holes = tuple(int(part[1]) for part in parts if part[1])
        if len(literals) == len(holes):
            literals.append("")
        needles = tuple(dict.fromkeys(one.lower() for one in literals if one))
        return cls(tuple(literals), holes, says, text in FREE, needles)

    @property
    def open_end(self) -> bool:
        """It ends in a hole behind a space."""
        return not self.literals[-1] and self.literals[-2].endswith(" ")

    @property
    def open_start(self) -> bool:
        """It begins with a hole before a space."""
        return not self.literals[0] and self.literals[1].startswith(" ")

    @property
    def weight(self) -> int:
        """How much of it is literal: the more, the surer a match."""
        return sum(map(len, self.literals))


def has_holes(text: str) -> bool:
    """Whether a text is a pattern."""
    return re.search(r"\{\d+\}", text) is not None


class Catalogue:
    """Texts of one language, and by scope the patterns of what checks and figures say.

    texts     English -> the language's own
    patterns  scope -> (English, the language's own) of each; a topic's and "common" serve its checks too
    """

    def __init__(self, texts: Mapping[str, str], patterns: Mapping[str, list[tuple[str, str]]]):
        self.texts = dict(texts)
        self.patterns = {scope: [(one, other) for one, other in pairs] for scope, pairs in patterns.items()}
        self._ready: dict[tuple[str, ...], tuple[Pattern, ...]] = {}
        self.sentence = lru_cache(maxsize=20_000)(self._sentence)

    def as_json(self) -> dict[str, Any]:
        """The catalogue as plain data, for the phone."""
        return {"texts": self.texts, "patterns": self.patterns}

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> Catalogue:
        """Read `as_json` back."""
        return cls(data["texts"], data["patterns"])

    def text(self, text: str) -> str:
        """A text in this language; as it is where it is not held."""
        return self.texts.get(text) or text

    def _sentence(self, scope: str, text: str) -> str | None:
        if text.startswith("Could not be measured. "):
            return self._not_measured(text)
        topic = scope.partition(".")[0]
        # What a check says of a figure is the figure's own sentence; those are many, and seldom needed.
        for scopes in ((scope, topic, "common"), (scope, topic, "common", "figures")):
            found = _Reading(self, self._of(scopes), text).whole(text)
            if found is not None:
                return found
        return None

    def _of(self, scopes: tuple[str, ...]) -> tuple[Pattern, ...]:
        if scopes not in self._ready:
            pairs = [pair for one in dict.fromkeys(scopes) for pair in self.patterns.get(one, ())]
            ready = {Pattern.of(*pair): None for pair in pairs if pair[1]}
            self._ready[scopes] = tuple(sorted(ready, key=lambda one: -one.weight))
        return self._ready[scopes]

    def _not_measured(self, text: str) -> str | None:
        """Questions by their labels, each with the reason that a person gave in their own words."""
        inner = text.removeprefix("Could not be measured. ").removesuffix(".")
        parts = []
        for one in inner.split("; "):
            label, colon, reason = one.partition(": ")
            parts.append(f"{self.texts[label]}: {reason}" if colon and label in self.texts else one)
        return dict(self.patterns.get("common", ())).get(NOT_MEASURED, NOT_MEASURED).format("; ".join(parts))


class _Reading:
    """One sentence laid against patterns; what was tried is remembered."""

    def __init__(self, known: Catalogue, patterns: tuple[Pattern, ...], text: str):
        self._texts = known.texts
        self._seen: dict[str, str | None] = {}
        self._tries = 0
        low = f" {text.lower()} "
        self._patterns = [one for one in patterns if all(part in low for part in one.needles)]

    def whole(self, text: str) -> str | None:
        """A text in the language, or None where some of its words are matched by nothing."""
        core = text.strip(" ")
        if not core:
            return text
        if core not in self._seen:
            self._seen[core] = None
            self._seen[core] = self._found(core)
        said = self._seen[core]
        at = text.index(core)
        return None if said is None else f"{text[:at]}{said}{text[at + len(core) :]}"

    def _found(self, core: str) -> str | None:
        self._tries += 1
        if self._tries > MOST_TRIES:
            return None
        if wordless(core):
            return _BETWEEN.sub(lambda one: _AMONG_NUMBERS[one[1]], core)
        for said in (self._texts.get(core), self._by_pattern(core), self._turned(core), self._split(core)):
            if said:
                return said
        return None

    def _turned(self, core: str) -> str | None:
        """The same with its first letter small or large, or without its full stop."""
        if core.endswith("."):
            said = self.whole(core[:-1])
            if said is not None:
                return f"{said}."
        if core[0].isupper() and not core[1:2].isupper():
            small = core[0].lower() + core[1:]
            said = self._texts.get(small) or self._by_pattern(small)
            return said[:1].upper() + said[1:] if said else None
        said = self._texts.get(core[0].upper() + core[1:])
        return said[:1].lower() + said[1:] if said else None

    def _by_pattern(self, core: str) -> str | None:
        for one in self._patterns:
            # An empty hole at an end has left its space behind with it.
            for text in (
                (core, f"{core} ") if one.open_end else (core, f" {core}") if one.open_start else (core,)
            ):
                values = self._values(text, one)
                if values is not None:
                    named = dict(zip(one.holes, values, strict=True))
                    return one.says.format(*(named.get(hole, "") for hole in range(max(named) + 1))).strip(
                        " "
                    )
        return None

    def _values(self, core: str, one: Pattern) -> list[str] | None:
        if not core.startswith(one.literals[0]) or not core.endswith(one.literals[-1]):
            return None
        if not all(part in core for part in one.literals):
            return None
        for free in (False, True) if one.free else (False,):
            values = self._fit(core, one, 0, len(one.literals[0]), free)
            if values is not None:
                return values
        return None

    def _fit(self, core: str, pattern: Pattern, hole: int, start: int, free: bool) -> list[str] | None:
        """What stands in this hole and those after it, in the language; None where it does not fit."""
        last = hole + 1 == len(pattern.holes)
        for end in self._ends(core, pattern.literals[hole + 1], start, last):
            inner = core[start:end]
            said = "" if not inner else None if inner == core else self._inner(inner)
            if said is None and free:
                said = inner
            if said is None:
                continue
            if last:
                return [said]
            rest = self._fit(core, pattern, hole + 1, end + len(pattern.literals[hole + 1]), free)
            if rest is not None:
                return [said, *rest]
        return None

    def _inner(self, text: str) -> str | None:
        """What stands in a hole; numbers with a stop between them are two holes' and not one's."""
        return None if _APART.search(text) and wordless(text) else self.whole(text)

    @staticmethod
    def _ends(core: str, literal: str, start: int, last: bool) -> Iterator[int]:
        """Where a hole may end: before the next literal, or at a word's edge where another hole follows."""
        if last:
            end = len(core) - len(literal)
            if end >= start and core.endswith(literal):
                yield end
        elif literal:
            at = core.find(literal, start)
            while at >= 0:
                yield at
                at = core.find(literal, at + 1)
        else:
            yield from (one.start() for one in _EDGES.finditer(core, start))

    def _split(self, core: str) -> str | None:
        """Two texts one after the other, each by itself: sentences, items of a list, a tail after a comma."""
        for at in sorted({one.start() for one in _STOPS.finditer(core)}, reverse=True):
            for left, between, right in (
                (core[: at + 1], "", core[at + 1 :]),
                (core[:at], core[at : at + 1], core[at + 1 :]),
                (core[:at], "", core[at:]),
            ):
                if not left.strip() or not right.strip():
                    continue
                first = self.whole(left)
                second = self.whole(right) if first is not None else None
                if first is not None and second is not None:
                    return f"{first}{between}{second}"
        return None
