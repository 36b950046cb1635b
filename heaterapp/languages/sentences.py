"""A language's catalogue, and how a sentence that was built from a pattern is found in it again.

A report holds whole English sentences. Each was made by one check, of few patterns:
"Tap {0} F, set to {1} F.".
The sentence is laid against the patterns of its own check (laying.py), and the Spanish one is filled with the
same holes. What stands in a hole is a number, which goes over as it is, or words of ours, looked up in turn.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from functools import cached_property, lru_cache
from typing import Any, NamedTuple

from .laying import Laying, Never
from .patterns import RUN, Pattern, goes_over, over, runs, wordless

NOT_MEASURED = "Could not be measured. {0}."


class _Scope(NamedTuple):
    """The patterns of a scope, each by the longest run of letters in it.

    by_run  run -> the patterns, each with its place in the scope; those without a letter stand under ""
    cuts    what any of them may cut a word by
    """

    by_run: dict[str, list[tuple[int, Pattern]]]
    cuts: frozenset[str]


class Catalogue:
    """Texts of one language, and by scope the patterns of what checks and figures say.

    texts     English -> the language's own
    patterns  scope -> (English, the language's own) of each; a topic's and "common" serve its checks too
    """

    def __init__(self, texts: Mapping[str, str], patterns: Mapping[str, list[tuple[str, str]]]):
        self.texts = dict(texts)
        self.patterns = {scope: [(one, other) for one, other in pairs] for scope, pairs in patterns.items()}
        self._ready: dict[str, _Scope] = {}
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

    def laying(self, scopes: tuple[str, ...], text: str) -> Laying:
        """A text beside what of these scopes' patterns, and of all texts, can stand in it."""
        low = f" {text.lower()} "
        kept = [self._scope(one) for one in dict.fromkeys(scopes)]
        found = _cut(runs(low), frozenset[str]().union(*(of.cuts for of in kept)))
        ranked = [
            (-one.weight, rank, place, one)
            for rank, of in enumerate(kept)
            for run in ("", *(found & of.by_run.keys()))
            for place, one in of.by_run.get(run, ())
            if all(part in low for part in one.needles)
        ]
        patterns = list(dict.fromkeys(one[-1] for one in sorted(ranked)))
        pieces = [words for one in patterns for words in one.words]
        for run in found & self._texts_by_run.keys():
            pieces += [its for small, its in self._texts_by_run[run] if small in low]
        cuts = frozenset[str]().union(*(one.cuts for one in patterns))
        words = {run: run.lower() for run in RUN.findall(text) if not goes_over(run)}
        bound = {run: low for run, low in words.items() if not any(cut in low for cut in cuts)}
        can = (
            {run for one in pieces for run in one},
            {one[0] for one in pieces},
            {one[-1] for one in pieces},
        )
        never = Never(*({run for run, low in bound.items() if low not in some} for some in can))
        return Laying(self.texts, patterns, never)

    def _sentence(self, scope: str, text: str) -> str | None:
        if text.startswith("Could not be measured. "):
            return self._not_measured(text)
        core = text.strip(" ")
        said = over(core) if wordless(core) else self.texts.get(core)
        if said:
            at = text.index(core)
            return f"{text[:at]}{said}{text[at + len(core) :]}"
        topic = scope.partition(".")[0]
        # What a check says of a figure is the figure's own sentence; those are many, and seldom needed.
        for scopes in ((scope, topic, "common"), (scope, topic, "common", "figures")):
            found = self.laying(scopes, text).whole(text)
            if found is not None:
                return found
        return None

    def _scope(self, name: str) -> _Scope:
        if name not in self._ready:
            ready = [Pattern.of(*pair) for pair in self.patterns.get(name, ()) if pair[1]]
            by_run: dict[str, list[tuple[int, Pattern]]] = {}
            for place, one in enumerate(ready):
                longest = _longest([run for some in one.words for run in some])
                by_run.setdefault(longest, []).append((place, one))
            self._ready[name] = _Scope(by_run, frozenset[str]().union(*(one.cuts for one in ready)))
        return self._ready[name]

    @cached_property
    def _texts_by_run(self) -> dict[str, list[tuple[str, tuple[str, ...]]]]:
        """Every text, small, with its runs of letters, by the longest of them."""
        held: dict[str, list[tuple[str, tuple[str, ...]]]] = {}
        for text in self.texts:
            its = runs(text)
            held.setdefault(_longest(its), []).append((text.lower(), its))
        return held

    def _not_measured(self, text: str) -> str | None:
        """Questions by their labels, each with the reason that a person gave in their own words."""
        inner = text.removeprefix("Could not be measured. ").removesuffix(".")
        parts = []
        for one in inner.split("; "):
            label, colon, reason = one.partition(": ")
            parts.append(f"{self.texts[label]}: {reason}" if colon and label in self.texts else one)
        return dict(self.patterns.get("common", ())).get(NOT_MEASURED, NOT_MEASURED).format("; ".join(parts))


def _longest(words: Collection[str]) -> str:
    """What to find a text by: few texts have their longest word in common."""
    return max(words, key=len, default="")


def _cut(found: Collection[str], cuts: Collection[str]) -> set[str]:
    """Runs of letters, and what is left of each where a pattern's literal may cut it.

    >>> sorted(_cut({"straps", "tank"}, {"strap"}))
    ['s', 'strap', 'straps', 'tank']
    """
    whole, open_ = set(found), list(found)
    while open_:
        run = open_.pop()
        cutting = [cut for cut in cuts if cut in run]
        parts = {part for cut in cutting for part in (*run.partition(cut), *run.rpartition(cut)) if part}
        open_ += parts - whole
        whole |= parts
    return whole
