"""Dielectric fittings keep unlike metals apart at the heater.

Why: copper straight on the steel of a tank eats the joint away.
Fix: fit dielectric nipples or unions, or brass between copper and steel, where the maker or the authority asks for it.
"""

from ...report import Result, advice, silent, unanswered

CLAUSES = ("supply.dielectric",)
KIND = "advice"


def check(dielectric_fitted: bool | None = None) -> Result:
    if dielectric_fitted is None:
        return unanswered("To answer: dielectric fittings.", needs=("dielectric_fitted",), kind="advice")
    if dielectric_fitted:
        return silent("Dielectric fittings at the heater; no adopted book asks for them.", kind="advice")
    said = "No dielectric fittings. Some makers and authorities ask for them, some do not."
    return advice("fails", said, "none", "fitted")
