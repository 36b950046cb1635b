"""The floor under the heater suits it.

Why: a burner over carpet can scorch it and take its lint into the flame.
Fix: set the heater on the maker's panel, or on a floor that cannot burn, wider than the heater.
"""

from ...questions import as_read
from ...questions.plate import FUEL
from ...report import Result, fails, meets

CLAUSES = ("place.floor",)
WHEN = FUEL


def check(floor_kind: str, *, barred: tuple[str, ...]) -> Result:
    shown = as_read("floor_kind", floor_kind)
    if floor_kind in barred:
        return fails("Stands on carpet without the maker's panel.", shown, "no carpet")
    return meets(f"Floor: {shown}.", shown, "no carpet")
