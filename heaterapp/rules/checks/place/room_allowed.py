"""The heater stands in a room where its kind is allowed.

Why: a burner in a bedroom or bathroom takes its air from, and can spill into, a closed room where people sleep.
Fix: use a direct vent heater, or a sealed enclosure with a self-closing door and all air from outdoors, or another room.
"""

from ...questions import as_read
from ...questions.plate import FUEL
from ...report import Result, fails, meets, unanswered

CLAUSES = ("place.barred_rooms",)
WHEN = FUEL


def check(
    room: str, direct_vent: bool, closet_opens_to_sleeping_or_bath: bool | None = None, closet_door: str | None = None,
    closet_heater_only: bool | None = None, air_source: str | None = None, room_used_for_storage: bool | None = None,
    *, barred: tuple[str, ...], outdoor_air: tuple[str, ...], storage_closet_barred: bool,
) -> Result:  # fmt: skip
    shown = as_read("room", room)
    if direct_vent:
        return meets(
            "Direct vent: all its air is from outdoors, so the room does not bar it.", shown, "direct vent"
        )
    if room in barred:
        return fails(f"A {shown}, and not direct vent.", shown, "direct vent, or another room")
    if room != "closet":
        return meets(f"Stands in: {shown}.", shown, "not a bedroom or bathroom")
    if storage_closet_barred and room_used_for_storage:
        return fails(
            "A closet used for storage, and not direct vent.", "storage closet", "not a storage closet"
        )
    if closet_opens_to_sleeping_or_bath is None or (storage_closet_barred and room_used_for_storage is None):
        return unanswered("To answer: what the closet opens into, and whether things are stored in it.")
    if not closet_opens_to_sleeping_or_bath:
        return meets(
            "The closet does not open into a bedroom or bathroom.", shown, "not into a bedroom or bathroom"
        )
    if None in (closet_door, closet_heater_only, air_source):
        return unanswered("To answer: the closet's door, what else is in it, and where the air comes from.")
    if closet_door == "sealed_self_closing" and closet_heater_only and air_source in outdoor_air:
        return meets(
            "Sealed self-closing door, only the heater inside, all air from outdoors.",
            "sealed enclosure",
            "sealed enclosure",
        )
    return fails(
        "The closet opens into a bedroom or bathroom and is not a sealed enclosure with outdoor air.",
        shown,
        "sealed enclosure or direct vent",
    )
