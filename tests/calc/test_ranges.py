"""An argument outside the range its docstring gives is refused by name, whatever module it is in."""

from decimal import Decimal as D

import pytest

from heaterapp.rules.calc import (
    fasteners,
    strap_forces,
    strap_steel,
    strapping,
    structural,
    vent_ends,
    venting,
)

BAND = strapping.Band(D(0), D(18))
LAG = {"load_duration": D("1.6"), "penetration_in": D(2), "lag_diameter_in": D("0.25"), "least_diameters": D(4)}
BOTH = {"pull_allowable_lb": D(600), "along_allowable_lb": D(200)}
STEEL = {"yield_psi": D(33000), "ultimate_psi": D(45000), "yield_safety": D("1.67"), "rupture_safety": D(2)}
WINDOW = {"clearance_in": D(4), "above_only": True}
ROOF = {"widest_in": D(12), "clear_of_wall_ft": D(8), "above_in": D(24), "within_ft": D(10)}
SITE = {
    "amplification": D(1), "response_modification": D("2.5"), "importance": D(1), "floor_height_ft": D(0), "roof_height_ft": D(30),
    "formula_factor": D("0.4"), "rise_factor": D(2), "least_factor": D("0.3"), "most_factor": D("1.6"),
}  # fmt: skip

CALLS = {
    "operating_weight_lb": lambda bad: strap_forces.strap_force(bad, D(1), D(3)),
    "parts": lambda bad: strap_forces.strap_force(D(450), bad, D(3)),
    "tank_base_in": lambda bad: strap_forces.mass_height(bad, D(60)),
    "tank_height_in": lambda bad: strap_forces.mass_height(D(0), bad),
    "force_lb": lambda bad: strap_forces.strap_reactions(bad, D(30), [D(18), D(51)]),
    "wall_gap_in": lambda bad: strap_forces.splay(D(18), bad, D(32)),
    "share": lambda bad: venting.connector_length_by_height(D(10), bad),
    "ft_per_in": lambda bad: venting.connector_length_by_diameter(D(3), bad),
    "in_per_ft": lambda bad: venting.rise_needed(D(6), bad),
    "tip_in": lambda bad: fasteners.penetration(D(3), bad, D("0.5")),
    "cover_in": lambda bad: fasteners.thread_in_wood(D(3), D("0.15"), bad),
    "wood_in": lambda bad: fasteners.thread_in_wood(D(3), D("0.15"), D("0.5"), bad),
    "reference_lb_per_in": lambda bad: fasteners.lag_withdrawal_allowable(bad, D(1), **LAG),
    "thread_in_wood_in": lambda bad: fasteners.lag_withdrawal_allowable(D(225), bad, **LAG),
    "load_duration": lambda bad: fasteners.lag_withdrawal_allowable(D(225), D(1), **LAG | {"load_duration": bad}),
    "lag_diameter_in": lambda bad: fasteners.lag_withdrawal_allowable(D(225), D(1), **LAG | {"lag_diameter_in": bad}),
    "reference_lb": lambda bad: fasteners.lag_lateral_allowable(bad, full_diameters=D(8), **LAG),
    "full_diameters": lambda bad: fasteners.lag_lateral_allowable(D(110), full_diameters=bad, **LAG),
    "pull_lb": lambda bad: fasteners.pull_and_shear(bad, D(1), **BOTH),
    "along_lb": lambda bad: fasteners.pull_and_shear(D(1), bad, **BOTH),
    "along_allowable_lb": lambda bad: fasteners.pull_and_shear(D(1), D(1), **BOTH | {"along_allowable_lb": bad}),
    "hole_in": lambda bad: strap_steel.strap_tension(D("0.02"), D(1), bad, **STEEL),
    "yield_psi": lambda bad: strap_steel.strap_tension(D("0.02"), D(1), D(0), **STEEL | {"yield_psi": bad}),
    "rupture_safety": lambda bad: strap_steel.strap_tension(D("0.02"), D(1), D(0), **STEEL | {"rupture_safety": bad}),
    "strap_width_in": lambda bad: strapping.edge_crosses(BAND, D(9), bad),
    "clearance_in": lambda bad: strapping.lower_strap_windows(D(0), D(54), D(1), D(12), **WINDOW | {"clearance_in": bad}),
    "controls_top_above_base_in": lambda bad: strapping.shortest_tank(bad, D(1), D(4)),
    "short_period_sds": lambda bad: structural.structural_force(D(450), bad, **SITE),
    "importance": lambda bad: structural.structural_force(D(450), D(1), **SITE | {"importance": bad}),
    "pitch_in_12": lambda bad: vent_ends.end_above_roof([], pitch_in_12=bad, vent_diameter_in=D(14), **ROOF),
    "vent_diameter_in": lambda bad: vent_ends.end_above_roof([], pitch_in_12=D(6), vent_diameter_in=bad, **ROOF),
    "input_btuh": lambda bad: vent_ends.direct_vent_distance([{"distance_in": 12}], bad),
}  # fmt: skip


@pytest.mark.parametrize("bad", ["-0.001", "NaN"])
@pytest.mark.parametrize("name", CALLS)
def test_an_argument_outside_its_range_is_named(name, bad):
    with pytest.raises(ValueError, match=f"^{name} must be .* not {bad}"):
        CALLS[name](D(bad))


@pytest.mark.parametrize("share", ["-0.1", "1.1"])
def test_the_share_of_the_smaller_outlet_is_a_share(share):
    with pytest.raises(ValueError, match="share must be from 0 to 1"):
        venting.shared_area_needed(D(3), D(4), D(share))
