"""What a change that a recheck found is called, for people."""

from __future__ import annotations

from heaterapp.rules import CATALOGUE
from heaterapp.sheet.findings import short_name
from heaterapp.sheet.words import TOPICS, VERDICTS

OUTCOMES = {"ready": "nothing to fix", "fix": "something to fix", "unfinished": "something not answered"}
SPECIAL = {"amendments": "The authority's amendments", "place": "Place", "job": "The answers as a whole"}
UNCALLED = "unclear"


def change_words(mark: str) -> str:
    """Return a change's mark as people read it.

    >>> change_words("changed:supply.pressure_within_limit:meets:fails")
    'Water supply, pressure within limit: meets, today to fix'
    >>> change_words("new:pan.depth (advice):fails"), change_words("outcome:ready:fix")
    ('Pan, depth (advice): not asked then, today to fix', 'Outcome: nothing to fix, today something to fix')
    >>> change_words("refused:thermostat_f")
    "Cannot be read by today's rules: Set temperature"
    """
    kind, *parts = mark.split(":")
    if kind == "outcome":
        before, now = (OUTCOMES.get(one, UNCALLED) for one in (*parts, "", "")[:2])
        return f"Outcome: {before}, today {now}"
    if kind == "refused":
        return f"Cannot be read by today's rules: {question_words(parts[0])}"
    if kind == "broken":
        return "Could not be judged by today's rules: they broke over it"
    check = check_words(parts[0])
    verdicts = [verdict_words(one) for one in parts[1:]]
    if kind == "new":
        return f"{check}: not asked then, today {verdicts[0]}"
    if kind == "gone":
        return f"{check}: {verdicts[0]}, no longer asked today"
    return f"{check}: {verdicts[0]}, today {verdicts[1]}"


def verdict_words(verdict: str) -> str:
    """Return a verdict in small letters; `accepted` is a failure that the authority accepted."""
    if verdict == "accepted":
        return "to fix, accepted by the authority"
    if verdict == "advice":
        return "advice that is not met"
    if verdict == "fails":
        return "to fix"
    return VERDICTS[verdict].en.lower() if verdict in VERDICTS else UNCALLED


def question_words(key: str) -> str:
    """Return what an answer is called on the form, or its stored name where it asks no such question."""
    if key in SPECIAL:
        return SPECIAL[key]
    return CATALOGUE[key].label if key in CATALOGUE else f"an answer no longer asked ({key})"


def check_words(name: str) -> str:
    """Return a check as people read it: its topic, then its own name.

    >>> check_words("pan.depth")
    'Pan, depth'
    """
    topic, short = name.partition(".")[0], short_name(name)
    called = TOPICS[topic].en if topic in TOPICS else topic.replace("_", " ").capitalize()
    return f"{called}, {short[:1].lower()}{short[1:]}"
