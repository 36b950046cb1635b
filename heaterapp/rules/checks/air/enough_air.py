"""The burner has enough air by the source that was chosen.

Why: a starved burner makes carbon monoxide and draws the flue gases back into the room.
Fix: enlarge the openings, open the room to more rooms, or bring air from outdoors.
"""

from decimal import Decimal

from ...questions.air import INDOOR_AIR
from ...report import Result, Worked, authority, fails, meets, unanswered
from ...units import BtuPerHour, CubicFootPerMinute, against_least, unit_shown

CLAUSES = (
    "air.standard", "air.infiltration", "air.indoor_openings", "air.other_storey", "air.outdoor_openings", "air.one_opening",
    "air.combination", "air.mechanical",
)  # fmt: skip
WHEN = INDOOR_AIR

_CITED = {
    "room": "air.standard", "indoor_openings": "air.indoor_openings", "other_storey": "air.other_storey",
    "outdoors_direct": "air.outdoor_openings", "outdoors_vertical_ducts": "air.outdoor_openings",
    "outdoors_horizontal_ducts": "air.outdoor_openings", "one_outdoor_opening": "air.one_opening",
    "combination": "air.combination", "mechanical": "air.mechanical",
}  # fmt: skip

_BY_THE_ROOM = ("draft_hood", "fan_assisted")


def check(
    air_source: str, draft_kind: str, condensing: bool,
    air_volume_needed_ft3: Worked | None = None, air_volume_there_ft3: Worked | None = None,
    air_opening_needed_in2: Worked | None = None, air_opening_there_in2: Worked | None = None,
    air_mechanical_needed_cfm: Worked | None = None, mechanical_air_cfm: CubicFootPerMinute | None = None,
    room_other_input_btuh: BtuPerHour | None = None, room_other_draft_kind: str | None = None,
) -> Result:  # fmt: skip
    if air_source == "sealed":
        said = "Air is said to be sealed in, yet the heater is not said to be direct vent: which is it?"
        return unanswered(said, needs=("air_source", "direct_vent"))
    cited = _CITED[air_source]
    judged = (
        _side("fan", Worked(mechanical_air_cfm), air_mechanical_needed_cfm, "cfm", cited)
        if air_source == "mechanical"
        else _side("free opening", air_opening_there_in2, air_opening_needed_in2, "in2", cited)
    )
    if air_source in ("room", "indoor_openings", "other_storey"):
        volume = _side("room", air_volume_there_ft3, air_volume_needed_ft3, "ft3", cited)
        # openings known to be too small are said before a volume that is still to be measured
        known_short = volume.verdict == "unanswered" and judged.verdict == "fails"
        judged = volume if air_source == "room" or not (volume.verdict == "meets" or known_short) else judged
    if (draft_kind == "power_vent" or condensing) and judged.verdict in ("meets", "fails"):
        if judged.verdict == "fails" and room_other_input_btuh and room_other_draft_kind in _BY_THE_ROOM:
            said = f"{judged.why} What it burns counts for the {room_other_draft_kind.replace('_', '-')} burner beside it, whatever its own maker asks."
            return fails(said, judged.found, judged.limit, judged.unit, clause=judged.clause)
        said = f"Its maker says what air it takes from the room. For all burners there: {judged.why}"
        return authority(said, judged.found, judged.limit, judged.unit, clause=cited)
    return judged


def _side(what: str, have: Worked | None, want: Worked | None, unit: str, clause: str) -> Result:
    if want is not None and want.value is None and not want.needs:
        return fails(f"{want.says.capitalize()}.", None, None, unit, clause="air.infiltration")
    there = have.value if have else None
    needed = want.value if want else None
    if not isinstance(there, Decimal) or not isinstance(needed, Decimal):
        says = " and ".join(one.says for one in (have, want) if one is not None and one.says)
        needs = tuple(name for one in (have, want) if one is not None for name in one.needs)
        return unanswered(f"To answer: {says or 'what is measured of the air'}.", needs=needs)
    found, limit = against_least(there, needed, 1)
    said = f"{what.capitalize()} {found} {unit_shown(unit)}; at least {limit} {unit_shown(unit)} is needed."
    return (meets if there >= needed else fails)(said, there, needed, unit, clause=clause)
