"""The straps are fixed to the structure.

Why: wallboard holds nothing.
Fix: lag the straps into studs or blocking, or anchor them in concrete or masonry.
"""

from ...questions import as_read
from ...report import Result, authority, fails, meets
from ...when import is_

CLAUSES = ("seismic.anchorage",)
WHEN = ~is_("bracing_required", "no")


def check(strap_anchor: str) -> Result:
    limit = "studs, concrete or masonry"
    if strap_anchor == "drywall_only":
        return fails("Fixed to wallboard only.", "wallboard", limit)
    if strap_anchor == "other":
        return authority(
            "Fixed to something else: the authority decides whether it is structure.", as_read("strap_anchor", strap_anchor), limit
        )
    shown = "studs" if strap_anchor == "lag_in_stud" else "concrete or masonry"
    return meets(f"Fixed to {shown}.", shown, limit)
