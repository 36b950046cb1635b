"""Circuit, conductor, disconnect, bonding."""

from ..question import choice, number, yes_no
from ..when import ALWAYS, is_, yes
from .plate import ELECTRIC, STORAGE

PLUGGED = ELECTRIC & is_("disconnect", "cord_and_plug")

QUESTIONS = (
    number("volts", "Supply voltage", "V", ("100", "600"), ("110", "250"), when=ELECTRIC, usual=("240", "208", "120"),
           hint="Plugged into an ordinary receptacle: 120."),
    number("input_kw_at_volts", "Voltage at which the plate gives its kW", "V", ("100", "600"), ("110", "250"), when=ELECTRIC, usual=("240", "208", "120")),
    number("circuit_count", "Circuits", "count", ("1", "8"), ("1", "4"), when=ELECTRIC, default="1", whole=True),
    number("minimum_circuit_a", "Least circuit amperes on the plate", "A", ("1", "400"), ("5", "150"), when=ELECTRIC, absent=ALWAYS,
           hint="Often marked MCA. A tank with elements, or a heater that plugs in, does without."),
    number("breaker_a", "Breaker", "A", ("1", "400"), ("15", "60"), when=ELECTRIC, usual=("15", "20", "25", "30"),
           hint="Caution: switch it off, and test that nothing is live, before any cover comes off."),
    number("breaker_marked_max_a", "Largest breaker marked on the plate", "A", ("1", "400"), ("15", "60"), when=ELECTRIC, absent=ALWAYS),
    number("wire_awg", "Wire size", "AWG", ("1", "18"), ("4", "14"), when=ELECTRIC, usual=("14", "12", "10", "8", "6")),
    choice("wire_metal", "Wire metal", {"copper": "Copper", "aluminum": "Aluminum"}, when=ELECTRIC),
    choice("wire_method", "Wiring", {"nm_cable": "Nonmetallic-sheathed cable", "other": "Other"}, when=ELECTRIC),
    number("wire_rating_c", "Wire insulation rating", "degC", ("60", "250"), when=ELECTRIC, usual=("60", "75", "90")),
    number("terminal_rating_c", "Terminals marked for", "degC", ("60", "105"), when=ELECTRIC, usual=("60", "75")),
    choice("disconnect", "Disconnect", {
        "in_sight": "In sight of the heater", "lockable_breaker": "Breaker that locks open",
        "cord_and_plug": "Cord and plug", "none": "None",
    }, when=ELECTRIC),
    yes_no("circuit_shared", "The circuit feeds other things too", when=PLUGGED, hint="Another receptacle or a light on the same breaker."),
    yes_no("own_circuit_by_maker", "The maker asks for a circuit of its own", when=PLUGGED & yes("circuit_shared")),
    yes_no("receptacle_gfci", "The receptacle has ground-fault protection", when=PLUGGED),
    yes_no("tank_full_before_power", "The tank was full before power was turned on", when=ELECTRIC & STORAGE),
)  # fmt: skip
