"""Answers that are kept and flagged: unusual values, "not here" where it cannot be, codes of a later day."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

from .job import Job
from .postal import badly_written
from .questions import CATALOGUE
from .units import amount, span
from .when import NOT_ASKED

_NO_ANSWER = "“Not here” is no answer to this: give it, or say why it could not be measured."


def implausible(job: Job, nonsense: Mapping[str, str]) -> tuple[dict[str, str], ...]:
    """One entry for each unusual number and each "not here" that answers nothing, in name order.

    nonsense  question -> what it contradicts, as `impossible` tells it
    """
    flagged = [
        {"question": name, "says": _NO_ANSWER}
        for name, state in job.state.items()
        if state == "not_here" and job.look(name) is None
    ]
    flagged += [{"question": name, "says": f"{said} Measure again."} for name, said in nonsense.items()]
    for name, value in job.values.items():
        # What is left over from a part that is not there is nobody's value.
        if name in nonsense or job.look(name) is NOT_ASKED:
            continue
        soft = CATALOGUE[name].soft
        if soft and isinstance(value, Decimal) and not soft[0] <= value <= soft[1]:
            unit = CATALOGUE[name].unit
            usual = span(*soft, unit)
            own = "year" if unit == "year" else ""
            says = f"{amount(value, own)} is unusual: {usual} is plausible. Kept as given."
            flagged.append({"question": name, "says": says})
    flagged += [
        {"question": name, "says": f"“{job.values[name]}”: {expected} is expected. Kept as given."}
        for name, expected in badly_written(job.values).items()
    ]
    flagged += _not_in_force(job)
    return tuple(sorted(flagged, key=lambda one: one["question"]))


def _not_in_force(job: Job) -> list[dict[str, str]]:
    """What is said where the amendments that judge came into force after the work was done."""
    own, day = job.amendments, job.values.get("work_date")
    if not own or not isinstance(day, str) or day >= own["on"]:
        return []
    later = f"{own['title']}, by which this is judged, is in force from {own['on']}, after the work"
    return [{"question": "work_date", "says": f"{later}. Kept as given."}]
