"""The vent is no longer than the heater's maker allows.

Why: a fan can push gases only so far; past that the heater locks out or leaks.
Fix: shorten the run, take out elbows, or fit the larger pipe size the instructions allow.
"""

from ...questions.vent import MAKER, VENTED
from ...report import Result, fails, meets
from ...units import Foot, against_most

CLAUSES = ("venting.by_maker",)
WHEN = MAKER & VENTED


def check(vent_equivalent_length_ft: Foot, vent_maker_max_length_ft: Foot) -> Result:
    found, most = against_most(vent_equivalent_length_ft, vent_maker_max_length_ft)
    said = f"Equivalent length {found} ft, the maker allows {most} ft."
    answer = meets if vent_equivalent_length_ft <= vent_maker_max_length_ft else fails
    return answer(said, vent_equivalent_length_ft, vent_maker_max_length_ft, "ft")
