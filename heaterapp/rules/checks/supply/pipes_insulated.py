"""The hot pipe near the heater is insulated.

Why: bare pipe at the heater throws heat away day and night.
Fix: insulate the first feet of the hot and cold pipes, clear of any draft hood and vent.
"""

from ...report import Result, advice, authority, fails, meets, silent, unanswered
from ...units import Foot, Inch, against_least, eighths, tape_least

CLAUSES = ("supply.pipe_insulation", "supply.hot_pipe_insulation")
KIND = "advice"


def check(
    pipe_insulation_ft: Foot | None = None, pipe_insulation_in: Inch | None = None, job_kind: str | None = None,
    *, length: Foot, least: Inch | None = None, marked: str | None = None,
) -> tuple[Result, ...]:  # fmt: skip
    if pipe_insulation_ft is None:
        note = advice(
            "unanswered",
            "To answer: the length of hot pipe that is insulated.",
            needs=("pipe_insulation_ft",),
        )
    else:
        found, advised = against_least(pipe_insulation_ft, length)
        said = f"{found} ft insulated, {advised} ft advised."
        note = advice(
            "meets" if pipe_insulation_ft >= length else "fails", said, pipe_insulation_ft, length, "ft"
        )
    return (note,) if job_kind != "new" else (_new_pipe(pipe_insulation_in, least, marked), note)


def _new_pipe(thick: Inch | None, least: Inch | None, marked: str | None) -> Result:
    clause = "supply.hot_pipe_insulation"
    if least is None and marked is None:
        return silent("This place's books leave pipe insulation to the energy code.")
    if thick is None:
        return unanswered(
            "To answer: the thickness of the insulation on the hot pipe.",
            needs=("pipe_insulation_in",),
            clause=clause,
        )
    if least is not None:
        found, asked = tape_least(thick, least)
        said = f"Insulation {found} in thick; {asked} in asked on the {asked} in pipe usual at a heater."
        return (meets if thick >= least else fails)(said, thick, least, "in", clause=clause)
    if thick > 0:
        return authority(
            f"Insulated, {eighths(thick)} in thick; {marked} is asked: read the mark on the sleeve.",
            thick,
            marked,
            "in",
            clause=clause,
        )
    return fails(f"New hot pipe without insulation; {marked} is asked.", "bare", marked, clause=clause)
