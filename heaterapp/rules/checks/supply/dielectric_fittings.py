"""Dielectric fittings keep unlike metals apart at the heater.

Why: copper straight on the steel of a tank eats the joint away.
Fix: fit dielectric nipples or unions, or brass between copper and steel, where the maker or the authority asks for it.
"""

from ...report import Result, advice, unanswered

CLAUSES = ("supply.dielectric",)
KIND = "advice"


def check(dielectric_fitted: bool | None = None) -> Result:
    if dielectric_fitted is None:
        return unanswered("To answer: dielectric fittings.", needs=("dielectric_fitted",), kind="advice")
    if dielectric_fitted:
        return advice("meets", "Dielectric fittings at the heater.", "fitted", "fitted")
    return advice("fails", "No dielectric fittings. Some makers and authorities ask for them, some do not.", "none", "fitted")
