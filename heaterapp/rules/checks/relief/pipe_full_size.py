"""The relief pipe is full size all the way.

Why: a narrower pipe chokes the valve when it has to let everything out.
Fix: re-run the pipe at the outlet's size or larger; with insert fittings one size larger.
"""

from decimal import Decimal

from ...questions.relief import INSERTS, PIPE
from ...report import Result, advice, fails, meets, unanswered
from ...units import Inch, tape_least

CLAUSES = ("relief.pipe_size", "relief.inserts")
WHEN = PIPE


def check(
    relief_pipe_in: Inch, relief_outlet_in: Inch, relief_pipe_material: str | None = None, relief_insert_fittings: bool | None = None,
    *, sizes: tuple[Decimal, ...] = (),
) -> Result | tuple[Result, Result]:  # fmt: skip
    needed, why = relief_outlet_in, ""
    larger = min((size for size in sizes if size > relief_outlet_in), default=relief_outlet_in)
    if relief_insert_fittings:
        needed, why = larger, " Insert fittings ask for one size larger." if sizes else ""
    found, asked = tape_least(relief_pipe_in, needed)
    said = f"Pipe {found} in, {asked} in asked.{why}"
    if relief_pipe_in < needed:
        return fails(said, relief_pipe_in, needed, "in")
    undecided = relief_insert_fittings is None and INSERTS.holds(lambda _: relief_pipe_material)
    if undecided and relief_pipe_in < larger:
        return unanswered(
            "To answer: whether insert fittings are in the pipe.", needs=("relief_insert_fittings",)
        )
    rule = meets(said, relief_pipe_in, needed, "in")
    if relief_insert_fittings and not sizes and relief_pipe_in == relief_outlet_in:
        tight = "Insert fittings narrow the bore: one size larger than the valve's outlet is better."
        return rule, advice("fails", tight, relief_pipe_in, None, "in", clause="relief.inserts")
    return rule
