"""The relief pipe is full size all the way.

Why: a narrower pipe chokes the valve when it has to let everything out.
Fix: re-run the pipe at the outlet's size or larger; with insert fittings one size larger.
"""

from decimal import Decimal

from ...questions.relief import PIPE
from ...report import Result, fails, meets
from ...units import Inch, eighths

CLAUSES = ("relief.pipe_size",)
WHEN = PIPE


def check(
    relief_pipe_in: Inch,
    relief_outlet_in: Inch,
    relief_insert_fittings: bool | None = None,
    *,
    sizes: tuple[Decimal, ...] | None = None,
) -> Result:
    needed, why = relief_outlet_in, ""
    if relief_insert_fittings and sizes is not None:
        needed = min((size for size in sizes if size > relief_outlet_in), default=relief_outlet_in)
        why = " Insert fittings ask for one size larger."
    said = f"Pipe {eighths(relief_pipe_in)} in, {eighths(needed)} in asked.{why}"
    return (meets if relief_pipe_in >= needed else fails)(said, relief_pipe_in, needed, "in")
