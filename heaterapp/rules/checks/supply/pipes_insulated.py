"""The hot pipe near the heater is insulated.

Why: bare pipe at the heater throws heat away day and night.
Fix: insulate the first feet of the hot and cold pipes, 6 in clear of the draft hood.
"""

from ...report import Result, advice
from ...units import Foot, plain

CLAUSES = ("supply.pipe_insulation",)
KIND = "advice"


def check(pipe_insulation_ft: Foot, *, length: Foot) -> Result:
    said = f"{plain(pipe_insulation_ft)} ft insulated, {plain(length)} ft advised."
    return advice(
        "meets" if pipe_insulation_ft >= length else "fails", said, pipe_insulation_ft, length, "ft"
    )
