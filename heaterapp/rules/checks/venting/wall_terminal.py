"""The wall terminal keeps its distances from openings, ground, walkways and neighbors.

Why: gases let out beside a window, walkway or neighbor are breathed in; snow buries a low terminal.
Fix: move the terminal, or close the opening, until every distance listed is kept.
"""

from decimal import Decimal

from ...book import Table
from ...calc.printed import row_where
from ...calc.vent_ends import direct_vent_distance
from ...catalog import NotHere
from ...questions.vent import WALL
from ...report import Result, authority, fails, meets, unanswered
from ...units import BtuPerHour, Foot, Inch, clear_of, eighths, plain, tape_least, tape_shown

CLAUSES = ("venting.wall_terminal", "venting.direct_vent_terminal")
WHEN = WALL


def check(
    draft_kind: str, direct_vent: bool, condensing: bool, input_btuh: BtuPerHour, wall_terminal_above_grade_in: Inch,
    wall_terminal_below_opening_in: Inch | NotHere, wall_terminal_beside_opening_in: Inch | NotHere, wall_terminal_above_opening_in: Inch | NotHere,
    wall_terminal_over_walkway: bool, wall_terminal_beside_walkway_height_in: Inch | NotHere, neighbour_opening_ft: Foot | NotHere,
    vent_category: str | None = None, neighbour_opening_below_terminal_ft: Foot | None = None, snow_depth_in: Inch | None = None,
    wall_terminal_to_gas_regulator_ft: Foot | NotHere | None = None,
    *, distances: Table, direct: Table, direct_sure_to: BtuPerHour, wet_categories: tuple[str, ...], inches_a_foot: Decimal,
) -> Result:  # fmt: skip
    def asked(measure: str, vent: str = "mechanical_draft") -> Decimal:
        row = row_where(distances.rows, vent=vent, measure=measure)
        assert row is not None
        return Decimal(row["distance_in"])

    around = {
        "below": wall_terminal_below_opening_in,
        "beside": wall_terminal_beside_opening_in,
        "above": wall_terminal_above_opening_in,
    }
    short = []
    if direct_vent:
        every = direct_vent_distance(direct.rows, input_btuh)
        assert every is not None
        least = {where: every for where in around}
    else:
        least = {where: asked(f"{where}_opening", "power_vent") for where in around}
    for where, found in around.items():
        if isinstance(found, Decimal) and found < least[where]:
            short.append(f"{tape_shown(found, least[where])} in {where} an opening, {eighths(least[where])} in asked")
    openings = len(short)
    ground = asked("above_grade", "direct_vent" if direct_vent else "power_vent") + (snow_depth_in or 0)
    if wall_terminal_above_grade_in < ground:
        high, low = tape_least(wall_terminal_above_grade_in, ground)
        short.append(
            f"{high} in above ground{' and snow' if snow_depth_in else ''}, {low} in asked"
        )
    walkway = wall_terminal_beside_walkway_height_in
    raised = asked("above_ground_beside_walkway")
    beside = (
        f"{tape_shown(walkway, raised)} in above a walkway, {eighths(raised)} in asked"
        if isinstance(walkway, Decimal) and walkway < raised
        else ""
    )
    short += [beside] if beside and not direct_vent else []
    if wall_terminal_over_walkway and (condensing or vent_category in wet_categories):
        short.append("over a public walkway, where its condensate drips and freezes")
    if isinstance(neighbour_opening_ft, Decimal) and neighbour_opening_ft * inches_a_foot < asked(
        "neighbour_opening_within"
    ):
        if neighbour_opening_below_terminal_ft is None:
            return unanswered(
                "To answer: how far the neighbor's opening is below the terminal.",
                needs=("neighbour_opening_below_terminal_ft",),
            )
        below = neighbour_opening_below_terminal_ft * inches_a_foot
        if -asked("neighbour_opening_above_terminal") < below < asked("neighbour_opening_below_terminal"):
            short.append(
                f"{clear_of(neighbour_opening_ft, asked('neighbour_opening_within') / inches_a_foot)} ft from a neighbor's opening, {plain(asked('neighbour_opening_within') / inches_a_foot)} ft asked"
            )
    # What ground, walkway and neighbor ask stands in the clause of every wall terminal.
    clause = "venting.direct_vent_terminal" if direct_vent and len(short) == openings else ""
    limit = f"{eighths(least['below'])} in below, {eighths(least['beside'])} in beside, {eighths(least['above'])} in above an opening; {eighths(ground)} in above ground"
    if short:
        return fails("Short: " + "; ".join(short) + ".", "short", limit, "in", clause=clause)
    if beside:
        said = f"{beside} where a fan blows the gases out: whether that holds for a sealed heater is left to the authority."
        return authority(said, "low beside a walkway", limit, "in", clause="venting.wall_terminal")
    regulator, apart = wall_terminal_to_gas_regulator_ft, asked("regulator_vent_up_to_2_psi") / inches_a_foot
    if isinstance(regulator, Decimal) and regulator < apart:
        said = f"{clear_of(regulator, apart)} ft from a gas regulator's vent; later editions are believed to ask {plain(apart)} ft, and more at a higher gas pressure."
        return authority(said, regulator, apart, "ft", clause="venting.wall_terminal", fix="Keep away from the regulator's vent as the gas supplier and the maker ask.")
    if direct_vent and input_btuh > direct_sure_to:
        said = f"The distances of the table read are kept; over {plain(direct_sure_to)} Btu/h later editions are believed to send a sealed heater to its maker's own."
        return authority(said, "kept", limit, "in", clause=clause, fix="Keep the distances of the maker's instructions, and show them to the authority.")
    return meets("Every distance is kept.", "kept", limit, "in", clause=clause)
