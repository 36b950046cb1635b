"""The stand under the heater is fixed to the floor or the wall.

Why: a loose stand slides out from under a tank that its straps hold.
Fix: fix the stand to the floor or the wall.
"""

from ...questions.plate import STORAGE
from ...report import Result, advice, authority, meets, not_applicable
from ...units import Inch
from ...when import is_

CLAUSES = ("seismic.stand",)
WHEN = STORAGE & ~is_("bracing_required", "no")
KIND = "advice"


def check(tank_base_in: Inch, stand_fixed: bool | None = None, *, as_advice: bool) -> Result:
    if not tank_base_in:
        return not_applicable("No height of a stand was given.", kind="advice")
    if stand_fixed:
        return meets("The stand is fixed.", kind="advice" if as_advice else "rule")
    if stand_fixed is None:
        return advice("unanswered", "To answer: whether the stand is fixed.", needs=("stand_fixed",))
    said = "The stand is not fixed to floor or wall."
    return advice("fails", said) if as_advice else authority(said)
