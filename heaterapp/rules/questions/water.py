"""Pressure, what closes the system, the expansion device, valves and connections."""

from ..question import choice, number, yes_no
from ..when import is_, said, yes
from .plate import STORAGE

TANK = is_("expansion_device", "tank")
_CLOSING = ("prv_fitted", "check_valve_upstream", "backflow_preventer_upstream")
BEHIND_A_VALVE = TANK & ~(said(_CLOSING[0], "no") & said(_CLOSING[1], "no") & said(_CLOSING[2], "no"))
"""A tank, unless there is no valve that it could be on the wrong side of."""

QUESTIONS = (
    yes_no("drew_water_before_reading", "Water was drawn just before the reading",
           hint="Heater off, run a tap 10 to 20 s, close it, read within a minute."),
    number("house_pressure_psi", "House pressure, no water running", "psi", ("1", "300"), ("40", "80"), measured=True,
           usual=("50", "55", "60", "65", "70"), hint="At or after the reducing valve."),
    yes_no("prv_fitted", "Pressure reducing valve fitted"),
    number("prv_setting_psi", "Reducing valve set to", "psi", ("5", "200"), ("45", "75"), when=yes("prv_fitted"), usual=("50", "55", "60")),
    number("street_pressure_psi", "Street pressure, ahead of the reducing valve", "psi", ("1", "400"), ("30", "150"), usual=("60", "80", "100", "120"),
           measured=True, hint="At a tap before the valve, or at the house when there is no valve."),
    yes_no("prv_bypass", "The reducing valve lets pressure back to the street (built-in bypass)", when=yes("prv_fitted")),
    yes_no("check_valve_upstream", "Check valve between the heater and the street, at the meter too"),
    yes_no("backflow_preventer_upstream", "Backflow preventer between the heater and the street"),
    choice("pressure_rises_on_heating", "Pressure rises while the heater heats", {"yes": "Yes", "no": "No", "not_tried": "Not tried"}),
    yes_no("outside_taps_before_prv", "Outside taps are ahead of the reducing valve", when=yes("prv_fitted"), record=True),
    yes_no("softener_upstream", "Water softener ahead of the heater", record=True),
    number("cold_inlet_f", "Cold water", "degF", ("33", "100"), ("40", "75"), default="50", usual=("40", "50", "60")),
    number("extra_hot_volume_gal", "Other hot water heated with it (second tank, loop)", "gal", ("0", "2000"), ("0", "120"), default="0"),
    choice("cold_shutoff", "Shutoff on the cold pipe at the heater",
           {"full_way": "Full-way (ball or gate)", "other": "Other kind", "none": "None"}),
    yes_no("hot_shutoff_fitted", "Shutoff on the hot pipe", record=True),
    yes_no("unions_fitted", "Unions or flexible connectors at the heater"),
    number("union_distance_in", "From the heater to the farther union", "in", ("0", "600"), ("0", "24"), when=yes("unions_fitted"),
           hint="Cold or hot, whichever is farther. A flexible connector on the heater: 0."),
    yes_no("dielectric_fitted", "Dielectric fittings"),
    choice("expansion_device", "Expansion control", {"tank": "Expansion tank", "other_listed": "Other listed device", "none": "None"}),
    number("expansion_tank_gal", "Expansion tank size", "gal", ("0.1", "500"), ("1", "20"), when=TANK, usual=("2", "2.1", "4.4", "4.5")),
    number("expansion_acceptance_gal", "Acceptance on its label", "gal", ("0.05", "500"), ("0.5", "10"), when=TANK),
    number("expansion_tank_rating_psi", "Pressure rating on its label", "psi", ("10", "1000"), ("100", "200"), when=TANK, usual=("150",)),
    number("precharge_psi", "Air charge, water side empty", "psi", ("0", "300"), ("35", "80"), when=TANK, measured=True,
           usual=("40", "50", "60", "70"), hint="Tire gauge on the tank's air valve, before the water is on."),
    number("precharge_air_f", "Air temperature when the charge was set", "degF", ("-20", "130"), ("30", "110"), when=TANK),
    number("installed_air_f", "Air temperature where the tank hangs", "degF", ("-20", "150"), ("40", "110"), when=TANK, default="70"),
    yes_no("precharge_set_with_water_off", "The charge was set with no water pressure on the tank", when=TANK),
    choice("expansion_tank_support", "The expansion tank is held by",
           {"structure": "The structure", "bracket": "A bracket", "pipe_only": "Its pipe alone"}, when=TANK),
    choice("valve_between_tank_and_heater", "Valve between the expansion tank and the heater",
           {"none": "None", "locked_open": "Locked open", "plain": "Plain valve"}, when=TANK),
    yes_no("expansion_tank_downstream_of_prv", "The expansion tank is on the house side of every valve that closes the system",
           when=BEHIND_A_VALVE),
    yes_no("potable_rated", "The expansion tank is listed for drinking water", when=TANK),
    number("pipe_insulation_in", "Pipe insulation thickness", "in", ("0", "6"), ("0", "2")),
    number("pipe_insulation_ft", "Length of hot pipe insulated from the heater", "ft", ("0", "500"), ("0", "20")),
    yes_no("bottom_fed", "The tank is filled from its bottom", when=STORAGE),
    yes_no("tank_above_highest_outlet", "The tank stands above the highest tap it serves", when=STORAGE),
    yes_no("vacuum_relief_fitted", "Vacuum relief valve fitted", when=STORAGE),
    yes_no("ground_clamp_before_valve", "A ground clamp on the cold pipe sits ahead of the shutoff"),
    yes_no("bonding_hot_cold_gas", "Hot, cold and gas pipes are bonded together at the heater"),
)  # fmt: skip
