"""The hot water cannot scald, or a mixing valve stands in the way.

Why: hot water burns an adult deeply in seconds, a child sooner.
Fix: turn the thermostat down, or fit a listed mixing valve at the heater.
"""

from ...report import Result, Worked, advice, fails, meets, unanswered
from ...units import DegF, clear_of, plain

CLAUSES = ("temperature.scald", "temperature.combined_heating")
_TAP_TOO_HOT = "Turn the thermostat down, or fit a listed mixing valve at the heater, and measure again at the tap."
_VALVE_TOO_HOT = "Set the mixing valve lower, or mend it, and measure again at the tap."


def _unknown_guard(fitted: bool | None, mixed: DegF | None) -> Result | None:
    if fitted is None:
        return unanswered("To answer: whether a mixing valve is fitted.", needs=("mixing_valve_fitted",))
    if fitted and mixed is None:
        return unanswered("To answer: what the mixing valve is set to.", needs=("mixed_outlet_f",))
    return None


def check(
    thermostat_f: DegF, mixing_valve_fitted: bool | None = None, mixed_outlet_f: DegF | None = None,
    heats_space_too: bool | None = None, scald_seconds: Worked | None = None, outlet_temperature_f: DegF | None = None,
    *, advised: DegF, most: DegF | None = None,
) -> Result | tuple[Result, ...]:  # fmt: skip
    edges = (advised,) if most is None else (advised, most)
    said = f"Set to {clear_of(thermostat_f, *edges)} F"
    hot_tap = outlet_temperature_f if outlet_temperature_f is not None and outlet_temperature_f > advised else None
    if thermostat_f <= advised and hot_tap is None:
        return meets(f"{said}, {plain(advised)} F or less advised.", thermostat_f, advised, "degF")
    # Nobody who reads the paper may take hot water with an unknown guard for water that cannot burn.
    waits = _unknown_guard(mixing_valve_fitted, mixed_outlet_f) if thermostat_f > advised else None
    if waits is not None and hot_tap is None:
        return waits
    if mixed_outlet_f is not None:
        said += f", mixing valve at {clear_of(mixed_outlet_f, *edges)} F"
    elif mixing_valve_fitted is False:
        said += ", no mixing valve"
    elif mixing_valve_fitted:
        said += ", mixing valve fitted"
    to_taps = mixed_outlet_f if mixed_outlet_f is not None else thermostat_f
    fix = f"Turn the thermostat down to {plain(advised)} F, or fit a listed mixing valve at the heater."
    over = hot_tap is not None and (hot_tap > to_taps or waits is not None)
    if hot_tap is not None and over:
        # What was measured counts before what was set.
        to_taps, said = hot_tap, f"{said}; a tap gave {clear_of(hot_tap, *edges)} F"
        fix = _VALVE_TOO_HOT if mixing_valve_fitted else _TAP_TOO_HOT
    if to_taps <= advised:
        return meets(f"{said}.", to_taps, advised, "degF")
    burn = f" {scald_seconds.says}" if scald_seconds is not None else ""
    why = f"{said}; {plain(advised)} F at the taps is advised.{burn}"
    note = advice("fails", why, to_taps, advised, "degF", fix=fix)
    if waits is not None:
        return waits, note
    if most is None or to_taps <= most or heats_space_too is False:
        return note
    if heats_space_too is None:
        return unanswered("To answer: whether the heater also heats rooms.", needs=("heats_space_too",)), note
    why = f"{said}; it also heats rooms, and more than {plain(most)} F may not reach the taps.{burn}"
    return fails(
        why,
        to_taps,
        most,
        "degF",
        fix=fix if over else f"Fit a listed mixing valve and set it to {plain(advised)} F.",
        clause="temperature.combined_heating",
    ), note
