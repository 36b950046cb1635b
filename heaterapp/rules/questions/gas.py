"""Gas: kind, pipe, valve, connector, tests."""

from ..question import choice, number, other, yes_no
from ..when import answered, is_, no_more, said, yes
from .plate import FUEL

NEW_PIPING = FUEL & yes("new_gas_piping")
SAME_LOAD = is_("job_kind", "same_place") & no_more("input_btuh", "old_input_btuh") & ~said("new_gas_piping", "yes")
PIPE = FUEL & ~SAME_LOAD
CSST = FUEL & said("gas_pipe_material", "csst")
PRESSURE = FUEL & (PIPE | answered("gas_running_inwc"))

QUESTIONS = (
    choice("gas_kind", "Gas in the house", {"natural": "Natural gas", "propane": "Propane"}, when=FUEL),
    yes_no("gas_shutoff_within_6ft", "Gas shutoff within 6 ft, in the same room, reachable", when=FUEL),
    number("gas_connector_in", "Gas connector size", "in", ("0.25", "4"), ("0.375", "1"), when=FUEL, usual=("1/2", "3/4"), nominal=True, record=True),
    number("gas_connector_btuh", "Capacity on the gas connector's tag", "Btu/h", ("1000", "10000000"), ("25000", "500000"), when=FUEL,
           hint="On the ring or label, for its length."),
    number("gas_connector_length_in", "Gas connector length", "in", ("0", "600"), ("12", "72"), when=FUEL, usual=("18", "24", "36")),
    yes_no("gas_connector_new", "The gas connector is new", when=FUEL),
    number("gas_connector_count", "Gas connectors in a row", "count", ("0", "20"), ("0", "2"), when=FUEL, whole=True),
    yes_no("gas_connector_through_wall", "The connector passes through a wall, floor or housing", when=FUEL),
    yes_no("sediment_trap", "Sediment trap fitted, or built into the heater", when=FUEL),
    choice("gas_leak_test", "Gas leak test", {"passed": "Passed", "failed": "Failed", "not_done": "Not done"}, when=FUEL, measured=True,
           hint="Soap solution or detector at every joint, gas on. Never a flame."),
    yes_no("new_gas_piping", "New gas piping was run", when=FUEL),
    number("gas_piping_test_psi", "Piping test pressure", "psi", ("0", "500"), ("3", "60"), when=NEW_PIPING, measured=True),
    number("gas_piping_test_min", "Piping test time", "min", ("0", "10000"), ("10", "120"), when=NEW_PIPING, measured=True),
    number("gas_supply_pressure_psi", "Gas supply pressure", "psi", ("0", "100"), ("0", "5"), when=FUEL, default="0.25",
           hint="7 in. w.c. is 0.25 psi; 11 in. is 0.4."),
    choice("gas_pipe_material", "Gas pipe", {"steel": "Steel", "copper": "Copper", "polyethylene": "Polyethylene", "csst": "Corrugated stainless"}, when=FUEL),
    number("csst_ehd", "Hydraulic diameter (EHD) on the tag", "count", ("1", "100"), when=CSST),
    yes_no("csst_arc_resistant", "It is listed as resistant to arcs", when=CSST, default="no", hint="It is marked so on its jacket."),
    yes_no("csst_bonded", "Corrugated stainless is bonded", when=CSST),
    number("gas_pipe_in", "Gas pipe size", "in", ("0.25", "12"), ("0.5", "2"), when=PIPE, usual=("1/2", "3/4", "1", "1 1/4"), nominal=True),
    number("gas_pipe_length_ft", "Meter or regulator to the farthest outlet", "ft", ("1", "5000"), ("5", "300"), when=PIPE,
           hint="Along the pipe, to the outlet farthest from the meter, whichever it serves."),
    number("gas_pipe_total_btuh", "All that this pipe feeds", "Btu/h", ("1000", "10000000"), ("25000", "1000000"), when=PIPE),
    other("gas_sections", "Other pipe sections on the way to the heater", "sections", when=PIPE,
          usual=("1/2", "3/4", "1", "1 1/4", "1 1/2", "2"), nominal=True),
    number("gas_pressure_drop_inwc", "Pressure drop the sizing allows", "in. w.c.", ("0.05", "100"), ("0.3", "1"), when=PIPE),
    number("gas_heat_btu_per_ft3", "Heat in a cubic foot of the gas, by the utility", "Btu/ft3", ("500", "1500"), ("800", "1150"), when=PIPE & is_("gas_kind", "natural"),
           usual=("1000", "1050"), hint="On the utility's bill or page. Left open, the book's 1000 is taken."),
    number("gas_running_inwc", "Gas pressure with everything firing", "in. w.c.", ("0", "60"), ("3", "14"), when=FUEL, measured=True,
           hint="Caution: close the gas before the gauge goes on; test its port for leaks after."),
    number("heater_min_inlet_inwc", "Least inlet pressure on the plate", "in. w.c.", ("0", "60"), ("3", "14"), when=FUEL),
)  # fmt: skip

