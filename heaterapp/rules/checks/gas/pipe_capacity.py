"""The gas pipe carries all that burns on it.

Why: in a pipe too small the pressure falls when everything fires, and burners soot, lift or go out.
Fix: run a larger pipe, or a line of its own from the meter, sized for all of it.
"""

from decimal import Decimal

from ...book import Table
from ...calc import gas
from ...questions.gas import PIPE
from ...report import Result, Worked, authority, engineer, fails, meets, unanswered
from ...units import (
    BtuPerCubicFoot,
    BtuPerHour,
    Count,
    Foot,
    Inch,
    InchWaterColumn,
    Psi,
    Ratio,
    against_least,
    against_most,
    clear_of,
    eighths,
    plain,
)

CLAUSES = ("gas.pipe",)
WHEN = PIPE


def check(
    gas_pipe_material: str, gas_kind: str, gas_pipe_total_btuh: BtuPerHour, input_btuh: BtuPerHour, gas_supply_pressure_psi: Psi,
    gas_pipe_length_ft: Foot, rated_input_at_elevation_btuh: BtuPerHour, gas_pipe_capacity_btuh: Worked | None = None, csst_ehd: Count | None = None,
    gas_pipe_in: Inch | None = None, gas_sections: tuple[tuple[Decimal, Decimal], ...] | None = None,
    gas_pressure_drop_inwc: InchWaterColumn | None = None, gas_heat_btu_per_ft3: BtuPerCubicFoot | None = None,
    *, natural_table: Table, natural_table_low: Table, propane_table: Table, diameters: Table, usual_drop: InchWaterColumn,
    low_drop: InchWaterColumn, below_psi: Psi, natural_factor: Ratio, propane_factor: Ratio, natural_heat: BtuPerCubicFoot, propane_heat: BtuPerCubicFoot,
    natural_share: Ratio, propane_share: Ratio, near: Ratio,
) -> Result:  # fmt: skip
    if gas_pipe_material == "csst":
        tag = f" EHD {plain(csst_ehd)}" if csst_ehd is not None else ""
        return authority(f"Corrugated stainless{tag} goes by the table of its own listing: keep it with this paper.")
    if gas_pipe_material != "steel":
        return engineer(f"No table is held here for {gas_pipe_material} pipe: size it by the code's own table.")
    if gas_pipe_total_btuh < input_btuh:
        feeds, own = against_least(gas_pipe_total_btuh, input_btuh)
        said = f"The pipe is said to feed {feeds} Btu/h, less than this heater's {own}."
        return unanswered(said, needs=("gas_pipe_total_btuh", "input_btuh"))
    if gas_pipe_capacity_btuh is None or gas_pipe_in is None:
        return unanswered("To answer: the gas pipe.")
    if gas_supply_pressure_psi >= below_psi:
        return engineer(_sentence(gas_pipe_capacity_btuh.says))
    by = gas.Sizing(
        natural_table.rows, natural_table_low.rows, propane_table.rows, diameters.rows, usual_drop, low_drop,
        (natural_factor, propane_factor), (gas_heat_btu_per_ft3 or natural_heat, propane_heat), (natural_share, propane_share),
    )  # fmt: skip
    drop = gas_pressure_drop_inwc if gas_pressure_drop_inwc is not None else usual_drop
    propane = gas_kind == "propane"
    share_left = rated_input_at_elevation_btuh / input_btuh
    pieces = [(f"The {eighths(size)} in section", size, load) for size, load in gas_sections or ()]
    designed = None
    if gas_pipe_capacity_btuh.value is None:
        designed = engineer(_sentence(gas_pipe_capacity_btuh.says))
    else:
        pieces.insert(0, ("The pipe", gas_pipe_in, gas_pipe_total_btuh))
    judged = []
    for what, size, load in pieces:
        one = gas.section(by, pipe_in=size, length_ft=gas_pipe_length_ft, propane=propane, drop_inwc=drop)
        if one is None:
            designed = designed or engineer(f"{what} is of no size that is held here: it needs a design.")
            continue
        beyond = drop > usual_drop
        usual = gas.section(by, pipe_in=size, length_ft=gas_pipe_length_ft, propane=propane, drop_inwc=usual_drop) if beyond else None
        result = _judged(what, load, one, near, share_left, *([usual.value] if usual else []))
        if beyond and result.verdict != "fails":
            if usual is not None and _judged(what, load, usual, near, share_left).verdict != "meets":
                result = _design_to_show(result, load, drop, usual)
        judged.append((load / one.value, result))
    # what fails is said first: a section that needs a design must not hide one that is known to be short
    failing = [one for one in judged if one[1].verdict == "fails"]
    thin = next((one for one in gas_sections or () if one[1] < input_btuh), None)
    if thin and not failing:
        feeds, own = against_least(thin[1], input_btuh)
        said = f"The {eighths(thin[0])} in section is said to feed {feeds} Btu/h, less than this heater's {own}."
        return unanswered(said, needs=("gas_sections", "input_btuh"))
    if designed is not None and not failing:
        return designed
    open_ones = [one for one in judged if one[1].verdict == "authority"]
    return max(failing or open_ones or judged, key=lambda one: one[0])[1]


def _sentence(says: str) -> str:
    return f"{says[:1].upper()}{says[1:]}."


def _design_to_show(beyond: Result, load: Decimal, drop: Decimal, usual: gas.Carries) -> Result:
    """What only a drop beyond the tables lets through: the limit is what the usual drop carries."""
    _, limit = against_most(load, usual.value, 0)
    said = (
        f"{beyond.why} That is at a drop of {plain(drop)} in. w.c.; the tables held here for this supply pressure go to "
        f"{plain(usual.drop_inwc)}, where it carries {limit}: show the design for more."
    )
    return authority(said, load, usual.value, "Btu/h")


def _judged(
    what: str, load: Decimal, carries: gas.Carries, near: Decimal, share_left: Decimal, *edges: Decimal
) -> Result:
    """A load against what is carried; `share_left` of an input is what the book counts at this elevation.

    edges  what else the load is told beside
    """
    carried = carries.value
    found, limit = clear_of(load, carried, *edges, places=0), against_most(load, carried, 0)[1]
    said = f"{what} feeds {found} Btu/h; it carries {limit} Btu/h at the longest length."
    if carries.doubt and abs(load - carried) <= carries.doubt:
        return authority(f"{said} That row of the table is from memory: look it up.", load, carried, "Btu/h")
    if load > carried:
        counted, _ = against_most(load * share_left, carried, 0)
        if load * share_left <= carried:
            said += f" The book counts inputs adjusted for this elevation, {counted} Btu/h; by the plates it is too much: show the adjustment."
            return authority(said, load, carried, "Btu/h")
        return fails(said, load, carried, "Btu/h")
    close = " It is close to the limit: measure the pressure with everything firing." if carried - load <= near * carried else ""
    return meets(said + close, load, carried, "Btu/h")
