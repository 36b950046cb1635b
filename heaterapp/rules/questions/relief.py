"""The temperature and pressure relief valve, its pipe, and the pan."""

from ..question import choice, number, yes_no
from ..when import is_, no, yes

RELIEF_ENDS = {
    "outdoors": "Outdoors", "floor": "At the floor", "pan": "In the pan", "receptor": "In a waste receptor",
    "crawl_space": "In the crawl space", "capped": "Capped or plugged", "none": "No pipe",
}  # fmt: skip

FITTED = yes("relief_fitted")
PIPE = FITTED & ~is_("relief_end", "none")
OPEN_PIPE = FITTED & ~is_("relief_end", "none", "capped")
INSERTS = is_("relief_pipe_material", "pex", "other")
PAN = yes("pan_fitted")
PAN_DRAIN = PAN & ~is_("pan_drain_end", "none")

QUESTIONS = (
    yes_no("relief_fitted", "Relief valve fitted"),
    yes_no("relief_valve_new", "The relief valve is new", when=FITTED),
    yes_no("relief_factory_fitted", "Fitted by the heater's maker", when=FITTED,
           hint="Then the plate's values below are taken as usual."),
    number("relief_pressure_psi", "Relief valve pressure setting", "psi", ("10", "400"), ("75", "150"), when=FITTED, usual=("150",)),
    number("relief_temperature_f", "Relief valve temperature setting", "degF", ("100", "300"), ("200", "210"), when=FITTED, usual=("210",)),
    number("relief_capacity_btuh", "Relief valve capacity", "Btu/h", ("1000", "5000000"), ("100000", "400000"), when=FITTED, usual=("105000",)),
    yes_no("relief_in_top_6in", "Its probe is in the top 6 in of the tank", when=FITTED),
    yes_no("valve_between_relief_and_tank", "A valve between the relief valve and the tank", when=FITTED),
    choice("relief_lever_tested", "Lever test", {"passed": "Passed", "failed": "Failed", "not_done": "Not done"}, when=FITTED,
           hint="Caution: scalding water. Only on a new valve, pipe clear, nobody near the end."),
    number("relief_outlet_in", "Relief valve outlet", "in", ("0.25", "6"), ("0.5", "2"), when=FITTED, usual=("3/4", "1"), nominal=True),
    choice("relief_end", "The relief pipe ends", RELIEF_ENDS, when=FITTED, measured=True),
    number("relief_pipe_in", "Relief pipe size, the smallest found", "in", ("0.25", "6"), ("0.5", "2"), when=PIPE, usual=("3/4", "1"), nominal=True),
    choice("relief_pipe_material", "Relief pipe material", {
        "copper": "Copper", "cpvc": "CPVC", "pvc": "PVC", "galvanized_steel": "Galvanized steel",
        "black_steel": "Black steel", "stainless": "Stainless steel", "pex": "PEX",
        "flexible_corrugated": "Flexible corrugated connector", "other": "Other",
    }, when=PIPE),
    yes_no("relief_insert_fittings", "Insert fittings in the pipe", when=PIPE & INSERTS),
    yes_no("relief_falls_all_the_way", "The pipe falls all the way", when=PIPE),
    yes_no("relief_trap", "A low spot or trap in the pipe", when=PIPE),
    yes_no("relief_valve_in_line", "A valve or tee in the pipe", when=PIPE),
    yes_no("relief_shared", "Another drain joins the pipe", when=PIPE),
    yes_no("relief_end_threaded", "Thread at the open end", when=PIPE),
    number("relief_end_height_in", "End of the pipe above the floor, rim or ground", "in", ("0", "600"), ("1.5", "24"),
           when=FITTED & is_("relief_end", "outdoors", "floor", "pan", "receptor"), measured=True),
    yes_no("relief_end_points_down", "The end points down", when=OPEN_PIPE),
    yes_no("relief_end_visible", "The end can be seen", when=OPEN_PIPE),
    yes_no("relief_air_gap", "An air gap before any drain", when=FITTED & is_("relief_end", "receptor")),
    yes_no("relief_freezes", "The pipe or its end can freeze", when=OPEN_PIPE),
    yes_no("leak_would_damage", "A leak here would damage the building",
           hint="Attic, upper floor, finished rooms around or below."),
    yes_no("pan_fitted", "Pan under the heater"),
    number("pan_depth_in", "Pan depth", "in", ("0.1", "24"), ("1.5", "4"), when=PAN, usual=("1 1/2", "2 1/2")),
    choice("pan_material", "Pan material", {
        "galvanized_steel": "Galvanized steel", "aluminum": "Aluminum", "stainless": "Stainless steel",
        "plastic": "Plastic", "other": "Other",
    }, when=PAN),
    number("pan_thickness_in", "Pan thickness", "in", ("0.001", "1"), ("0.02", "0.25"), when=PAN),
    yes_no("pan_listed_for_gas", "The plastic pan is listed for under gas heaters", when=PAN & is_("pan_material", "plastic") & is_("heater_kind", "gas_storage", "gas_instantaneous")),
    choice("pan_drain_end", "The pan drain ends", {
        "outdoors": "Outdoors", "floor_drain": "At a floor drain", "receptor": "In a waste receptor",
        "garage_floor": "At the garage floor", "none": "No drain",
    }, when=PAN),
    number("pan_drain_in", "Pan drain size", "in", ("0.25", "6"), ("0.5", "2"), when=PAN_DRAIN, usual=("3/4", "1"), nominal=True),
    number("pan_drain_end_height_in", "End of the pan drain above the ground", "in", ("0", "600"), ("6", "24"),
           when=PAN & is_("pan_drain_end", "outdoors"), measured=True),
    choice("pan_substitute", "In place of a pan drain", {
        "none": "Nothing", "shutoff": "Automatic water shutoff", "alarm": "Water alarm", "hose_fitting": "Hose fitting",
    }, when=no("pan_fitted") | is_("pan_drain_end", "none")),
)  # fmt: skip
