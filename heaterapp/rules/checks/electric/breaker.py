"""The breaker suits the heater: large enough for its load, no larger than allowed.

Why: a breaker too small trips on a long heat-up; one too large lets the wiring overheat.
Fix: have a licensed electrician fit a breaker in the allowed range. Turn the power off first.
"""

from decimal import Decimal

from ...questions.plate import ELECTRIC
from ...report import Result, Worked, authority, engineer, fails, meets, unanswered
from ...units import HUNDREDTHS, Ampere, clear_of, plain
from . import NO_AMPERES

CLAUSES = ("electric.overcurrent", "electric.continuous_load")
WHEN = ELECTRIC


def check(
    breaker_a: Ampere,
    breaker_min_a: Worked,
    breaker_max_a: Worked,
    breaker_marked_max_a: Ampere | None = None,
) -> Result:
    least, most = breaker_min_a.value, breaker_max_a.value
    for figure in (breaker_min_a, breaker_max_a):
        if not isinstance(figure.value, Decimal):
            if figure.needs:
                return unanswered(f"Not worked out: {figure.says}.", fix=NO_AMPERES, needs=figure.needs)
            return engineer(f"Not worked out: {figure.says}.")
    assert isinstance(least, Decimal)
    assert isinstance(most, Decimal)
    if breaker_marked_max_a is not None and most < least:
        said = f"The plate's marked maximum of {clear_of(most, least, breaker_a, places=HUNDREDTHS, down=True)} A governs; the load would ask for {plain(least)} A."
        if breaker_a != most:
            said = f"{said} The breaker is {clear_of(breaker_a, most)} A."
        return (meets if breaker_a == most else fails)(said, breaker_a, most, "A")
    allowed = f"{plain(least)} A" if least == most else f"{plain(least)} to {clear_of(most, least, breaker_a, places=HUNDREDTHS, down=True)} A"
    said = f"Breaker {clear_of(breaker_a, least, most)} A; {allowed} is allowed."
    if most < least:
        return authority(
            f"The least, {plain(least)} A, is above the most, {plain(most)} A: follow the plate.",
            breaker_a,
            most,
            "A",
        )
    if breaker_a > most:
        return fails(
            said,
            breaker_a,
            most,
            "A",
            fix=f"Fit a breaker of {allowed}. Power off first.",
        )
    if breaker_a < least:
        return fails(
            said,
            breaker_a,
            least,
            "A",
            clause="electric.continuous_load",
            fix=f"Fit a breaker of {allowed}, with wire to match. Power off first.",
        )
    return meets(said, breaker_a, most, "A")
