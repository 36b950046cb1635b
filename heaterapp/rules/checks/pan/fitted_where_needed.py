"""A pan stands under the heater where a leak would do damage.

Why: tanks end by leaking, mostly when nobody is there.
Fix: set the heater in a pan with a drain.
"""

from ...report import Result, authority, fails, meets, not_applicable, unanswered

CLAUSES = ("pan.fitted",)


def check(
    heater_kind: str, leak_would_damage: bool, pan_fitted: bool | None = None, room: str | None = None, pan_substitute: str | None = None,
    *, heaters: tuple[str, ...], rooms_in_doubt: tuple[str, ...] = (), always: bool = False,
) -> Result:  # fmt: skip
    if heater_kind not in heaters:
        return not_applicable("This book asks a pan for storage tanks only.")
    if not leak_would_damage and not always:
        if room in rooms_in_doubt and pan_fitted is False:
            said = f"No pan in the {room}. The sentence can be read as asking for one there in any case. Ask the authority."
            return authority(said, "no pan", "pan")
        return not_applicable("A leak here would not damage the building.")
    if pan_fitted is None:
        return unanswered("To answer: whether there is a pan.", needs=("pan_fitted",))
    asked = "Every heater stands in a pan here" if always else "A leak would do damage"
    if pan_fitted:
        return meets(f"{asked}; a pan is fitted.", "pan", "pan")
    instead = (
        ""
        if pan_substitute in (None, "none")
        else " What is fitted instead does not replace it in this book."
    )
    return fails(f"{asked}, and there is no pan.{instead}", "no pan", "pan")
