"""Answers of which more is better, within what bounds, and the checks that may not fail for it."""

from __future__ import annotations

import random
from collections.abc import Callable
from decimal import Decimal
from typing import Any

from heaterapp.rules import CATALOGUE, Job, assess, book

EIGHTH = Decimal("0.125")
SIZES_A = sorted(row["rating_a"] for row in book.table("standard_breakers").rows)


def _more(job: Job, name: str, dice: random.Random) -> str | None:
    value, question = job.values.get(name), CATALOGUE[name]
    if not isinstance(value, Decimal) or question.hard is None or value >= question.hard[1]:
        return None
    larger = value + (question.hard[1] - value) * dice.randrange(1, 1001) / 1000
    return str(larger.to_integral_value()) if question.whole else str(larger)


def _larger_tank(job: Job, name: str, dice: random.Random) -> str | None:
    """A larger tank of the same make takes more too: one whose acceptance stays is another tank, not a better one."""
    return None if "expansion_acceptance_gal" in job.values else _more(job, name, dice)


def _next_size(*sizes: str) -> Callable[[Job, str, random.Random], str | None]:
    def step(job: Job, name: str, _: random.Random) -> str | None:
        return next(
            (
                size
                for size in sizes
                if isinstance(job.values.get(name), Decimal) and Decimal(size) > job.values[name]
            ),
            None,
        )

    return step


def _larger_breaker(job: Job, name: str, _: random.Random) -> str | None:
    """The next standard size, while the load and the plate let it be as large."""
    value, most, marked = job.values.get(name), _figure(job, "breaker_max_a"), job.values.get("breaker_marked_max_a")
    larger = next((size for size in SIZES_A if isinstance(value, Decimal) and size > value), None)
    if larger is None or not isinstance(most, str) or larger > Decimal(most):
        return None
    # the figure is rounded to whole amperes; a random plate is not
    return None if isinstance(marked, Decimal) and larger > marked else str(larger)


def _higher_strap(job: Job, name: str, dice: random.Random) -> list[str] | None:
    """The lowest or the highest strap raised, and still inside its band."""
    straps = [*(job.values.get(name) or ())]
    at, band = dice.choice(((0, "lower_strap_band_in"), (-1, "upper_strap_band_in")))
    ends = _figure(job, band)
    if len(straps) < 2 or not isinstance(ends, list):
        return None
    # the figure's ends are rounded to a hundredth: an eighth inside them is inside
    top = Decimal(ends[1]) // EIGHTH * EIGHTH
    if not Decimal(ends[0]) <= straps[at] < top:
        return None
    straps[at] = min(top, straps[at] + EIGHTH * dice.randrange(1, 200))
    return [str(one) for one in straps] if straps == sorted(straps) else None


def _figure(job: Job, name: str) -> Any:
    return assess(job).as_json()["figures"].get(name, {}).get("value")


def _thicker(job: Job, name: str, _: random.Random) -> str | None:
    value = job.values.get(name)
    return str(value - 2) if isinstance(value, Decimal) and value > 4 and value % 2 == 0 else None


BETTER: dict[str, tuple[Callable[[Job, str, random.Random], Any], tuple[str, ...]]] = {
    "expansion_tank_gal": (
        _larger_tank,
        ("expansion.tank_large_enough", "expansion.peak_as_set", "expansion.tank_can_hold_it"),
    ),
    "expansion_tank_rating_psi": (_more, ("expansion.tank_rated_for_pressure",)),
    "working_pressure_psi": (_more, ("heater.working_pressure_covers_relief",)),
    "first_hour_gal": (_more, ("heater.first_hour_rating",)),
    "heater_altitude_limit_ft": (_more, ("heater.suits_elevation",)),
    "heater_clearance_in": (_more, ("place.heater_clearance",)),
    "vent_clearance_in": (_more, ("venting.clearance",)),
    "connector_clearance_in": (_more, ("venting.connector_clearance",)),
    "draft_hood_clearance_in": (_more, ("venting.draft_hood_clearance",)),
    "connector_rise_in": (_more, ("venting.connector_slope",)),
    "vent_above_roof_in": (_more, ("venting.end_above_roof", "venting.chimney_end")),
    "vent_maker_max_length_ft": (_more, ("venting.length_within_maker",)),
    "wall_terminal_above_grade_in": (_more, ("venting.wall_terminal",)),
    "relief_capacity_btuh": (_more, ("relief.capacity",)),
    "relief_pipe_in": (_more, ("relief.pipe_full_size",)),
    "pan_depth_in": (_more, ("pan.depth",)),
    "pan_drain_in": (_more, ("pan.drain_size",)),
    "gas_pipe_in": (
        _next_size("0.5", "0.75", "1", "1.25", "1.5", "2", "2.5", "3", "4"),
        ("gas.pipe_capacity",),
    ),
    "gas_running_inwc": (_more, ("gas.inlet_pressure",)),
    "gas_piping_test_psi": (_more, ("gas.piping_tested",)),
    "gas_piping_test_min": (_more, ("gas.piping_tested",)),
    "room_volume_ft3": (_more, ("air.enough_air", "place.heat_pump_air")),
    "air_opening_high_in2": (_more, ("air.enough_air",)),
    "air_opening_low_in2": (_more, ("air.enough_air",)),
    "air_single_opening_in2": (_more, ("air.enough_air",)),
    "mechanical_air_cfm": (_more, ("air.enough_air",)),
    "air_intake_above_ground_in": (_more, ("air.intake_above_ground",)),
    "air_opening_least_dimension_in": (_more, ("air.opening_dimension",)),
    "wire_awg": (_thicker, ("electric.conductor",)),
    "breaker_a": (_larger_breaker, ("electric.breaker",)),
    "strap_heights_in": (_higher_strap, ("seismic.lower_strap_in_lower_third", "seismic.upper_strap_in_upper_third")),
    "ignition_height_in": (_more, ("place.ignition_height",)),
    "attic_passage_width_in": (_more, ("place.attic_access",)),
    "attic_passage_height_in": (_more, ("place.attic_access",)),
}
"""Questions of which more is better: how to take more, and the checks that may not fail for it."""
