"""What differs between two books, or two places: clause by clause, value, section, and silence."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from heaterapp.rules import book, place_names
from heaterapp.rules.book import Clause

from .sayings import values_said


class UnknownBook(ValueError):
    """Neither a book nor a place of that name comes with the program."""


def book_names() -> list[str]:
    """Every published edition that comes with the program."""
    return book.book_ids()


def _held(name: str) -> tuple[Mapping[str, Clause], Mapping[str, str]]:
    if name in place_names():
        place = book.place(name)
        return place.clauses, place.silent
    if name in book_names():
        _, clauses, silent = book.book(name)
        return clauses, silent
    known = ", ".join([*book_names(), *sorted(set(place_names().values()))])
    raise UnknownBook(f"{name}: expected a book or a place, one of {known}")


def _said(clause: Clause | None, quiet: str | None, names: list[str]) -> str:
    if clause is None:
        return f"silent: {quiet}" if quiet else "not there"
    values = values_said(clause)
    told = "; ".join(f"{name.replace('_', ' ')} {values.get(name, 'none')}" for name in names)
    return f"{clause.section}: {told or clause.says} [{clause.confidence}]"


def compare(first: str, second: str, sections: bool = False) -> Iterator[str]:
    """The lines that say what differs.

    first, second  names of books or places
    sections       also where only the section number differs
    returns        lines; the last one counts
    raises         UnknownBook
    """
    (ours, our_silence), (theirs, their_silence) = _held(first), _held(second)
    same = differ = 0
    width = max(len(first), len(second))
    for ident in sorted({*ours, *theirs, *our_silence, *their_silence}):
        one, other = ours.get(ident), theirs.get(ident)
        a, b = (values_said(clause) if clause else None for clause in (one, other))
        renumbered = one is not None and other is not None and one.section != other.section
        if a == b and not (sections and renumbered):
            same += 1
            continue
        differ += 1
        names = [name for name in {**(a or {}), **(b or {})} if (a or {}).get(name) != (b or {}).get(name)]
        yield ident
        yield f"  {first:{width}}  {_said(one, our_silence.get(ident), names)}"
        yield f"  {second:{width}}  {_said(other, their_silence.get(ident), names)}"
    yield f"{differ} differ, {same} are the same in value."
