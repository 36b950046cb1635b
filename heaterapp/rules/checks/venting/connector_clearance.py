"""The connector keeps its distance from what can burn.

Why: single-wall pipe runs hot enough to light wood and paper near it.
Fix: move the connector or the material, fit a shield of the code's table, or change to Type B.
"""

from decimal import Decimal

from ...book import Table
from ...calc.printed import row_where
from ...questions import as_read
from ...questions.vent import CONNECTOR, NATURAL
from ...report import Result, authority, fails, meets, unanswered
from ...units import Inch, tape_least

CLAUSES = ("venting.connector_clearance", "venting.clearance_shields")
WHEN = NATURAL & CONNECTOR


def check(
    connector_kind: str, connector_clearance_in: Inch, listed_mark: bool, clearance_shield: str, vent_marked_clearance_in: Inch | None = None,
    *, distances: Table, listed_row: str, unlisted_row: str, shields: Table,
) -> Result:  # fmt: skip
    row = row_where(
        distances.rows, appliance=listed_row if listed_mark else unlisted_row, connector=connector_kind
    )
    assert row is not None
    if not row["permitted"]:
        return fails(
            "This connector is not permitted on an unlisted heater.",
            as_read("connector_kind", connector_kind),
            "single wall or Type L",
        )
    if row.get("as_listed"):
        if vent_marked_clearance_in is None:
            return unanswered(
                "To answer: the clearance marked on the pipe.", needs=("vent_marked_clearance_in",)
            )
        needed = vent_marked_clearance_in
    else:
        needed = row["clearance_in"]
    found, asked = tape_least(connector_clearance_in, needed)
    said = f"Connector to what can burn: {found} in"
    if clearance_shield == "none" or row.get("as_listed"):
        answer = meets if connector_clearance_in >= needed else fails
        return answer(f"{said}, {asked} in asked.", connector_clearance_in, needed, "in")
    cell = row_where(shields.rows, shield=clearance_shield, required_in=needed)
    left = cell.get("above_in") if cell else None
    if not isinstance(left, Decimal):
        return authority(
            f"{said}. The table gives this shield no value above a connector.",
            connector_clearance_in,
            needed,
            "in",
            clause="venting.clearance_shields",
        )
    found, asked = tape_least(connector_clearance_in, left)
    said = f"Connector to what can burn: {found} in"
    if cell is not None and cell.get("confidence") == "memory" and connector_clearance_in < needed:
        return authority(
            f"{said}, {asked} in with this shield, from memory: read the table.",
            connector_clearance_in,
            left,
            "in",
            clause="venting.clearance_shields",
        )
    answer = meets if connector_clearance_in >= left else fails
    return answer(
        f"{said}, {asked} in asked with this shield.",
        connector_clearance_in,
        left,
        "in",
        clause="venting.clearance_shields",
    )
