"""Figures of how hot the water is."""

from __future__ import annotations

from ..book import Table
from ..calc.printed import row_up_to
from ..figure import figure
from ..report import Worked
from ..units import DegF, plain


@figure(
    "s",
    "1",
    "the time of the table at this temperature, or of its next hotter row",
    "consumer agency figures, adult skin, third degree",
    clauses=("temperature.scald",),
)
def scald_seconds(
    mixed_outlet_f: DegF | None = None, outlet_temperature_f: DegF | None = None, thermostat_f: DegF | None = None,
    mixing_valve_fitted: bool | None = None, *, burns: Table,
) -> Worked:  # fmt: skip
    over = mixed_outlet_f is not None and outlet_temperature_f is not None and outlet_temperature_f > mixed_outlet_f
    # Where nothing mixes, a tap that was cooler when it was read will not stay so.
    warming = thermostat_f is not None and (outlet_temperature_f is None or thermostat_f > outlet_temperature_f)
    given = (
        (None if over else mixed_outlet_f, "at the mixing valve"),
        (thermostat_f if warming and not mixing_valve_fitted else None, "as set"),
        (outlet_temperature_f, "at a tap"),
        (thermostat_f, "as set"),
    )
    hot, where = next(((value, name) for value, name in given if value is not None), (None, ""))
    if mixing_valve_fitted and mixed_outlet_f is None and outlet_temperature_f is None:
        return Worked(None, needs=("mixed_outlet_f",))
    if hot is None:
        return Worked(None, needs=("thermostat_f",))
    at = f"{plain(hot)} F {where}"
    first, last = burns.rows[0], burns.rows[-1]
    if hot < first["temperature_f"]:
        return Worked(None, says=f"{at}: below {plain(first['temperature_f'])} F the table gives no time.")
    row = row_up_to(burns.rows, "temperature_f", hot)
    if row is None:
        beyond = f"hotter than the table's last row, {plain(last['temperature_f'])} F: it burns an adult in less than {plain(last['seconds'])} s, a child sooner."
        return Worked(None, says=f"{at} is {beyond}")
    seconds, between = plain(row["seconds"]), row["temperature_f"] != hot
    read = f"{at} (the table's next hotter row, {plain(row['temperature_f'])} F)" if between else at
    slower = [one["seconds"] for one in burns.rows if one["temperature_f"] < hot]
    time = f"{seconds} to {plain(slower[-1])} s" if between else f"about {seconds} s"
    says = f"It burns an adult in {time} at {read}, a child sooner."
    return Worked(row["seconds"], f"{read}: {seconds} s or more" if between else f"{read}: {seconds} s", says)
