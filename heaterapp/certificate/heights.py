"""How high the parts of a paper stand, reckoned before they are laid out: so that it is laid out once."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from .figured import DRAWN_SPACE, in_columns
from .lettering import height
from .paper import Caution, Check, Drawing, Paper, Topic
from .wrapping import FIGURED, LISTED, TYPES, WIDE, Type, check_lines, drawing_lines, figure_lines, lines

FIXED = 1.22
"""Leading of head and foot."""
CAUTION, INDENT = 2.8, 6.0
"""What stands above and below a caution, and before it [pt]."""
CHECKED_AT = "xxxxx " * 16
"""About as long as the sentence that says where to check a paper."""
COLUMNS = 3


class High(NamedTuple):
    """A height: what grows with the leading, at a leading of one, and what does not [pt]."""

    leaded: float
    fixed: float

    def at(self, leading: float) -> float:
        """The height at a leading."""
        return self.leaded * leading + self.fixed

    def plus(self, *others: High) -> High:
        """One above the other."""
        every = (self, *others)
        return High(sum(one.leaded for one in every), sum(one.fixed for one in every))


NONE = High(0, 0)


def _caution(said: Caution, size: float, across: float) -> High:
    return High(size * lines(f"{said[0]} {said[1]}", size, across - INDENT), CAUTION)


def _part(type_: Type) -> float:
    return 5.6 if type_.tight else 8.6


def _headed(type_: Type) -> float:
    return _part(type_) + (9.9 if type_.tight else 10.9)


def _spoken(checks: Sequence[Check], type_: Type) -> High:
    if not checks:
        return NONE
    size, high = type_.spoken, High(7.0, _headed(type_) + 3)
    beside = 0.24 * WIDE
    middle = 0.62 * WIDE - 8
    for one in checks:
        said = lines(f"{one.title}. {one.why}", size, middle)
        said += lines(one.fix, size, middle) if one.fix else 0
        said += lines(one.accepted, size, middle) if one.accepted else 0
        notes = NONE.plus(*(_caution(two, size, middle) for two in one.cautions))
        left = size * said + notes.leaded
        right = size * (
            lines(f"found {one.found}", size, beside) + lines(f"{one.bound} {one.limit}", size, beside) + 1
        )
        fixed = 1.8 if type_.tight else 3.3
        high = high.plus(High(max(left, right), fixed + (notes.fixed if left >= right else 0)))
    return high


def figures_high(paper: Paper, setting: str, drawn: str) -> High:
    """The section of figures and drawings; those that are drawn late are not in it.

    setting, drawn  how the paper is set and where drawings stand, as `Setting` has them
    """
    if not paper.figures and not paper.drawings:
        return NONE
    type_, brief = TYPES[setting], setting == "close numbers"
    size, space = type_.figures, 0.3 if type_.tight else 1.5
    late, under = drawn == "late", drawn == "under"
    drawings = [_drawing_high(one, size) for one in paper.drawings]
    row = not under and len(drawings) == COLUMNS
    beside = [] if row or late else drawings if under else [_level(drawings)] * len(drawings)
    below = paper.drawings[: len(beside)]
    high = []
    for at, column in enumerate(in_columns(paper.figures, COLUMNS, setting, below, not under)):
        text = sum(figure_lines(one, type_, brief) for one in column)
        high.append(High(size * text, space * len(column)).plus(*beside[at : at + 1]))
    return _higher(*high).plus(High(0, _headed(type_)), _level(drawings) if row and not late else NONE)


def drawings_high(paper: Paper, setting: str) -> High:
    """The drawings in a section of their own."""
    size = TYPES[setting].figures
    drawings = _level([_drawing_high(one, size) for one in paper.drawings])
    return drawings.plus(High(0, _part(TYPES[setting]))) if paper.drawings else NONE


def _drawing_high(one: Drawing, size: float) -> High:
    return High(size * drawing_lines(one, size), one.share * FIGURED + DRAWN_SPACE + 3)


def _level(drawings: Sequence[High]) -> High:
    """Drawings in a row: their captions begin at one height."""
    return High(*map(max, zip(*drawings, strict=True))) if drawings else NONE


def _higher(*several: High) -> High:
    return max(several, key=lambda one: one.at(1.15), default=NONE)


def list_high(topics: Sequence[Topic], type_: Type) -> High:
    """The list of what meets."""
    size, across = type_.listed, LISTED
    leaded = fixed = 0.0
    for topic in topics:
        fixed += (0.8 if type_.tight else 2) + 0.5
        leaded += size if type_.tight else max(size, 7.6)
        for said in topic.cautions:
            one = _caution(said, size, across)
            leaded, fixed = leaded + one.leaded, fixed + one.fixed
        for check in topic.checks:
            leaded += size * check_lines(check, size, type_.tab, across)
    if not topics:
        return NONE
    return High(leaded / 2 + size * 1.5 + 7, fixed / 2 + _headed(type_) + 2)


def end_high(paper: Paper, type_: Type) -> High:
    """Cautions that belong to nothing else, signatures, code and digests."""
    high = High(0, _part(type_))
    if paper.cautions:
        said = [_caution(one, type_.small, WIDE) for one in paper.cautions]
        high = high.plus(High(0, _headed(type_)), *(High(0, one.at(FIXED)) for one in said))
    across = 0.66 * WIDE - 12 - (76 if paper.square else 0)
    for one in paper.signatures:
        hand = (24 if type_.tight else 30) if one.ink else 12 * FIXED + 10.6
        hand += 7.2 * FIXED * lines(f"{one.role}: {one.name}", 7.2, 0.34 * WIDE)
        told = type_.base * FIXED * lines(one.statement, type_.base, across)
        told += 7.2 * FIXED * lines(one.how, 7.2, across)
        high = high.plus(High(0, max(hand, told) + (2 if type_.tight else 4)))
    said = (CHECKED_AT, paper.check_address, paper.counts, paper.ruleset, paper.photos_kept)
    proof = 2 + lines(" ".join(said), 7.2, across)
    return high.plus(High(0, 3.6 + 7.2 * FIXED * proof))


def head_high(paper: Paper, type_: Type) -> High:
    """Everything above the first section."""
    base = type_.base * FIXED
    named = 18 * height(paper.contractor, 1.1)
    high = max(named + base * len(paper.contractor_lines), 24 * FIXED + base) + 6.6
    high += (4 + 7.6 * FIXED * lines(paper.translation, 7.6, WIDE)) if paper.translation else 0
    high += (4 + base * lines(paper.replaces, type_.base, WIDE)) if paper.replaces else 0
    box = 9 if type_.tight else 15
    high += sum(box + 9.5 * FIXED * lines(one, 9.5, WIDE - 14) for one in (paper.face, paper.stop) if one)
    column = WIDE / max(1, len(paper.parties)) - 8
    high += (
        (5 if type_.tight else 8)
        + 7.4 * FIXED
        + max((_typed_high(one.lines, type_.base, column) for one in paper.parties), default=0)
    )
    high += ((4 if type_.tight else 7) + 1.2 + 7.4 * FIXED + 19.8) if paper.keys else 0
    said = [f"{paper.records} {paper.limits}"]
    said += [f"Adopted codes {'; '.join(paper.codes)}. {' '.join(paper.sureness)}"] if paper.codes else []
    small = sum(lines(one, type_.small, WIDE) for one in said)
    return High(small * type_.small, high + len(said) * (3 if type_.tight else 4))


def _typed_high(typed: Sequence[str], size: float, across: float) -> float:
    """Lines that somebody typed: some scripts need more room."""
    return size * sum(height(one, FIXED) * lines(one, size, across) for one in typed)


def rest_high(paper: Paper, type_: Type) -> High:
    """What the code is silent on, what is not here, what was assumed: a page may end anywhere in it."""
    silent = "; ".join(f"{one.title} {one.cite}" for one in paper.silent)
    absent = " ".join(f"{topic} {names};" for topic, names in paper.not_here)
    taken = ["; ".join(one) for one in (paper.flags, paper.assumed, paper.usual)]
    high = NONE
    for group, head in (((silent, absent), 20), (taken, 24)):
        said = [one for one in group if one]
        many = sum(lines(f"{'x' * head} {one}", type_.small, WIDE) for one in said)
        high = high.plus(High(many * type_.small, _part(type_) if said else 0))
    return high


def above_high(paper: Paper, type_: Type) -> High:
    """The open items, above the figures, and the advice below them."""
    groups = (paper.fixes, paper.opens, paper.excepted, paper.unanswered, paper.advice)
    return NONE.plus(*(_spoken(one, type_) for one in groups))
