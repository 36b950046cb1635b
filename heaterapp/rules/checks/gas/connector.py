"""The gas connector is one, short enough, and passes through nothing.

Why: a connector that is too long, joined to another or run through a wall chokes the burner, wears through and leaks unseen.
Fix: fit one listed connector within the length, in the heater's room; bring the pipe and its valve nearer if it does not reach.
"""

from ...questions.plate import FUEL
from ...report import Result, advice, fails, meets, unanswered
from ...units import Count, Inch, eighths, plain, tape_most

CLAUSES = ("gas.connector", "gas.connector_new")
WHEN = FUEL


def check(
    gas_connector_count: Count, gas_connector_length_in: Inch | None = None, gas_connector_through_wall: bool | None = None,
    gas_connector_new: bool | None = None, job_kind: str | None = None, *, longest: Inch, most_in_a_row: Count,
) -> Result | tuple[Result, Result]:  # fmt: skip
    limit = eighths(longest)
    if gas_connector_count == 0:
        return meets("Rigid pipe, no connector.", "none", limit, "in")
    if gas_connector_count > most_in_a_row:
        return fails(
            f"{plain(gas_connector_count)} connectors in a row; {plain(most_in_a_row)} for each heater.",
            plain(gas_connector_count),
            plain(most_in_a_row),
        )
    if gas_connector_through_wall:
        return fails(
            "The connector passes through a wall, floor or housing.", "through a wall", "in the open"
        )
    if gas_connector_length_in is None:
        return unanswered("To answer: the connector's length.", needs=("gas_connector_length_in",))
    found, limit = tape_most(gas_connector_length_in, longest)
    said = f"Connector {found} in long, {limit} in at most."
    if gas_connector_length_in > longest:
        return fails(said, gas_connector_length_in, longest, "in")
    if gas_connector_through_wall is None:
        return unanswered(
            "To answer: whether the connector passes through a wall, floor or housing.",
            needs=("gas_connector_through_wall",),
        )
    rule = meets(said, gas_connector_length_in, longest, "in")
    if gas_connector_new is False and job_kind in ("same_place", "moved", "new", "changed_kind"):
        old = "The old connector was used again; makers ask for a new one."
        return rule, advice("fails", old, "used again", "new", clause="gas.connector_new")
    return rule
