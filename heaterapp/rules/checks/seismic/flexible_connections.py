"""The water and gas connections of a strapped tank can give.

Why: even a strapped tank moves in an earthquake, and rigid pipes break at it: water runs out, gas burns.
Fix: fit flexible connectors on the cold and the hot water, and on the gas.
"""

from ...questions.plate import FUEL, STORAGE
from ...report import Result, advice, silent, unanswered
from ...when import is_

CLAUSES = ("seismic.flexible_connections",)
WHEN = STORAGE & is_("bracing_required", "yes")
KIND = "advice"


def check(
    heater_kind: str, flexible_water_connectors: bool | None = None, flexible_gas_connector: bool | None = None
) -> Result:
    told = {"flexible_water_connectors": flexible_water_connectors}
    if FUEL.holds(lambda _: heater_kind):
        told["flexible_gas_connector"] = flexible_gas_connector
    if flexible_water_connectors is False:
        return advice("fails", "The water pipes are rigid at the tank.", "rigid", "flexible")
    if False in told.values():
        return advice("fails", "The gas pipe is rigid at the tank.", "rigid", "flexible")
    needs = tuple(name for name, given in told.items() if given is None)
    if needs:
        return unanswered("To answer: flexible connectors.", needs=needs, kind="advice")
    return silent("Flexible connectors at the tank; no adopted book asks for them.", kind="advice")
