"""Values that are possible but unusual: kept, and flagged."""

from __future__ import annotations

from decimal import Decimal

from .job import Job
from .questions import CATALOGUE
from .units import plain


def implausible(job: Job) -> tuple[dict[str, str], ...]:
    """One entry for each number outside its question's plausible range, in name order."""
    flagged = []
    for name, value in job.values.items():
        soft = CATALOGUE[name].soft
        if soft and isinstance(value, Decimal) and not soft[0] <= value <= soft[1]:
            usual = f"{plain(soft[0])} to {plain(soft[1])} {CATALOGUE[name].unit}"
            says = f"{plain(value)} is unusual: {usual} is plausible. Kept as given."
            flagged.append({"question": name, "says": says})
    return tuple(sorted(flagged, key=lambda one: one["question"]))
