"""The louvers in the closet's door suit where the air comes from.

Why: with air from outdoors, open louvers let cold air and fumes into the rooms; with air from the rooms, closed ones starve the burner.
Fix: all air from outdoors: close the louvers off with sheet metal or the like. Air from the rooms: open them, for good.
"""

from ...questions.air import ROOM_AIR
from ...questions.place import CLOSET
from ...report import Result, advice, not_applicable, unanswered
from ...when import is_

CLAUSES = ("air.closet_louvers",)
WHEN = ROOM_AIR & CLOSET & is_("closet_door", "louvered")
KIND = "advice"


def check(
    closet_louvers_closed: bool | None = None, air_source: str | None = None,
    *, from_outdoors: tuple[str, ...], from_rooms: tuple[str, ...],
) -> Result:  # fmt: skip
    if closet_louvers_closed is None or air_source is None:
        needs = ("closet_louvers_closed", "air_source")
        return unanswered("To answer: the louvers, and where the air comes from.", needs=needs, kind="advice")
    if air_source in from_outdoors:
        if closet_louvers_closed:
            return advice("meets", "All air is from outdoors, and the louvers are closed off.", "closed off", "closed off")
        return advice("fails", "All air is from outdoors, and the louvers are open.", "open", "closed off")
    if air_source in from_rooms:
        if closet_louvers_closed:
            return advice("fails", "Air comes from other rooms, and the louvers are closed off.", "closed off", "open")
        return advice("meets", "Air comes from other rooms, and the louvers are open.", "open", "open")
    return not_applicable("No air is counted through the door.", kind="advice")
