"""What an answer to the office's search says beside its records: the desk's, an erased paper, a code."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from typing import Any, NamedTuple

from heaterapp import archive
from heaterapp.archive.canonical import read_code
from heaterapp.archive.desk_board import phone_digits
from heaterapp.archive.desk_shapes import Line
from heaterapp.archive.words import split
from heaterapp.web.days import local_day
from heaterapp.web.desk_block import at_desk, desk_of
from heaterapp.web.one_record import numbered
from heaterapp.web.security import current_person, store

NAMES = {"present_owner": "owner now", "contact_name": "who is home"}
MARKS = {
    "contact_phone": "phone", "present_owner_phone": "phone of the owner now", "permit_number": "permit",
    "parcel_no": "parcel", "label_no": "label",
}  # fmt: skip
_CODE = re.compile(r"\w{4}([- ])\w{4}\1\w{4}", re.ASCII)


class Found(NamedTuple):
    """One page of the records that match."""

    hits: list[archive.Hit]
    following: int | None
    """The key that the next page follows."""
    words: str
    """What finds the same where a number in short is not read, as for taking them out."""


class Beside(NamedTuple):
    """One job of the desk that has the typed words."""

    line: Line
    why: tuple[str, ...]
    """What of the office's own facts has them, as `owner now: Lena Moss`."""
    numbers: tuple[str, ...]
    """Its finished papers, newest first."""


class Erased(NamedTuple):
    """A paper whose number was typed and that was erased."""

    number: str
    day: str
    """As it is read; empty where the log does not say."""


def found(text: str, narrowed: Mapping[str, Any], after: int | None, limit: int) -> Found:
    """Return the finished records of one page; a paper whose number was typed is the first of all."""
    org = current_person().organisation

    def page(words: str, after: int | None, limit: int) -> archive.Page:
        return store().find(org, words, **narrowed, finished=True, after=after, limit=limit)

    every, named = page(text, after, limit), numbered(text)
    # What stands first of all stands on no later page again.
    others = [hit for hit in every.hits if named is None or hit.record != named.record]
    if named is None or after is not None:
        return Found(others, every.next, text)
    # However many newer ones have its number among their words.
    first = [hit for hit in page(named.number, named.record + 1, 1).hits if hit.record == named.record]
    return Found([*first, *others], every.next, text if every.hits or not first else first[0].number)


def beside(text: str, jobs: Collection[str]) -> list[Beside]:
    """Return what the desk has for the typed words, with why, but for jobs shown already."""
    org, lines = current_person().organisation, at_desk(text, jobs)
    numbers = store().records.numbers_of_jobs(org, [line.job_id for line in lines]) if lines else {}
    return [Beside(one, _why(org, one, text), tuple(numbers.get(one.job_id, ()))) for one in lines]


def erased_paper(text: str) -> Erased | None:
    """Return the erased paper of this number, None where the text names none."""
    hit = numbered(text)
    if hit is None or not hit.finished or not hit.erased:
        return None
    found = store().log.newest(current_person().organisation, act="erase", records=[hit.record], limit=1)
    return Erased(hit.number, local_day(found[0].at) if found else "")


def like_a_check_code(text: str) -> bool:
    """Whether a text is written as the check code of a paper: three groups of four.

    >>> [like_a_check_code(text) for text in ("k7qm-2abc-d3ef", "Dana Whitlock", "0012345")]
    [True, False, False]
    """
    return _CODE.fullmatch(text.strip()) is not None and read_code(text) is not None


def _why(organisation: int, line: Line, text: str) -> tuple[str, ...]:
    desk = desk_of(organisation, line.job_id)
    if desk is None:
        return ()
    typed, digits = [word for word in split(text) if len(word) > 1], phone_digits(text)
    shown = set(split(f"{line.address} {line.owner}"))
    said = []
    for name, label in (NAMES | MARKS).items():
        fact = desk.facts.get(name, "")
        own = set(split(fact)) - shown
        if any(word.startswith(each) for word in own for each in typed) or _rings(digits, fact):
            said.append(f"{label}: {fact}")
    if digits:
        visits: list[archive.Inspection] = store().inspections.of_job(organisation, line.job_id)
        booked = [one.facts.get("phone", "") for one in visits]
        said += [f"phone at the booking: {phone}" for phone in booked if _rings(digits, phone)][:1]
    return tuple(said)


def _rings(digits: str, phone: str) -> bool:
    return bool(digits) and phone_digits(phone).endswith(digits)
