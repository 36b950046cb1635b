"""One sentence laid against patterns and texts: every way to take it apart, none of it tried twice.

Most ways end at a word that nothing of ours holds, or begins or ends with. Such words are known before
anything is tried: of the texts only those count that stand in the sentence, of the patterns those whose every
literal does.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from typing import NamedTuple

from .patterns import RUN, Pattern, over, wordless

MOST_TRIES = 20_000
"""Steps after which a sentence counts as matched by nothing; the longest of our own take some hundreds."""
_STOPS = re.compile(r"[.;:,?](?= )| (?=\()|(?=[;,] )|(?<=\)) (?=x )")
_APART = re.compile(r"(?:[;:]|(?<!\bin)\.) ")
_EDGES = re.compile(r"(?=[ ,;:.(])|\Z")


class Never(NamedTuple):
    """Runs of letters, as they stand in a sentence, that only a free hole can hold, or begin or end with."""

    held: Collection[str] = ()
    first: Collection[str] = ()
    last: Collection[str] = ()


class Laying:
    """One sentence and what may stand in it; what was tried is remembered.

    texts     English -> the language's own
    patterns  those whose literals stand in the sentence, the surest first
    never     what need not be tried
    """

    def __init__(self, texts: Mapping[str, str], patterns: Sequence[Pattern], never: Never):
        self._texts = texts
        self.patterns = patterns
        self._never = never
        self._free = [one.needles for one in patterns if one.free]
        self._seen: dict[str, str | None] = {}
        self.tries = 0

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
        if self._hopeless(core):
            return None
        self.tries += 1
        if self.tries > MOST_TRIES:
            return None
        if wordless(core):
            return over(core)
        said = self._texts.get(core) or self._by_pattern(core)
        return said or self._turned(core) or self._split(core) or None

    def _hopeless(self, core: str) -> bool:
        """A word of it can be held by nothing there, and no free hole is there for it."""
        found, never = RUN.findall(core), self._never
        if not found or not (
            found[0] in never.first or found[-1] in never.last or any(run in never.held for run in found)
        ):
            return False
        low = f" {core.lower()} "
        return not any(all(one in low for one in needles) for needles in self._free)

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
        for one in self.patterns:
            # An empty hole at an end has left its space behind with it.
            spaced = f"{core} " if one.open_end else f" {core}" if one.open_start else ""
            for text in (core, spaced) if spaced else (core,):
                values = self._values(text, one)
                if values is not None:
                    return one.filled(values)
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
