"""What is signed: which paper a job ends in, its statement, the digest of the answers, what is lacking."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from typing import Any

from ..languages import say
from ..rules import Job, canonical_bytes
from ..sheet.days import day_words

STATEMENTS = {
    "certificate": (
        "I installed this water heater, or directly supervised the work. The measurements are mine and were"
        " taken on the date shown. To the best of my knowledge the installation meets the rules listed,"
        " except where this paper says otherwise."
    ),
    "correction_list": (
        "I took the measurements on the date shown. This is a list of what does not meet the rules yet."
        " It is not a certificate."
    ),
    "findings_report": (
        "I looked over this installation, which others made. The measurements are mine and were taken on"
        " the date shown. This paper certifies nothing about their work."
    ),
}
RECEIPT = (
    "I was shown the shutoff valves, the relief pipe and the set temperature, and was left the papers."
    " This is a receipt, not an acceptance of the work."
)
SIGNED_WORDS = frozenset((*STATEMENTS.values(), RECEIPT))
"""What is signed, word for word: a paper in another language says what it says there, beside it or alone."""
NOT_SIGNED = {
    "declined": "Signature for the homeowner declined.",
    "not_home": "Nobody was home to sign for the homeowner.",
}
CONSENT = "I agree to sign electronically. A paper copy can be had at any time."
NO_YEAR = (
    "The year of the installation is still to answer, in the section Job."
    " Write 'could not measure' if nobody knows."
)
OTHER_CODES = (
    "The amendments to the codes cannot be read by this version, and without them the job would be judged by"
    " other codes than were chosen. Choose the adopted codes again, in the section Job."
)
STILL_OPEN = "Something is still to answer, so neither certificate nor correction list can be issued."
NO_DATE = "The date of the work is still to answer, in the section Job: what is signed was measured then."
LATER_DATE = (
    "The date of the work, {day}, is still to come: expected {today} or a day before it."
    " Mend it in the section Job."
)
NAMELESS = {
    "address_street": "The street address is still to answer, in the section Job: a paper is found by it.",
    "heater_serial": "The serial number is still to answer, in the section Data plate: papers go by it.",
}

_FURTHEST_AHEAD, _FURTHEST_BEHIND = timedelta(hours=14), timedelta(hours=-12)
"""The zones that are the furthest ahead of UTC and behind it."""


class NotIssuable(ValueError):
    """Nothing can be issued for this job yet; the text says why."""


def kind_for(answers: Mapping[str, Any], outcome: str) -> str:
    """Return which paper a job ends in.

    answers  the job's answers
    outcome  ready, fix or unfinished, as the report has it
    raises   NotIssuable while something that decides the outcome is unanswered

    >>> kind_for({}, "ready"), kind_for({}, "fix"), kind_for({"job_kind": "existing"}, "unfinished")
    ('certificate', 'correction_list', 'findings_report')
    """
    if answers.get("job_kind") == "existing":
        return "findings_report"
    if outcome == "unfinished":
        raise NotIssuable(STILL_OPEN)
    return "certificate" if outcome == "ready" else "correction_list"


def answers_digest(answers: Mapping[str, Any]) -> str:
    """Return the SHA-256 of the answers as they are stored, which a signature names."""
    return hashlib.sha256(canonical_bytes(Job(answers).canonical())).hexdigest()


def lacking(answers: Mapping[str, Any], kind: str | None, today: str = "") -> dict[str, str]:
    """What a signature names and the answers do not give: the date of the work, the year of others' work.

    kind     the paper it is to be, None while that is open
    today    the day of issue as an ISO date, by the firm's clocks, which a phone knows from its sign-in
             there; without it the latest day that it is anywhere
    returns  what is lacking -> the sentence that says so
    """
    lacks = {}
    done, day = str(answers.get("work_date") or ""), today or latest_day(datetime.now(UTC))
    if not done or done > day:
        lacks["date"] = say(LATER_DATE, day=day_words(done), today=day_words(day)) if done else say(NO_DATE)
    if kind == "findings_report" and not answers.get("install_year"):
        lacks["year"] = say(NO_YEAR)
    return lacks | {name: say(says) for name, says in NAMELESS.items() if not answers.get(name)}


def latest_day(now: datetime) -> str:
    """The latest day that it is anywhere at that moment, as an ISO date.

    >>> latest_day(datetime(2026, 11, 26, 10, tzinfo=UTC)), latest_day(datetime(2026, 11, 26, 9, tzinfo=UTC))
    ('2026-11-27', '2026-11-26')
    """
    return (now.astimezone(UTC) + _FURTHEST_AHEAD).date().isoformat()


def earliest_day(now: datetime) -> str:
    """The earliest day that it is anywhere at that moment, as an ISO date.

    >>> [earliest_day(datetime(2026, 11, 26, hour, tzinfo=UTC)) for hour in (11, 12)]
    ['2026-11-25', '2026-11-26']
    """
    return (now.astimezone(UTC) + _FURTHEST_BEHIND).date().isoformat()
