"""An organisation's own amendments to a place: read strictly, laid over its clauses, stored with the answers.

The office says what its authority adopted: a limit, the section it stands in, the date. What
it restates whole judges as read, under the amendments' own title; the clauses it does not name
stay the place's. Tables and lists of words cannot be set; a clause that has one keeps the
confidence it had.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from decimal import Decimal
from functools import lru_cache
from typing import Any

from .book import Clause, Place, book, book_ids, place, place_names
from .reading import BadAnswer, read_day, read_words
from .units import EXACT, Unreadable, bare, parse_quantity, plain, span

KEY = "amendments"
WANTED = "name, title, version, on (YYYY-MM-DD), base (a place), clauses and, if any, silent"
NAMED = "^[a-z][a-z0-9_]{1,40}$"
_NAME = re.compile(NAMED.replace("$", r"\Z"))
MOST_CLAUSES, LONGEST_SAYING, MOST_VERSIONS = 60, 300, 9999
LARGEST = Decimal(1_000_000)
FARTHEST = Decimal(10)
"""How many times the book's own number, or what part of it, an amendment may say: more is a slip, and
0 would divide or judge nothing: what is not asked is struck."""
_CONSTANTS = frozenset({"water_lb_per_gal", "inches_a_foot"})
"""Values of clauses that nobody adopts: what water weighs, how many inches are a foot."""
_HAZARDS = frozenset({("venting.spillage", "minutes")})
"""Values of clauses on which a hazard rests: no organisation sets or strikes them."""
WHOLE = ("count", "")
_HELD = {
    ("electric.overcurrent", "most_factor"): (Decimal(1), Decimal(3)),
    ("electric.continuous_load", "factor"): (Decimal(1), Decimal(2)),
    ("heater.altitude", "reduction"): (Decimal("0.004"), Decimal("0.06")),
}
"""Times a load, and the share of an input that 1000 ft take: beyond these a calculation has no answer."""
_SPOKEN = {
    ("gas.shutoff", "within"), ("relief.near_top", "top"),
    ("seismic.force", "parts"), ("seismic.force", "of_parts"),
}  # fmt: skip
"""Numbers by which the form asks and the findings speak: a yes to 6 ft is no answer to 3, a third no half."""


def read_amendments(given: Any) -> dict[str, Any] | None:
    """Read amendments as stored answers carry them.

    returns  the same in its one stored form: numbers as decimal strings, sorted; None for None
    raises   BadAnswer naming `amendments` and what was expected where
    """
    if given is None:
        return None
    parts = {"name", "title", "version", "on", "base", "clauses", "silent"}
    if not isinstance(given, Mapping) or set(given) - parts or parts - {"silent"} - set(given):
        raise BadAnswer(KEY, WANTED)
    if not isinstance(given["name"], str) or not _NAME.match(given["name"]):
        raise BadAnswer(KEY, "a name of small letters, digits and _, such as port_larkin_water")
    base = given["base"]
    if not isinstance(base, str) or base not in set(place_names().values()):
        raise BadAnswer(KEY, "a base, one of " + ", ".join(sorted(set(place_names().values()))))
    clauses, silent = given["clauses"], given.get("silent", {})
    parted = isinstance(clauses, Mapping) and isinstance(silent, Mapping)
    if not parted or not 1 <= len(clauses) + len(silent) <= MOST_CLAUSES:
        raise BadAnswer(KEY, f"1 to {MOST_CLAUSES} clauses, each under its name")
    if set(clauses) & set(silent):
        raise BadAnswer(KEY, f"{min(map(str, set(clauses) & set(silent)))[:60]}: stated or struck, not both")
    known = amendable(base)
    return {
        "name": given["name"],
        "title": read_title(given["title"]),
        "version": _version(given["version"]),
        "on": read_day(KEY, given["on"], "on: a date as YYYY-MM-DD"), "base": base,
        "clauses": {ident: _read_clause(ident, one, known) for ident, one in _sorted(clauses)},
        "silent": {_named(ident, known): _words(ident, why) for ident, why in _sorted(silent)},
    }  # fmt: skip


def read_title(given: Any) -> str:
    """Read the title under which the clauses of amendments are cited.

    raises   BadAnswer where it is no words, or what a published book or a place is called
    """
    title = _words("title", given)
    if " ".join(title.split()).casefold() in _published():
        raise BadAnswer(KEY, f"title: one of their own: {title[:60]} is a published one")
    return title


@lru_cache(maxsize=1)
def _published() -> frozenset[str]:
    """Every title that a finding may cite already."""
    books = (str(book(name)[0]["title"]) for name in book_ids())
    places = (place(name).title for name in place_names())
    return frozenset(title.casefold() for title in (*books, *places))


def _sorted(given: Mapping[Any, Any]) -> list[tuple[str, Any]]:
    return sorted((str(key), value) for key, value in given.items())


def _version(given: Any) -> int:
    number = isinstance(given, (int, Decimal)) and not isinstance(given, bool) and Decimal(given).is_finite()
    # The bounds first: the whole number of 1e99999999 would fill the machine.
    if not number or not 1 <= given <= MOST_VERSIONS or given != int(given):
        raise BadAnswer(KEY, f"a version, a whole number from 1 to {MOST_VERSIONS}")
    return int(given)


def _words(what: str, given: Any) -> str:
    try:
        said = read_words(KEY, given, LONGEST_SAYING)
    except BadAnswer:
        said = ""
    if not said:
        raise BadAnswer(KEY, f"{what[:60]}: words, at most {LONGEST_SAYING} characters")
    return said


def _named(ident: str, known: Mapping[str, Clause]) -> str:
    if ident not in known:
        wanted = "the name of a clause whose numbers can be set, such as supply.pressure_limit"
        raise BadAnswer(KEY, f"{ident[:60]}: {wanted}")
    return ident


def _read_clause(ident: str, given: Any, known: Mapping[str, Clause]) -> dict[str, Any]:
    pattern = known[_named(ident, known)]
    whole = isinstance(given, Mapping) and set(given) == {"section", "says", "values"}
    if not whole or not isinstance(given["values"], Mapping):
        raise BadAnswer(KEY, f"{ident}: section, says and values")
    wanted = settable(pattern)
    if set(given["values"]) != set(wanted):
        raise BadAnswer(KEY, f"{ident}: every value of it and no other: {', '.join(wanted)}")
    section, says = (_words(f"{ident}, {part}", given[part]) for part in ("section", "says"))
    values = {name: _value(ident, name, pattern, given["values"][name]) for name in sorted(wanted)}
    return {"section": section, "says": says, "values": values}


def _value(ident: str, name: str, pattern: Clause, given: Any) -> str:
    held = pattern.values[name]
    if isinstance(held, bool):
        if isinstance(given, bool) or given in ("yes", "no"):
            return "yes" if given in (True, "yes") else "no"
        raise BadAnswer(KEY, f"{ident}, {name}: yes or no")
    low, high = bounds(ident, name, held, pattern.units[name])
    try:
        number = _number(given, pattern.units[name]) if isinstance(given, str) else Decimal(given)
        near = number.is_finite() and low <= number <= high
        parted = near and pattern.units[name] in WHOLE and number != number.to_integral_value()
        if isinstance(given, (bool, float)) or not near or parted:
            raise Unreadable
    except (Unreadable, ArithmeticError, TypeError, ValueError):
        unit = pattern.units[name]
        kind = "a whole number" if unit in WHOLE else "a number"
        asks = ", by which forms and papers speak" if low == high else ""
        wanted = f"{kind} from {span(low, high, unit, 28)}{asks}"
        raise BadAnswer(KEY, f"{ident}, {name}: {wanted}; the book has {plain(held)}") from None
    return bare(EXACT.plus(number), 28)


def bounds(ident: str, name: str, held: Decimal, unit: str) -> tuple[Decimal, Decimal]:
    """The least and the most that an amendment may say where the book has `held`, in its unit."""
    if (ident, name) in _HELD:
        return _HELD[ident, name]
    if (ident, name) in _SPOKEN:
        return held, held
    if not held:
        return Decimal(0), LARGEST
    if unit in WHOLE:
        return Decimal(1), held * FARTHEST
    # A part of the whole stays one: 9 for 0.90 would let nine times as much pass.
    return held / FARTHEST, Decimal(1) if unit == "ratio" and held < 1 else held * FARTHEST


def _number(given: str, unit: str) -> Decimal:
    try:
        return parse_quantity(given, unit)
    except KeyError:
        # Nobody types pounds a gallon with its unit.
        return parse_quantity(given, "ratio")


def settable(clause: Clause) -> list[str]:
    """The values of a clause that an organisation may set: numbers, and what is yes or no."""
    own = (name for name, value in clause.values.items() if isinstance(value, (Decimal, bool)))
    return [name for name in own if name not in _CONSTANTS and (clause.id, name) not in _HAZARDS]


@lru_cache(maxsize=1)
def _patterns() -> dict[str, Clause]:
    """Every clause of nothing but numbers and yes or no -> one book's own, for its values and units."""
    found: dict[str, Clause] = {}
    for name in book_ids():
        for ident, clause in book(name)[1].items():
            whole = bool(clause.values) and len(settable(clause)) == len(clause.values)
            if whole and (ident not in found or len(clause.values) > len(found[ident].values)):
                found[ident] = clause
    return found


