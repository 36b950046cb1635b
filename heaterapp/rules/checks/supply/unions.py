"""Unions or flexible connectors let the heater come off its water pipes.

Why: without them whoever takes the heater out has to cut the pipes.
Fix: fit a union or a flexible connector on the cold and on the hot pipe, within 12 in of the heater.
"""

from ...report import Result, advice, fails, meets, silent, unanswered

CLAUSES = ("supply.unions",)


def check(unions_fitted: bool | None = None, *, required: bool) -> Result:
    if unions_fitted is None:
        return unanswered("To answer: unions or flexible connectors.", needs=("unions_fitted",), kind="advice")
    if unions_fitted and required:
        return meets("Unions or flexible connectors at the heater.", "in place", "in place")
    if unions_fitted:
        return silent("Unions or flexible connectors at the heater; no adopted book asks for them.", kind="advice")
    said = ("No unions and no flexible connectors at the heater.", "none", "in place")
    return fails(*said) if required else advice("fails", *said)
