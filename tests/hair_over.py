"""Every check's reading a hair over and a hair under its limit: what is printed stands on the side where it is.

    python tests/hair_over.py [--hair 0.3 0.04 0.0004 0.0000004]      exit 1 and the sentence, when something does not hold

The readings are those of the case tables' cases at a limit (tests/cases), each number of them moved by the hair. Where in a sentence
found and limit stand is learned from the same sentence with the reading moved far off.
"""

from __future__ import annotations

import argparse
import re
import sys
import tomllib
from collections.abc import Iterator
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

sys.path.insert(0, str(Path(__file__).parent.parent))

from heaterapp.rules import CATALOGUE, BadAnswer, Finding
from heaterapp.rules.catalog import all_checks
from heaterapp.sheet.bounds import PAIR, RANGE, found_words
from tests import alone

FOLDER = Path(__file__).parent / "cases"
HAIRS = ("0.3", "0.04", "0.0004", "0.0000004")
FAR = (Decimal("0.1"), Decimal("0.4"), Decimal("0.02"))
APART = Decimal("0.015")
THIRD = 3
NUMBER = re.compile(r"(?<![\w.])-?[0-9][0-9,]*(?:\.[0-9]+)?(?: [0-9]+/[0-9]+)?(?![\w/])|(?<![\w.])[0-9]+/[0-9]+(?!\w)")
Answers = dict[str, Any]


class Edge(NamedTuple):
    """A job that stands at a check's limit, and which of its numbers the check reads."""

    check: str
    name: str
    answers: Answers
    readings: tuple[str, ...]


@cache
def edges() -> tuple[Edge, ...]:
    """Every case at a limit."""
    reads = {one.name: one.questions for one in all_checks()}
    found = []
    for path in sorted(FOLDER.glob("*.toml")):
        data = tomllib.loads(path.read_text(encoding="utf-8"), parse_float=Decimal)
        for case in data["case"]:
            base = data.get("base", {})
            place = case.get("place", base.get("place", "model_upc_2021"))
            told = {**base, **case.get("answers", {}), "place": place}
            answers = {key: value for key, value in told.items() if key not in case.get("drop", ())}
            numbers = tuple(one for one in reads[path.stem] if _number(answers.get(one)) and CATALOGUE[one].kind == "number")
            if case.get("at_limit") and numbers:
                found.append(Edge(path.stem, case["name"], answers, numbers))
    return tuple(found)


def _number(value: Any) -> Decimal | None:
    try:
        return Decimal(str(value))
    except ArithmeticError:
        return None


def numbers_in(text: str) -> list[Decimal]:
    """The numbers of a sentence, as a tape or a page shows them.

    >>> numbers_in("Ends 14 3/8 in, 45,800.5 Btu/h, -2 F, by 3/4.")
    [Decimal('14.375'), Decimal('45800.5'), Decimal('-2'), Decimal('0.75')]
    """
    said = []
    for one in NUMBER.findall(text):
        whole, _, part = one.replace(",", "").rpartition(" ") if "/" in one else (one.replace(",", ""), "", "")
        top, _, under = part.partition("/")
        said.append(Decimal(whole or 0) + (Decimal(top) / Decimal(under) if part else 0))
    return said


def _judged(edge: Edge, name: str, value: Decimal) -> list[Finding]:
    try:
        return alone.findings_of({**edge.answers, name: str(value)}, edge.check)
    except BadAnswer:
        return []


def _sides(found: Decimal, limit: Decimal) -> int:
    return (found > limit) - (found < limit)


def _pair(one: Finding) -> tuple[Decimal, Decimal] | None:
    found, limit = _number(one.found), _number(one.limit)
    return None if found is None or limit is None or found == limit else (found, limit)


def places_of_both(text: str, found: Decimal, limit: Decimal) -> tuple[int, int] | None:
    """Which numbers of a sentence are found and limit, where they stand well apart."""
    near, said = abs(found - limit) / THIRD, list(enumerate(numbers_in(text)))
    # of several alike it is the last, and what was found stands beside it
    at_limit = max((at for at, number in said if abs(number - limit) <= near), default=-1)
    founds = [(abs(at - at_limit), at) for at, number in said if abs(number - found) <= near and at != at_limit]
    return (min(founds)[1], at_limit) if at_limit >= 0 and founds else None


