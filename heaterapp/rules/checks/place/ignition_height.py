"""In a garage the ignition source is high enough above the floor.

Why: gasoline vapor lies along a garage floor and lights at a pilot, burner or switch.
Fix: raise the heater on a fixed stand until its lowest ignition source is at the height, or fit one marked ignition resistant.
"""

from ...questions.plate import FUEL
from ...report import Result, authority, fails, meets, not_applicable, unanswered
from ...units import Inch, eighths, tape_least
from ...when import is_

CLAUSES = ("place.ignition_height", "place.ignition_source")
WHEN = is_("room", "garage")


def check(
    heater_kind: str, ignition_resistant: bool | None = None, ignition_height_in: Inch | None = None,
    *, height: Inch, resistant_exempt: bool, electric_too: bool, by_maker: bool = False,
) -> Result:  # fmt: skip
    fuel = FUEL.holds(lambda _: heater_kind)
    if not fuel and not electric_too:
        return not_applicable("This book raises burners and their igniters only.")
    if fuel and resistant_exempt and ignition_resistant:
        return meets(
            "Marked flammable vapor ignition resistant: no height is asked.",
            "ignition resistant",
            height,
            "in",
        )
    if ignition_height_in is None:
        mark = ", or the ignition resistant mark" if fuel else ""
        return unanswered(f"To answer: the height of the lowest ignition source{mark}.")
    found, least = tape_least(ignition_height_in, height)
    said = f"Lowest ignition source {found} in above the floor, {least} in asked."
    clause = "" if fuel else "place.ignition_source"
    if ignition_height_in >= height:
        return meets(said, ignition_height_in, height, "in", clause=clause)
    if not fuel:
        return authority(
            said + " Whether a switch or thermostat counts is argued: ask the authority.",
            ignition_height_in,
            height,
            "in",
            fix="Raise the heater on a fixed stand until its switch is at the height, or have the authority accept it.",
            clause=clause,
        )
    if by_maker:
        said = f"Lowest ignition source {eighths(ignition_height_in)} in above the floor. Here a heater is raised only where its maker's instructions ask it: read them."
        return authority(said, ignition_height_in, "by the maker", "in", fix="Show the authority the page of the instructions that says so.")
    return fails(said, ignition_height_in, height, "in")
