"""A job: the answers given so far, read and checked against the questions.

Stored answers outlive every version of this program, so the canonical form is
plain JSON: numbers as decimal strings, words as settled in the vocabulary.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from decimal import Decimal
from functools import lru_cache
from typing import Any

from .amendments import read_amendments
from .question import UNDONE, Question
from .questions import CATALOGUE
from .reading import BadAnswer, one_of, read_answer, read_day, read_words
from .units import bare, plain
from .when import NOT_ASKED, When

SPECIAL = ("accepted_as_usual", "acceptances", "amendments")

_CHECK_NAME = re.compile(r"[a-z_]+\.[a-z_0-9]+\Z")

_KEPT_KINDS = frozenset({"number", "yes_no", "choice"})
_NO_RESULT = UNDONE | {"unknown"}


@lru_cache(maxsize=5000)
def _read_again(name: str, value: str | int) -> Any:
    # The same number or choice is read with every page of a job; a person's own words are never kept.
    return read_answer(CATALOGUE[name], value)


DEFAULTS: dict[str, Any] = {
    q.name: read_answer(q, q.default) for q in CATALOGUE.values() if q.default is not None
}


class _Looked(dict[str, Any]):
    """Questions as conditions see them, each worked when it is first looked at.

    A job does not change once it is read, and hundreds of conditions look at the same few answers.
    """

    def __init__(self, values: Mapping[str, Any], state: Mapping[str, str]) -> None:
        super().__init__()
        self._values, self._state = values, state
        self.held: dict[When, bool | None] = {}

    def __missing__(self, name: str) -> Any:
        value = self[name] = self._worked(CATALOGUE[name])
        return value

    def _worked(self, question: Question) -> Any:
        if question.when.names and self._holds(question.when) is False:
            return NOT_ASKED
        state = self._state.get(question.name)
        if state == "not_here" and self._holds(question.absent):
            return NOT_ASKED
        if state is not None:
            return None
        if question.name in self._values:
            return self._values[question.name]
        return DEFAULTS.get(question.name)

    def _holds(self, when: When) -> bool | None:
        if when not in self.held:
            self.held[when] = when.holds(self.__getitem__)
        return self.held[when]


class Job:
    """The answers of one job, read once.

    values    key -> value, for what was answered
    state     key -> "unknown", "could_not_measure" or "not_here", for what was said instead
    reasons   key -> why it could not be measured
    """

    def __init__(self, answers: Mapping[str, Any]) -> None:
        if not isinstance(answers, Mapping):
            raise BadAnswer("job", "one JSON object of answers")
        self.values: dict[str, Any] = {}
        self.state: dict[str, str] = {}
        self.reasons: dict[str, str] = {}
        self.acceptances = _acceptances(answers.get("acceptances"))
        self.accepted_as_usual = _usual(answers.get("accepted_as_usual"))
        self.amendments = read_amendments(answers.get("amendments"))
        for key, value in answers.items():
            if key in SPECIAL or value is None or value == "":
                continue
            question = CATALOGUE.get(key) if isinstance(key, str) else None
            if question is None:
                raise BadAnswer(str(key)[:60], "the name of a question (see `schema`)")
            self._take(question, value)
        self.assumed = {
            name: CATALOGUE[name].default
            for name in DEFAULTS
            if name not in self.values and name not in self.state
        }
        _refuse_impossible(self.values)
        self._looked = _Looked(self.values, self.state)

    def _take(self, question: Question, value: Any) -> None:
        name = question.name
        if isinstance(value, dict):
            if set(value) != {"could_not_measure"}:
                raise BadAnswer(name, 'an answer, or {"could_not_measure": "why"}')
            reason = read_words(name, value["could_not_measure"])
            if not reason:
                raise BadAnswer(name, "a reason why it could not be measured")
            self.state[name], self.reasons[name] = "could_not_measure", reason
        elif value == "not_here" and "not_here" not in question.choices:
            if question.is_test:
                wanted = "a test's result: one of " + ", ".join(question.choices)
                raise BadAnswer(name, wanted, f"a test's result, {one_of(question.choices.values())}")
            if question.kind == "yes_no":
                self.values[name] = "no"
            elif "none" in question.choices:
                self.values[name] = "none"
            else:
                self.state[name] = "not_here"
        else:
            kept = type(value) in (str, int) and question.kind in _KEPT_KINDS
            read = _read_again(name, value) if kept else read_answer(question, value)
            if isinstance(read, str) and read in _NO_RESULT:
                self.state[name] = "unknown"
            self.values[name] = read

    def look(self, name: str) -> Any:
        """The value for a condition: None when open, NOT_ASKED when this job does not ask it."""
        return self._looked[name]

    def seen(self, names: Iterable[str]) -> tuple[dict[str, Any], dict[When, bool | None]]:
        """These questions as `look` has them, and what the conditions said under which they are asked."""
        seen = {name: self._looked[name] for name in names}
        return seen, self._looked.held

    def canonical(self) -> dict[str, Any]:
        """The answers as they are stored: plain JSON, numbers as decimal strings, sorted keys."""
        kept: dict[str, Any] = {}
        for name, value in self.values.items():
            if isinstance(value, Decimal):
                kept[name] = bare(value, 28)
            elif isinstance(value, tuple) and value and isinstance(value[0], tuple):
                kept[name] = [{"btuh": bare(b, 28), "in": bare(i, 28)} for i, b in value]
            elif isinstance(value, tuple):
                kept[name] = [bare(v, 28) for v in value]
            else:
                kept[name] = value
        for name, state in self.state.items():
            if state == "could_not_measure":
                kept[name] = {"could_not_measure": self.reasons[name]}
            elif state == "not_here":
                kept[name] = "not_here"
        if self.accepted_as_usual:
            kept["accepted_as_usual"] = sorted(self.accepted_as_usual)
        if self.acceptances:
            kept["acceptances"] = self.acceptances
        if self.amendments:
            kept["amendments"] = self.amendments
        return dict(sorted(kept.items()))


ACCEPTED_AS = ("verdict", "found", "of")
"""What an acceptance was given for; it lapses when the finding is another."""


def _acceptances(given: Any) -> dict[str, dict[str, str]]:
    wanted = '{"topic.check": {"by": ..., "on": "YYYY-MM-DD", "why": ...}}'
    if given is None:
        return {}
    if not isinstance(given, dict) or len(given) > 200:
        raise BadAnswer("acceptances", wanted)
    kept = {}
    for check, one in sorted(given.items(), key=lambda item: str(item[0])):
        if not isinstance(check, str) or not _CHECK_NAME.match(check) or not isinstance(one, dict):
            raise BadAnswer("acceptances", wanted)
        known = (k for k in one if k in ("by", "on", "why", *ACCEPTED_AS))
        said = {k: read_words("acceptances", one[k]) for k in known}
        if len(said) < len(one) or not all(said.get(k) for k in ("by", "on", "why")):
            raise BadAnswer("acceptances", wanted)
        read_day("acceptances", one["on"], wanted)
        kept[check] = said
    return kept


def _usual(given: Any) -> tuple[str, ...]:
    if given is None:
        return ()
    if not isinstance(given, list) or not all(isinstance(k, str) and k in CATALOGUE for k in given):
        raise BadAnswer("accepted_as_usual", "a list of question names")
    for key in given:
        if CATALOGUE[key].measured:
            raise BadAnswer(
                "accepted_as_usual", f"no {key}: that one is measured at the job, never taken as usual"
            )
    return tuple(sorted(set(given)))


def _refuse_impossible(values: Mapping[str, Any]) -> None:
    base = values.get("tank_base_in", DEFAULTS["tank_base_in"])
    straps = values.get("strap_heights_in")
    if isinstance(base, Decimal):
        if straps and straps[0] < base:
            raise BadAnswer(
                "strap_heights_in", f"heights from the floor, none below tank_base_in ({plain(base)} in)"
            )
        for key in ("controls_top_in", "controls_bottom_in"):
            if isinstance(values.get(key), Decimal) and values[key] < base:
                raise BadAnswer(key, f"a height from the floor, not below tank_base_in ({plain(base)} in)")
    top, bottom = values.get("controls_top_in"), values.get("controls_bottom_in")
    if isinstance(top, Decimal) and isinstance(bottom, Decimal) and bottom > top:
        raise BadAnswer("controls_bottom_in", f"a height not above controls_top_in ({plain(top)} in)")
    tank, takes = values.get("expansion_tank_gal"), values.get("expansion_acceptance_gal")
    if isinstance(tank, Decimal) and isinstance(takes, Decimal) and takes > tank:
        raise BadAnswer(
            "expansion_acceptance_gal", f"a volume not above expansion_tank_gal ({plain(tank)} gal)"
        )
    cold, hot = values.get("cold_inlet_f", DEFAULTS["cold_inlet_f"]), values.get("thermostat_f")
    if isinstance(cold, Decimal) and isinstance(hot, Decimal) and hot < cold:
        raise BadAnswer("thermostat_f", f"a temperature not below cold_inlet_f ({plain(cold)} °F)")