@lru_cache(maxsize=64)
def amendable(place_name: str) -> dict[str, Clause]:
    """Every clause that can be amended at a place -> its own, or another book's where it is silent.

    raises  UnknownPlace
    """
    stated = place(place_name).clauses
    own = {ident: clause for ident, clause in stated.items() if settable(clause)}
    others = {ident: clause for ident, clause in _patterns().items() if ident not in stated}
    return dict(sorted({**others, **own}.items()))


@lru_cache(maxsize=64)
def amended(stored: str) -> Place:
    """The base place with amendments laid over it.

    stored  the amendments in their stored form, as canonical JSON
    """
    given = json.loads(stored)
    base, known = place(given["base"]), amendable(given["base"])
    where = f"{given['title']}, version {given['version']}, as the office read it"
    clauses, silent = dict(base.clauses), dict(base.silent)
    for ident, one in given["clauses"].items():
        held = base.clauses.get(ident)
        own = {name: _judged_by(value) for name, value in one["values"].items()}
        whole = held is None or len(own) == len(held.values)
        clauses[ident] = Clause(
            ident, one["section"], one["says"], {**(held.values if held else {}), **own}, known[ident].units,
            where, given["on"], "read" if whole or held is None else held.confidence,
            "" if whole or held is None else held.carried_from, "", given["title"], given["name"],
        )  # fmt: skip
        silent.pop(ident, None)
    for ident, why in given["silent"].items():
        clauses.pop(ident, None)
        silent[ident] = why
    title = f"{base.title}, with {given['title']} {given['version']}"
    return Place(base.name, title, clauses, silent, base.about)


def _judged_by(stored: str) -> bool | Decimal:
    return stored == "yes" if stored in ("yes", "no") else Decimal(stored)


def named(given: Mapping[str, Any] | None) -> dict[str, str]:
    """Which amendments these are, as a report says it; nothing for None."""
    return {key: str(given[key]) for key in ("name", "title", "version", "on")} if given else {}
