"""How high the parts of a paper stand, reckoned before they are laid out: so that it is laid out once."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from .columns import Entry, Run
from .figured import DRAWN_SPACE, in_columns
from .lettering import height
from .paper import Caution, Check, Drawing, Key, Paper
from .party_columns import FIXED, parties_high, party_columns
from .wrapping import Type, drawing_lines, figure_lines, lines

CAUTION, INDENT = 2.8, 6.0
"""What stands above and below a caution, and before it [pt]."""
CHECKED_AT = "xxxxx " * 16
"""About as long as the sentence that says where to check a paper."""
COLUMNS, LEAST_KEYS = 3, 4
AGAIN, ROW = 7.0, 2.0
"""The head of the list's columns on every page, and what stands below a row of them [pt]."""


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


def _spoken(checks: Sequence[Check], type_: Type) -> list[High]:
    """A table of items by its rows; the first two, below its heading, stand together, and the last two."""
    size, rows = type_.spoken, []
    beside = 0.24 * type_.wide
    middle = 0.62 * type_.wide - 16
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
        rows.append(High(max(left, right), fixed + (notes.fixed if left >= right else 0)))
    if rows:
        rows[:2] = [High(7.0, _headed(type_) + 3).plus(*rows[:2])]
        rows[1:] = [*rows[1:-2], NONE.plus(*rows[1:][-2:])] if len(rows) > 1 else []
    return rows


def figures_high(paper: Paper, type_: Type, drawn: str, brief: bool = False) -> High:
    """The section of figures and drawings; those that are drawn late are not in it.

    drawn  where drawings stand, as `Setting` has it
    brief  whether the formulas in symbols are left out
    """
    if not paper.figures and not paper.drawings:
        return NONE
    size, space = type_.figures, 0.3 if type_.tight else 1.5
    late, under = drawn == "late", drawn == "under"
    drawings = [_drawing_high(one, type_) for one in paper.drawings]
    row = not under and len(drawings) == COLUMNS
    beside = [] if row or late else drawings if under else [_level(drawings)] * len(drawings)
    below = paper.drawings[: len(beside)]
    high = []
    for at, column in enumerate(in_columns(paper.figures, COLUMNS, type_, brief, below, not under)):
        text = sum(figure_lines(one, type_, brief) for one in column)
        high.append(High(size * text, space * len(column)).plus(*beside[at : at + 1]))
    return _higher(*high).plus(High(0, _headed(type_)), _level(drawings) if row and not late else NONE)


def drawings_high(paper: Paper, type_: Type) -> High:
    """The drawings in a section of their own."""
    drawings = _level([_drawing_high(one, type_) for one in paper.drawings])
    return drawings.plus(High(0, _part(type_))) if paper.drawings else NONE


def _drawing_high(one: Drawing, type_: Type) -> High:
    fixed = one.share * type_.figured + DRAWN_SPACE + 3
    return High(type_.figures * drawing_lines(one, type_), fixed)


def _level(drawings: Sequence[High]) -> High:
    """Drawings in a row: their captions begin at one height."""
    return High(*map(max, zip(*drawings, strict=True))) if drawings else NONE


def _higher(*several: High) -> High:
    return max(several, key=lambda one: one.at(1.15), default=NONE)


def list_high(run: Run, type_: Type) -> High:
    """The list of what meets, in one row of two columns."""
    entries = run.entries
    if not entries:
        return NONE
    _, middle = run.split(0, len(entries))
    return _higher(_listed(entries[:middle], type_), _listed(entries[middle:], type_)).plus(list_head(type_))


def list_head(type_: Type) -> High:
    """What stands above the list."""
    return High(AGAIN, _headed(type_) + ROW)


def _listed(entries: Sequence[Entry], type_: Type) -> High:
    size, leaded, fixed, before = type_.listed, 0.0, 0.0, None
    for one in entries:
        if one.topic is not before:
            before, fixed = one.topic, fixed + (0.8 if type_.tight else 2) + 0.5
            leaded += max(size, 7.6)
            for said in one.topic.cautions if one.first else ():
                high = _caution(said, size, type_.column)
                leaded, fixed = leaded + high.leaded, fixed + high.fixed
        leaded += size * one.lines
    return High(leaded, fixed + (0 if type_.tight else 0.3 * len(entries)))


