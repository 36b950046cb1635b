"""The heater is made for the supply's voltage.

Why: an element on more than its voltage takes far more power and burns out, or its wires do.
Fix: power off, and fit an element or a heater marked for this voltage.
"""

from ...questions.plate import ELECTRIC
from ...report import Result, authority, fails, meets
from ...units import Ratio, Volt, against_most

CLAUSES = ("electric.voltage",)
WHEN = ELECTRIC


def check(volts: Volt, input_kw_at_volts: Volt, *, weakest: Ratio) -> Result:
    found, plate = against_most(volts, input_kw_at_volts)
    said = f"The supply has {found} V, the plate gives its kW at {plate} V."
    if volts > input_kw_at_volts:
        return fails(said, volts, input_kw_at_volts, "V")
    if volts < weakest * input_kw_at_volts:
        little = f"{said} So far below it the heater gives little of its heat, or does not start: look at plate and supply again."
        return authority(little, volts, weakest * input_kw_at_volts, "V")
    weaker = " It heats more slowly at the lower voltage." if volts < input_kw_at_volts else ""
    return meets(said + weaker, volts, input_kw_at_volts, "V")
