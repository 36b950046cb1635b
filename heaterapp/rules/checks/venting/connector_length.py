"""The connector is short enough for its vent.

Why: a long level run chills the gases and holds them back.
Fix: shorten the connector, change it to Type B, or move the heater nearer to the vent.
"""

from decimal import Decimal

from ...questions.vent import CONNECTOR, NATURAL, ROOF
from ...report import Result, Worked, fails, meets
from ...units import HUNDREDTHS, Foot, against_most

CLAUSES = ("venting.connector_length", "venting.shared_connector_length")
WHEN = NATURAL & CONNECTOR & ROOF


def check(connector_length_ft: Foot, connector_length_allowed_ft: Worked, vent_shared: bool) -> Result:
    most = connector_length_allowed_ft.value
    # The figure asks for each size exactly where this check does, and waits for it there.
    assert isinstance(most, Decimal)
    clause = "venting.shared_connector_length" if vent_shared else "venting.connector_length"
    found, allowed = against_most(connector_length_ft, most, HUNDREDTHS)
    said = f"Connector {found} ft level, {allowed} ft at most."
    if connector_length_ft <= most:
        return meets(said, connector_length_ft, most, "ft", clause=clause)
    if vent_shared:
        said = f"{said} A longer one is let carry less: its capacity is reckoned with that."
        return meets(said, f"{found} ft, carries less", f"{allowed} ft without loss", clause=clause)
    return fails(said, connector_length_ft, most, "ft")
