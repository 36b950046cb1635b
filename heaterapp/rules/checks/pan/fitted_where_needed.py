"""A pan stands under the heater where a leak would do damage.

Why: tanks end by leaking, mostly when nobody is there.
Fix: set the heater in a pan with a drain.
"""

from ...report import Result, fails, meets, not_applicable, unanswered

CLAUSES = ("pan.fitted",)


def check(
    heater_kind: str, leak_would_damage: bool, pan_fitted: bool | None = None, *, heaters: tuple[str, ...]
) -> Result:
    if heater_kind not in heaters:
        return not_applicable("This book asks a pan for storage tanks only.")
    if not leak_would_damage:
        return not_applicable("A leak here would not damage the building.")
    if pan_fitted is None:
        return unanswered("To answer: whether there is a pan.", needs=("pan_fitted",))
    if pan_fitted:
        return meets("A leak would do damage; a pan is fitted.", "pan", "pan")
    return fails("A leak would do damage, and there is no pan.", "no pan", "pan")
