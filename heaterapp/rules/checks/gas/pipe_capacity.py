"""The gas pipe carries all that burns on it.

Why: in a pipe too small the pressure falls when everything fires, and burners soot, lift or go out.
Fix: run a larger pipe, or a line of its own from the meter, sized for all of it.
"""

from decimal import Decimal

from ...book import Table
from ...calc import gas
from ...questions.gas import PIPE
from ...report import Result, Worked, authority, engineer, fails, meets, side_by_side, unanswered
from ...units import BtuPerHour, Count, Foot, InchWaterColumn, Psi, Ratio, eighths, plain

CLAUSES = ("gas.pipe",)
WHEN = PIPE


def check(
    gas_pipe_material: str, gas_kind: str, gas_pipe_total_btuh: BtuPerHour, input_btuh: BtuPerHour, gas_supply_pressure_psi: Psi,
    gas_pipe_length_ft: Foot, rated_input_at_elevation_btuh: BtuPerHour, gas_pipe_capacity_btuh: Worked | None = None, csst_ehd: Count | None = None,
    gas_sections: tuple[tuple[Decimal, Decimal], ...] | None = None, gas_pressure_drop_inwc: InchWaterColumn | None = None,
    *, natural_table: Table, natural_table_low: Table, propane_table: Table, diameters: Table, usual_drop: InchWaterColumn,
    low_drop: InchWaterColumn, below_psi: Psi, natural_factor: Ratio, propane_factor: Ratio, natural_heat: Ratio, propane_heat: Ratio,
    natural_share: Ratio, propane_share: Ratio, near: Ratio,
) -> Result:  # fmt: skip
    if gas_pipe_material == "csst":
        tag = f" EHD {plain(csst_ehd)}" if csst_ehd is not None else ""
        return authority(f"Corrugated stainless{tag} goes by the table of its own listing: keep it with this paper.")
    if gas_pipe_material != "steel":
        return engineer(f"No table is held here for {gas_pipe_material} pipe: size it by the code's own table.")
    if gas_pipe_total_btuh < input_btuh:
        said = f"The pipe is said to feed {plain(gas_pipe_total_btuh)} Btu/h, less than this heater's {plain(input_btuh)}."
        return unanswered(said, needs=("gas_pipe_total_btuh", "input_btuh"))
    carried = gas_pipe_capacity_btuh.value if gas_pipe_capacity_btuh else None
    if gas_pipe_capacity_btuh is None:
        return unanswered("To answer: the gas pipe.")
    if gas_supply_pressure_psi >= below_psi:
        return engineer(_sentence(gas_pipe_capacity_btuh.says))
    by = gas.Sizing(
        natural_table.rows, natural_table_low.rows, propane_table.rows, diameters.rows, usual_drop, low_drop,
        (natural_factor, propane_factor), (natural_heat, propane_heat), (natural_share, propane_share),
    )  # fmt: skip
    drop = gas_pressure_drop_inwc if gas_pressure_drop_inwc is not None else usual_drop
    designed = None if isinstance(carried, Decimal) else engineer(_sentence(gas_pipe_capacity_btuh.says))
    share_left = rated_input_at_elevation_btuh / input_btuh
    judged = []
    if isinstance(carried, Decimal):
        share = gas_pipe_total_btuh / carried
        judged.append((share, _judged("The pipe", gas_pipe_total_btuh, carried, gas_pipe_capacity_btuh.doubt, near, share_left)))
    for size, load in gas_sections or ():
        one = gas.section(by, pipe_in=size, length_ft=gas_pipe_length_ft, propane=gas_kind == "propane", drop_inwc=drop)
        what = f"The {eighths(size)} in section"
        if one is None:
            designed = designed or engineer(f"{what} is of no size that is held here: it needs a design.")
            continue
        doubt = one.value * gas.DOUBT if one.sure == "memory" else Decimal(0)
        judged.append((load / one.value, _judged(what, load, one.value, doubt, near, share_left)))
    # what fails is said first: a section that needs a design must not hide one that is known to be short
    failing = [one for one in judged if one[1].verdict == "fails"]
    thin = next((one for one in gas_sections or () if one[1] < input_btuh), None)
    if thin and not failing:
        said = f"The {eighths(thin[0])} in section is said to feed {plain(thin[1])} Btu/h, less than this heater's {plain(input_btuh)}."
        return unanswered(said, needs=("gas_sections", "input_btuh"))
    if designed is not None and not failing:
        return designed
    open_ones = [one for one in judged if one[1].verdict == "authority"]
    return max(failing or open_ones or judged, key=lambda one: one[0])[1]


def _sentence(says: str) -> str:
    return f"{says[:1].upper()}{says[1:]}."


def _judged(
    what: str, load: Decimal, carried: Decimal, doubt: Decimal, near: Decimal, share_left: Decimal
) -> Result:
    """A load against what is carried; `share_left` of an input is what the book counts at this elevation."""
    found, limit = side_by_side(load, carried, 0)
    said = f"{what} feeds {found} Btu/h; it carries {limit} Btu/h at the longest length."
    if doubt and abs(load - carried) <= doubt:
        return authority(f"{said} That row of the table is from memory: look it up.", load, carried, "Btu/h")
    if load > carried:
        counted, _ = side_by_side(load * share_left, carried, 0)
        if load * share_left <= carried:
            said += f" The book counts inputs adjusted for this elevation, {counted} Btu/h; by the plates it is too much: show the adjustment."
            return authority(said, load, carried, "Btu/h")
        return fails(said, load, carried, "Btu/h")
    close = " It is close to the limit: measure the pressure with everything firing." if carried - load <= near * carried else ""
    return meets(said + close, load, carried, "Btu/h")
