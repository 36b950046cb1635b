"""The expansion tank is held up by more than its pipe.

Why: full of water it hangs on its thread, and breaks off in an earthquake or when the bladder fails.
Fix: strap or bracket the tank to the structure.
"""

from ...questions.water import TANK
from ...report import Result, authority, fails, meets

CLAUSES = ("expansion.support",)
WHEN = TANK


def check(expansion_tank_support: str, *, pipe_alone_barred: bool) -> Result:
    limit = "the structure or a bracket"
    if expansion_tank_support != "pipe_only":
        return meets(f"Held by: {expansion_tank_support}.", expansion_tank_support, limit)
    if pipe_alone_barred:
        return fails("The tank hangs on its pipe.", "pipe only", limit)
    return authority(
        "The tank hangs on its pipe: allowed only if its maker's instructions say so.", "pipe only", limit
    )
