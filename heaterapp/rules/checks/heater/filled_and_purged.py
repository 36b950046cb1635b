"""The heater is full of water and its air is purged.

Why: a heater fired without water overheats and is ruined, and trapped air spits scalding water at a tap.
Fix: leave it off; open a hot tap, fill until water runs there without air, then turn it on.
"""

from ...report import Result, fails, meets, not_applicable, unanswered

CLAUSES = ("heater.filled",)


def check(filled_and_purged: bool | None = None, tank_full_before_power: bool | None = None) -> Result:
    if filled_and_purged is None:
        return unanswered(
            "To answer: whether it is filled, and the air let out.", needs=("filled_and_purged",), kind="advice"
        )
    if filled_and_purged:
        return meets("Filled, and the air let out.", "filled", "filled")
    if tank_full_before_power is False:
        return not_applicable("Power before the tank was full is judged by itself: filling is its remedy too.")
    return fails("The heater is not filled, or air is still in it.", "not filled", "filled")
