"""Circuit, conductor, disconnect, bonding."""

from ..question import choice, number, yes_no
from ..when import ALWAYS
from .plate import ELECTRIC, STORAGE

QUESTIONS = (
    number("volts", "Supply voltage", "V", ("100", "600"), ("110", "250"), when=ELECTRIC, usual=("240", "208", "120")),
    number("input_kw_at_volts", "Voltage at which the plate gives its kW", "V", ("100", "600"), ("110", "250"), when=ELECTRIC, usual=("240", "208")),
    number("circuit_count", "Circuits", "count", ("1", "8"), ("1", "4"), when=ELECTRIC, default="1", whole=True),
    number("minimum_circuit_a", "Least circuit amperes on the plate", "A", ("1", "400"), ("10", "150"), when=ELECTRIC, absent=ALWAYS),
    number("breaker_a", "Breaker", "A", ("1", "400"), ("15", "60"), when=ELECTRIC, usual=("25", "30")),
    number("breaker_marked_max_a", "Largest breaker marked on the plate", "A", ("1", "400"), ("15", "60"), when=ELECTRIC, absent=ALWAYS),
    number("wire_awg", "Wire size", "AWG", ("1", "18"), ("4", "14"), when=ELECTRIC, usual=("12", "10", "8", "6")),
    choice("wire_metal", "Wire metal", {"copper": "Copper", "aluminum": "Aluminum"}, when=ELECTRIC),
    choice("wire_method", "Wiring", {"nm_cable": "Nonmetallic-sheathed cable", "other": "Other"}, when=ELECTRIC),
    number("wire_rating_c", "Wire insulation rating", "degC", ("60", "250"), when=ELECTRIC, usual=("60", "75", "90")),
    number("terminal_rating_c", "Terminals marked for", "degC", ("60", "105"), when=ELECTRIC, usual=("60", "75")),
    choice("disconnect", "Disconnect", {
        "in_sight": "In sight of the heater", "lockable_breaker": "Breaker that locks open",
        "cord_and_plug": "Cord and plug", "none": "None",
    }, when=ELECTRIC),
    yes_no("tank_full_before_power", "The tank was full before power was turned on", when=ELECTRIC & STORAGE),
)  # fmt: skip
