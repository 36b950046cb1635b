"""Unions or flexible connectors let the heater come off its water pipes.

Why: without them whoever takes the heater out has to cut the pipes.
Fix: fit a union or a flexible connector on the cold and on the hot pipe at the heater.
"""

from ...report import Result, advice, fails, meets, silent, unanswered
from ...units import Inch, eighths, tape_most

CLAUSES = ("supply.unions",)


def check(
    unions_fitted: bool | None = None, union_distance_in: Inch | None = None, *, required: bool, within: Inch | None = None
) -> Result:
    if unions_fitted is None:
        return unanswered("To answer: unions or flexible connectors.", needs=("unions_fitted",), kind="advice")
    said = ("No unions and no flexible connectors at the heater.", "none", "in place")
    if not required:
        if unions_fitted:
            return silent("Unions or flexible connectors at the heater; no adopted book asks for them.", kind="advice")
        return advice("fails", *said)
    fix = ""
    if within is not None:
        fix = f"Fit a union or a flexible connector on the cold and on the hot pipe, within {eighths(within)} in of the heater."
    if not unions_fitted:
        return fails(*said, fix=fix)
    if within is None or union_distance_in is None:
        return meets("Unions or flexible connectors at the heater.", "in place", "in place")
    found, most = tape_most(union_distance_in, within)
    why = f"The farther union is {found} in from the heater, {most} in at most."
    if union_distance_in > within:
        return fails(why, union_distance_in, within, "in", fix=fix)
    return meets(why, union_distance_in, within, "in")
