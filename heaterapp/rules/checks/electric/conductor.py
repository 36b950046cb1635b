"""The wire carries the heater's load and is protected by its breaker.

Why: a wire smaller than its breaker overheats inside the wall before the breaker trips.
Fix: have a licensed electrician pull larger wire or fit a smaller breaker that still carries the load.
"""

from decimal import Decimal

from ...book import Table
from ...calc import electrical
from ...questions.plate import ELECTRIC
from ...report import Result, Worked, engineer, fails, meets, unanswered
from ...units import HUNDREDTHS, Ampere, Awg, against_least, against_most, plain
from . import NO_AMPERES

CLAUSES = (
    "electric.ampacity",
    "electric.ampacity_aluminum",
    "electric.small_conductors",
    "electric.standard_ratings",
)
WHEN = ELECTRIC


def _smaller_serves(carries: object, needed: object, breaker: Decimal, cap: Decimal | None, made: list[Decimal]) -> bool:
    """Whether a smaller breaker would protect this wire and carry the load; said too while either is not known."""
    if not isinstance(carries, Decimal) or not isinstance(needed, Decimal):
        return True
    most = electrical.breaker_limit_of_wire(carries, made, cap)
    return carries >= needed and any(needed <= one < breaker and (most is None or one <= most) for one in made)


def check(
    wire_awg: Awg, wire_metal: str, breaker_a: Ampere, conductor_ampacity_a: Worked, circuit_needed_a: Worked,
    *, caps: Table, ratings: Table,
) -> Result:  # fmt: skip
    clause = "electric.ampacity" if wire_metal == "copper" else "electric.ampacity_aluminum"
    carries, needed = conductor_ampacity_a.value, circuit_needed_a.value
    made = [row["rating_a"] for row in ratings.rows]
    small = [row for row in caps.rows if row["metal"] == wire_metal and row["awg"] <= wire_awg]
    least = max(small, key=lambda row: row["awg"], default=None)
    thick = least is None or wire_awg <= least["awg"]
    cap = least["breaker_a"] if least is not None and thick else None
    fix = "" if thick and _smaller_serves(carries, needed, breaker_a, cap, made) else "Have a licensed electrician pull larger wire."
    if least is not None and breaker_a > least["breaker_a"]:
        breaker, most_a = against_most(breaker_a, least["breaker_a"])
        held = f"may have a breaker of {most_a} A at most"
        if wire_awg > least["awg"]:
            held = f"is thinner than {plain(least['awg'])} AWG, which {held}"
        why = f"{plain(wire_awg)} AWG {wire_metal} {held}; this one is {breaker} A."
        return fails(why, breaker_a, least["breaker_a"], "A", clause="electric.small_conductors", fix=fix)
    if least is not None and wire_awg > max(row["awg"] for row in small):
        why = f"{plain(wire_awg)} AWG {wire_metal} is thinner than {plain(least['awg'])} AWG, the thinnest that a circuit may have."
        least_size = f"{plain(least['awg'])} AWG or thicker"
        return fails(why, f"{plain(wire_awg)} AWG", least_size, clause="electric.small_conductors", fix=fix)
    if not isinstance(carries, Decimal):
        return engineer(f"Not in the table: {conductor_ampacity_a.says}.", clause=clause)
    amperes, asked = against_least(carries, needed, HUNDREDTHS) if isinstance(needed, Decimal) else (plain(carries), "")
    said = f"{plain(wire_awg)} AWG {wire_metal} carries {amperes} A"
    if isinstance(needed, Decimal):
        said += f"; the circuit needs {asked} A."
        if carries < needed:
            return fails(said, carries, needed, "A", clause=clause, fix=fix)
    most = electrical.breaker_limit_of_wire(carries, made)
    # Said even where the load is not known: such a breaker does not protect this wire.
    if most is not None and breaker_a > most:
        breaker, most_a = against_most(breaker_a, most)
        why = f"{plain(wire_awg)} AWG {wire_metal} may have a breaker of {most_a} A at most; this one is {breaker} A."
        return fails(why, breaker_a, most, "A", clause=clause, fix=fix)
    if not isinstance(needed, Decimal):
        return unanswered(f"Not worked out: {circuit_needed_a.says}.", clause=clause, fix=NO_AMPERES)
    return meets(f"{said} Its {plain(breaker_a)} A breaker protects it.", carries, needed, "A", clause=clause)
