"""A gas shutoff stands within reach of the heater.

Why: whoever smells gas must be able to shut the heater off at once.
Fix: fit a listed valve in the same room, within reach and ahead of the union or connector.
"""

from ...questions.plate import FUEL
from ...report import Result, fails, meets
from ...units import Foot, plain

CLAUSES = ("gas.shutoff",)
WHEN = FUEL


def check(gas_shutoff_within_6ft: bool, *, within: Foot) -> Result:
    limit = f"within {plain(within)} ft, in the room"
    if gas_shutoff_within_6ft:
        return meets(f"A gas shutoff stands {limit}.", "in reach", limit)
    return fails(f"No gas shutoff stands {limit}.", "none in reach", limit)
