"""A ground clamp on the cold pipe sits ahead of the shutoff.

Why: where this pipe grounds the house, work on the valve or the heater must not break the ground.
Fix: where the cold pipe grounds the house, move the clamp to the street side of the shutoff.
"""

from ...report import Result, advice, silent, unanswered

CLAUSES = ("electric.ground_clamp",)
KIND = "advice"


def check(ground_clamp_before_valve: bool | None = None) -> Result:
    if ground_clamp_before_valve is None:
        return unanswered("To answer: the ground clamp.", needs=("ground_clamp_before_valve",), kind="advice")
    if ground_clamp_before_valve:
        return silent("The clamp sits ahead of the shutoff; no adopted book asks it.", kind="advice")
    return advice("fails", "No ground clamp ahead of the shutoff.", "not ahead", "ahead")
