"""Figures of the gas pipe: what the section to the heater carries."""

from __future__ import annotations

from ..book import Table
from ..calc import gas
from ..figure import figure
from ..questions.gas import PIPE
from ..report import Worked
from ..units import BtuPerCubicFoot, Foot, Inch, InchWaterColumn, Psi, Ratio, eighths, plain, plain_down
from ..when import is_

STEEL = PIPE & is_("gas_pipe_material", "steel")


@figure(
    "Btu/h", "1", "the printed cell of the longest length; else share x (19.17 D (dH / (Cr L))^0.206)^(1/0.381) x heat value, kept between the tables' cells",
    "fuel gas code, pipe sizing", when=STEEL, clauses=("gas.pipe",), down=True,
)  # fmt: skip
def gas_pipe_capacity_btuh(
    gas_pipe_in: Inch, gas_pipe_length_ft: Foot, gas_kind: str, gas_supply_pressure_psi: Psi,
    gas_pressure_drop_inwc: InchWaterColumn | None = None, gas_heat_btu_per_ft3: BtuPerCubicFoot | None = None,
    *, natural_table: Table, natural_table_low: Table, propane_table: Table, diameters: Table, usual_drop: InchWaterColumn,
    low_drop: InchWaterColumn, below_psi: Psi, natural_factor: Ratio, propane_factor: Ratio, natural_heat: BtuPerCubicFoot, propane_heat: BtuPerCubicFoot,
    natural_share: Ratio, propane_share: Ratio,
) -> Worked:  # fmt: skip
    if gas_supply_pressure_psi >= below_psi:
        return Worked(None, says=f"from {plain(below_psi)} psi on the pipe goes by other tables")
    drop = gas_pressure_drop_inwc if gas_pressure_drop_inwc is not None else usual_drop
    heat = gas_heat_btu_per_ft3 or natural_heat
    by = gas.Sizing(
        natural_table.rows, natural_table_low.rows, propane_table.rows, diameters.rows, usual_drop, low_drop,
        (natural_factor, propane_factor), (heat, propane_heat), (natural_share, propane_share),
    )  # fmt: skip
    propane = gas_kind == "propane"
    found = gas.section(by, pipe_in=gas_pipe_in, length_ft=gas_pipe_length_ft, propane=propane, drop_inwc=drop)
    if found is None:
        return Worked(None, says=f"no diameter is held for {eighths(gas_pipe_in)} in pipe: it needs a design")
    other = f" of the {plain(found.drop_inwc)} in. w.c. table" if found.drop_inwc != drop else ""
    size = f"{eighths(gas_pipe_in)} in, drop {plain(drop)} in. w.c."
    carries = plain_down(found.value, 0)
    if found.by == "cell":
        table = propane_table if propane else natural_table if found.drop_inwc == usual_drop else natural_table_low
        cell = found.value / (1000 if propane else heat)
        read = f"{plain(cell)} thousand" if propane else f"{plain(cell)} cu ft an hour, {plain(cell)} x {plain(heat)} Btu/cu ft"
        worked = f"{size}, IFGC {table.cited_as}, row {plain(found.row_ft)} ft{other}: {read} = {carries} Btu/h"
    else:
        at = "" if propane else f", {plain(heat)} Btu/cu ft"
        worked = f"{size}, equation at {plain(gas_pipe_length_ft)} ft{at}: {carries} Btu/h"
    said = "That row of the table is from memory: near it look in your code book." if found.doubt else ""
    if not propane and gas_heat_btu_per_ft3 is None:
        said = f"{said} {plain(heat)} Btu/cu ft is taken as usual: it is not the utility's figure.".strip()
    if drop > usual_drop:
        said = f"{said} The tables held here go to {plain(usual_drop)} in. w.c.: show the design for more.".strip()
    return Worked(found.value, worked, said, doubt=found.doubt)

