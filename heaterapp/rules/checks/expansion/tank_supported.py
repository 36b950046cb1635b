"""The expansion tank is held up by more than its pipe.

Why: full of water it hangs on its thread, and breaks off in an earthquake or when the bladder fails.
Fix: strap or bracket the tank to the structure.
"""

from ...questions import as_read
from ...questions.water import TANK
from ...report import Result, authority, fails, meets

CLAUSES = ("expansion.support",)
WHEN = TANK


def check(expansion_tank_support: str, *, pipe_alone_barred: bool) -> Result:
    limit = "the structure or a bracket"
    if expansion_tank_support != "pipe_only":
        held = as_read("expansion_tank_support", expansion_tank_support)
        return meets(f"Held by: {held}.", held, limit)
    if pipe_alone_barred:
        return fails("The tank hangs on its pipe.", "its pipe alone", limit)
    return authority(
        "The tank hangs on its pipe: allowed only if its maker's instructions say so.", "its pipe alone", limit
    )
