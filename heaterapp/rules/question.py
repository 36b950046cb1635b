"""What a question is: its words, its unit, its choices, when it is asked, what is plausible."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Literal

from .when import ALWAYS, NEVER, When

Kind = Literal["number", "two_lengths", "lengths", "yes_no", "choice", "text", "date", "sections"]

LONGEST_TEXT = 200
"""Characters of an answer in words, where its question takes no more."""
UNDONE = frozenset({"not_done", "not_tested", "not_tried"})


@dataclass(frozen=True, slots=True)
class Question:
    """One thing asked at the job, declared once for form, record, checks, certificate and export.

    name      settled name, unit at the end; the key in the stored record
    label     the words on the form, without the unit
    kind      how the answer is read
    section   the form section it stands in
    unit      unit of a number or of lengths; "" otherwise
    choices   answer word -> words shown (choice only)
    when      the condition under which it is asked
    default   the value that applies, printed as assumed, when there is no answer
    soft      plausible range; outside it the answer is kept and flagged
    hard      possible range; outside it the answer is refused
    usual     values offered as one-tap chips
    hint      one short sentence: how to measure it
    measured  never filled from a preset: it must be read at this job
    record    kept for the record although no check reads it
    whole     a number of things or a year: a fraction of one is refused
    nominal   it comes in its usual sizes: they are offered in place of the eighths of a tape
    typed_as  how a number is read where that is not its unit's way: "pitch" takes 9/12 as 9; for a text what
              it is made of: "code" (capitals and digits, as on a plate), "digits", "name"
    written   for a text, the part of an address that it is: "zip" or "state" is refused where it is typed
              otherwise; what is stored already is kept, and flagged
    names     it only names somebody or something: a slip in it is put right without a new signature
    longest   characters that a text takes
    absent    the condition under which "not here" can be true of it; elsewhere that leaves
              the question open, for what must exist is not excused by its absence
    """

    name: str
    label: str
    kind: Kind
    section: str = ""
    unit: str = ""
    choices: Mapping[str, str] = field(default_factory=dict)
    when: When = ALWAYS
    default: str | None = None
    soft: tuple[Decimal, Decimal] | None = None
    hard: tuple[Decimal, Decimal] | None = None
    usual: tuple[str, ...] = ()
    hint: str = ""
    measured: bool = False
    record: bool = False
    whole: bool = False
    absent: When = NEVER
    typed_as: str = ""
    nominal: bool = False
    names: bool = False
    written: str = ""
    longest: int = LONGEST_TEXT

    @property
    def may_be_absent(self) -> bool:
        """ "Not here" can be true of it, at some jobs at least."""
        return self.absent is not NEVER

    @property
    def is_test(self) -> bool:
        """A test that may be left undone; it cannot be "not here" as a part can."""
        return not UNDONE.isdisjoint(self.choices)


def _range(pair: tuple[str, str] | None) -> tuple[Decimal, Decimal] | None:
    return (Decimal(pair[0]), Decimal(pair[1])) if pair else None


def number(
    name: str,
    label: str,
    unit: str,
    hard: tuple[str, str],
    soft: tuple[str, str] | None = None,
    *,
    when: When = ALWAYS,
    default: str | None = None,
    usual: tuple[str, ...] = (),
    hint: str = "",
    measured: bool = False,
    record: bool = False,
    whole: bool = False,
    absent: When = NEVER,
    typed_as: str = "",
    nominal: bool = False,
) -> Question:
    """A question answered by one number in `unit`."""
    return Question(
        name, label, "number", unit=unit, hard=_range(hard), soft=_range(soft), when=when,
        default=default, usual=usual, hint=hint, measured=measured, record=record, whole=whole, absent=absent,
        typed_as=typed_as, nominal=nominal,
    )  # fmt: skip


def yes_no(
    name: str,
    label: str,
    *,
    when: When = ALWAYS,
    default: str | None = None,
    hint: str = "",
    measured: bool = False,
    record: bool = False,
) -> Question:
    """A question answered yes, no or unknown."""
    return Question(
        name, label, "yes_no", when=when, default=default, hint=hint, measured=measured, record=record
    )


def choice(
    name: str,
    label: str,
    choices: Mapping[str, str],
    *,
    when: When = ALWAYS,
    default: str | None = None,
    hint: str = "",
    measured: bool = False,
    record: bool = False,
) -> Question:
    """A question answered by one of `choices`."""
    return Question(
        name, label, "choice", choices=choices, when=when, default=default, hint=hint,
        measured=measured, record=record,
    )  # fmt: skip


def text(
    name: str,
    label: str,
    *,
    when: When = ALWAYS,
    hint: str = "",
    record: bool = True,
    typed_as: str = "",
    names: bool = False,
    written: str = "",
    longest: int = LONGEST_TEXT,
) -> Question:
    """A question answered in words, of at most so many characters."""
    return Question(
        name, label, "text", when=when, hint=hint, record=record, typed_as=typed_as, names=names,
        written=written, longest=longest,
    )  # fmt: skip


def other(
    name: str,
    label: str,
    kind: Kind,
    hard: tuple[str, str] | None = None,
    *,
    unit: str = "",
    when: When = ALWAYS,
    usual: tuple[str, ...] = (),
    hint: str = "",
    measured: bool = False,
    record: bool = False,
    nominal: bool = False,
) -> Question:
    """A date, two lengths, a list of lengths, or gas pipe sections."""
    return Question(
        name,
        label,
        kind,
        unit=unit,
        hard=_range(hard),
        when=when,
        usual=usual,
        hint=hint,
        measured=measured,
        record=record,
        nominal=nominal,
    )
