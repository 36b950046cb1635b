"""The gas connector carries all that the heater takes.

Why: a connector too small starves the burner when it fires, and it soots or goes out.
Fix: fit a listed connector whose tag gives at least the heater's input.
"""

from ...questions.plate import FUEL
from ...report import Result, advice, fails, meets, not_applicable
from ...units import BtuPerHour, Count, against_least, plain_up

CLAUSES = ("gas.connector_capacity",)
WHEN = FUEL
KIND = "advice"


def check(
    input_btuh: BtuPerHour, gas_connector_count: Count, gas_connector_btuh: BtuPerHour | None = None
) -> Result:
    if gas_connector_count == 0:
        return not_applicable("Rigid pipe, no connector.")
    if gas_connector_btuh is None:
        said = f"The connector's capacity was not read: its tag must give {plain_up(input_btuh, 0)} Btu/h or more."
        return advice("unanswered", said, needs=("gas_connector_btuh",))
    found, least = against_least(gas_connector_btuh, input_btuh)
    said = f"The connector carries {found} Btu/h; the heater takes {least}."
    answer = meets if gas_connector_btuh >= input_btuh else fails
    return answer(said, gas_connector_btuh, input_btuh, "Btu/h")
