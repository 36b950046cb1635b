"""The circuit that a plug-in heater stands on has room for it.

Why: a heater beside other things on one circuit trips the breaker, or overheats an old receptacle for hours.
Fix: move the plug to a circuit that serves the heater alone, or fit the kind of heater made for a shared one.
"""

from ...questions.electric import PLUGGED
from ...report import Result, authority, fails, meets, unanswered
from ...units import HUNDREDTHS, Ampere, Ratio, against_most, plain

CLAUSES = ("electric.shared_circuit", "electric.instructions")
WHEN = PLUGGED


def check(
    circuit_shared: bool, breaker_a: Ampere, heater_amps: Ampere | None = None, minimum_circuit_a: Ampere | None = None,
    own_circuit_by_maker: bool | None = None, *, up_to: Ampere, fastened: Ratio, loose: Ratio,
) -> Result:  # fmt: skip
    if not circuit_shared:
        return meets("A circuit that serves the heater alone.", "its own", "its own")
    if own_circuit_by_maker:
        said = "The maker asks for a circuit of its own; this one feeds other things too."
        return fails(said, "shared", "its own", clause="electric.instructions")
    if breaker_a > up_to:
        found, held = against_most(breaker_a, up_to)
        said = f"A shared circuit of {found} A; the rule held here is for {held} A and less."
        return authority(said, breaker_a, up_to, "A")
    takes = heater_amps if heater_amps is not None else minimum_circuit_a
    if takes is None:
        return unanswered("To answer: the heater's kW and volts, or the least circuit amperes on its plate.")
    most, least = loose * breaker_a, fastened * breaker_a
    drawn, allowed = against_most(takes, most if takes > most else least, HUNDREDTHS)
    said = f"It takes {drawn} A of a shared circuit of {plain(breaker_a)} A"
    if takes > most:
        return fails(f"{said}; {allowed} A at most.", takes, most, "A")
    if takes > least:
        return authority(f"{said}; fastened in place, as a strapped and piped tank is, {allowed} A at most.", takes, least, "A")
    return meets(f"{said}; {allowed} A at most.", takes, least, "A")
