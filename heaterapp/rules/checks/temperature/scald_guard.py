"""The hot water cannot scald, or a mixing valve stands in the way.

Why: water at 140 F burns an adult to the third degree in seconds, a child sooner.
Fix: turn the thermostat down to 120 F, or fit a listed mixing valve at the heater.
"""

from decimal import Decimal

from ...report import Result, Worked, advice, fails, meets, unanswered
from ...units import DegF, plain

CLAUSES = ("temperature.scald", "temperature.combined_heating")


def check(
    thermostat_f: DegF, mixing_valve_fitted: bool | None = None, heats_space_too: bool | None = None, scald_seconds: Worked | None = None,
    *, advised: DegF, most: DegF | None = None,
) -> Result | tuple[Result, ...]:  # fmt: skip
    said = f"Set to {plain(thermostat_f)} F"
    if thermostat_f <= advised:
        return meets(f"{said}, {plain(advised)} F or less advised.", thermostat_f, advised, "degF")
    if mixing_valve_fitted is None:
        return unanswered("To answer: whether a mixing valve is fitted.", needs=("mixing_valve_fitted",))
    if mixing_valve_fitted:
        return meets(f"{said}, with a mixing valve.", thermostat_f, advised, "degF")
    time = scald_seconds.value if scald_seconds is not None else None
    burn = (
        f" It burns an adult in about {plain(time)} s, a child sooner."
        if isinstance(time, Decimal)
        else " It burns at once."
    )
    note = advice(
        "fails",
        f"{said} without a mixing valve; {plain(advised)} F is advised.{burn}",
        thermostat_f,
        advised,
        "degF",
    )
    if most is None or thermostat_f <= most:
        return note
    if heats_space_too is None:
        return unanswered("To answer: whether the heater also heats rooms.", needs=("heats_space_too",))
    if heats_space_too:
        rule = fails(
            f"{said}; it also heats rooms, and above {plain(most)} F a mixing valve is asked.{burn}",
            thermostat_f,
            most,
            "degF",
            clause="temperature.combined_heating",
        )
        return rule, note
    return note