def end_high(paper: Paper, type_: Type) -> High:
    """Cautions that belong to nothing else, signatures, code and digests."""
    high = High(0, _part(type_))
    if paper.cautions:
        said = [_caution(one, type_.small, type_.wide) for one in paper.cautions]
        high = high.plus(High(0, _headed(type_)), *(High(0, one.at(FIXED)) for one in said))
    across = 0.66 * type_.wide - 12 - (76 if paper.square else 0)
    for one in paper.signatures:
        signer, (said, below) = f"{one.role}: {one.name}", one.words(type_.tight)
        said = f"{signer}. {said}" if type_.tight else said
        hand = (24 if type_.tight else 30) if one.ink else 12 * FIXED + 10.6
        hand += 0 if type_.tight else 7.2 * FIXED * lines(signer, 7.2, 0.34 * type_.wide)
        size = 7.2 if one.translation else type_.base
        told = size * FIXED * lines(said, size, across)
        told += 7.2 * FIXED * lines(below, 7.2, across)
        high = high.plus(High(0, max(hand, told) + (2 if type_.tight else 4)))
    said = (CHECKED_AT, paper.check_address, paper.counts, paper.ruleset, paper.photos_kept)
    proof = 2 + lines(" ".join(said), 7.2, across)
    return high.plus(High(0, 3.6 + 7.2 * FIXED * proof))


def head_high(paper: Paper, type_: Type) -> High:
    """Everything above the first section."""
    base = type_.base * FIXED
    named = 18 * height(paper.contractor, 1.1)
    high = max(named + base * len(paper.contractor_lines), 24 * FIXED + base) + 6.6
    high += (4 + 7.6 * FIXED * lines(paper.translation, 7.6, type_.wide)) if paper.translation else 0
    high += (4 + base * lines(paper.replaces, type_.base, type_.wide)) if paper.replaces else 0
    box = 9 if type_.tight else 15
    boxed = [one for one in (paper.face, paper.stop) if one]
    high += sum(box + 9.5 * FIXED * lines(one, 9.5, type_.wide - 14) for one in boxed)
    high += (4 + base * lines(paper.hazard, type_.base, type_.wide)) if paper.hazard else 0
    columns = party_columns(paper.parties, type_)
    high += (5 if type_.tight else 8) + 7.4 * FIXED + parties_high(paper.parties, type_, columns)
    high += _keys_high(paper.keys, type_)
    said = [f"{paper.records} {paper.limits}"]
    said += [f"Adopted codes {'; '.join(paper.codes)}. {' '.join(paper.sureness)}"] if paper.codes else []
    small = sum(lines(one, type_.small, type_.wide) for one in said)
    return High(small * type_.small, high + len(said) * (3 if type_.tight else 4))


def _keys_high(keys: Sequence[Key], type_: Type) -> float:
    if not keys:
        return 0.0
    across = type_.wide / max(len(keys), LEAST_KEYS) - 6
    label = max(lines(one.label, 7.4, across) for one in keys)
    return (4 if type_.tight else 7) + 1.2 + 7.4 * FIXED * label + 19.8


def rest_high(paper: Paper, type_: Type) -> tuple[High, High]:
    """What the code is silent on and what is not here, in which a page may end; and what was assumed."""
    silent = "; ".join(f"{one.title} {one.cite}" for one in paper.silent)
    absent, left = (
        " ".join(f"{topic} {names};" for topic, names in one) for one in (paper.not_here, paper.not_answered)
    )
    taken = [" ".join(paper.flags), *("; ".join(one) for one in (paper.assumed, paper.usual))]
    return _headed_lines((silent, absent, left), 20, type_), _headed_lines(taken, 24, type_)


def _headed_lines(several: Sequence[str], head: int, type_: Type) -> High:
    """Paragraphs of small type, those that say nothing left out; `head` letters stand before each."""
    said = [one for one in several if one]
    many = sum(lines(f"{'x' * head} {one}", type_.small, type_.wide) for one in said)
    return High(many * type_.small, _part(type_) if said else 0)


def above_high(paper: Paper, type_: Type) -> tuple[High, ...]:
    """The open items, above the figures, and the advice below them, by what stands together of them."""
    groups = (paper.fixes, paper.opens, paper.excepted, paper.unanswered, paper.advice)
    return tuple(row for one in groups for row in _spoken(one, type_))