def wrong_side(found: Decimal, limit: Decimal, side: int, verdict: str) -> bool:
    """Whether a printed found value does not differ from its printed limit where it fails, or reads past it where it meets."""
    told = _sides(found, limit)
    return told == -side if verdict == "meets" else told != side


def _kept(one: Finding, said: list[Decimal]) -> bool | None:
    """Whether numbers as printed, the found ones first, keep to a range or a pair of least sizes; None where it is neither."""
    limit = numbers_in(str(one.limit))
    # a sentence may tell how far apart two numbers are, and leave the band itself to what stands beside it
    if RANGE.fullmatch(str(one.limit)) and len(said) >= len(limit) + 1 and said[1:3] == limit:
        return said[1] <= said[0] <= said[2]
    if PAIR.fullmatch(str(one.limit)) and PAIR.fullmatch(str(one.found)) and len(said) >= len(limit) * 2:
        return all(found >= least for found, least in zip(said[:2], said[2:4], strict=True))
    return None


def _several(one: Finding) -> Iterator[str]:
    """What is wrong of a range, or of two sizes, in the sentence and beside it; "" for each that was held."""
    shown = [number for words in found_words(one.as_json()) for number in numbers_in(words)]
    for where, said in ((one.why, numbers_in(one.why)), (str(found_words(one.as_json())), shown)):
        kept = _kept(one, said)
        if kept is not None and one.verdict in ("meets", "fails"):
            yield "" if kept == (one.verdict == "meets") else f"{one.verdict}: {where}"


def _learned(edge: Edge, name: str, way: int, like: Finding) -> tuple[int, int] | None:
    value = Decimal(str(edge.answers[name]))
    for share in FAR:
        for one in _judged(edge, name, value + way * (share * abs(value) or 1)):
            pair = _pair(one)
            alike = (one.kind, one.verdict, one.unit) == (like.kind, like.verdict, like.unit)
            if alike and pair and abs(pair[0] - pair[1]) > APART * abs(pair[1]) and len(numbers_in(one.why)) == len(numbers_in(like.why)):
                return places_of_both(one.why, *pair)
    return None


def faults(edge: Edge, hairs: tuple[str, ...]) -> Iterator[tuple[str, str]]:
    """("", ...) for each sentence that was held, else what is wrong of it."""
    for name in edge.readings:
        value = Decimal(str(edge.answers[name]))
        for hair, way in ((Decimal(hair), way) for hair in hairs for way in (1, -1)):
            for one in _judged(edge, name, value + way * hair):
                pair, where = _pair(one), f"{edge.check}, {edge.name}, {name} = {value + way * hair}"
                if pair is None:
                    yield from ((where, what) for what in _several(one))
                    continue
                side, said = _sides(*pair), numbers_in(one.why)
                shown = [numbers_in(words) for words in found_words(one.as_json())]
                if all(shown) and wrong_side(shown[0][0], shown[1][0], side, one.verdict):
                    yield where, f"shown {found_words(one.as_json())} of {pair}"
                at = _learned(edge, name, way, one)
                if at is not None:
                    wrong = wrong_side(said[at[0]], said[at[1]], side, one.verdict)
                    yield where, f"{one.verdict}: {one.why}" if wrong else ""


def main() -> int:
    """Try every edge with every hair; 1 where something does not hold."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--hair", nargs="+", default=HAIRS)
    hairs = tuple(asked.parse_args().hair)
    told = [(edge.check, *one) for edge in edges() for one in faults(edge, hairs)]
    wrong = [f"{where}\n    {what}" for _, where, what in told if what]
    print(*wrong, sep="\n")
    held = {check for check, _, _ in told}
    print(f"{len(told)} sentences of {len(held)} checks held, {len(wrong)} wrong; none told both numbers:")
    print(*sorted({edge.check for edge in edges()} - held), sep=", ")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
