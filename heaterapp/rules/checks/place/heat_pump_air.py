"""The room holds the air that a heat pump heater needs.

Why: in too small a room the heat pump chills its own air, runs long and falls back on its elements.
Fix: louver the door, duct the air, or move it to a larger room, as the maker's instructions say.
"""

from ...questions.plate import HEAT_PUMP
from ...report import Result, authority, meets
from ...units import CubicFoot, against_least
from ...when import said as told

CLAUSES = ("place.heat_pump_air",)
WHEN = HEAT_PUMP & ~told("room", "outdoors")


def check(room_volume_ft3: CubicFoot, heat_pump_air_ft3_by_maker: CubicFoot) -> Result:
    found, least = against_least(room_volume_ft3, heat_pump_air_ft3_by_maker)
    said = f"Room {found} cu ft, the maker asks for {least} cu ft."
    if room_volume_ft3 >= heat_pump_air_ft3_by_maker:
        return meets(said, room_volume_ft3, heat_pump_air_ft3_by_maker, "ft3")
    return authority(
        said + " Louvers or ducts by the maker's instructions may make up for it.",
        room_volume_ft3,
        heat_pump_air_ft3_by_maker,
        "ft3",
    )
