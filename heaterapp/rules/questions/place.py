"""The room, access, what protects the heater and what it endangers."""

from ..question import choice, number, other, yes_no
from ..when import is_, yes
from .plate import FUEL

CLOSET = is_("room", "closet")
ATTIC = is_("room", "attic", "crawl_space")
GARAGE = is_("room", "garage")

QUESTIONS = (
    choice("room", "Room", {
        "garage": "Garage", "basement": "Basement", "utility": "Utility room", "closet": "Closet", "attic": "Attic",
        "crawl_space": "Crawl space", "outdoors": "Outdoors", "bedroom": "Bedroom", "bathroom": "Bathroom", "other": "Other",
    }),
    yes_no("room_used_for_storage", "The room is used for storage"),
    yes_no("closet_opens_to_sleeping_or_bath", "The closet opens into a bedroom or bathroom", when=CLOSET),
    choice("closet_door", "Closet door", {
        "sealed_self_closing": "Sealed and self-closing", "louvered": "Louvered", "other": "Other",
    }, when=CLOSET),
    yes_no("closet_louvers_closed", "Door louvers closed off, as all air comes from outdoors", when=CLOSET & is_("closet_door", "louvered")),
    yes_no("closet_heater_only", "Nothing but the heater is in the closet", when=CLOSET),
    yes_no("service_access_clear", "It can be reached, served and taken out without breaking anything"),
    number("ignition_height_in", "Lowest ignition source above the floor", "in", ("0", "120"), ("0", "36"), when=GARAGE, measured=True, usual=("18",),
           absent=yes("ignition_resistant") | ~FUEL,
           hint="Pilot, burner, igniter, element or switch."),
    yes_no("in_vehicle_path", "A vehicle could strike it", when=GARAGE),
    yes_no("vehicle_guard", "A post, wall or platform guards it", when=GARAGE & yes("in_vehicle_path")),
    other("work_space_in", "Work space in front, width and depth", "two_lengths", ("0", "600"), unit="in", measured=True),
    other("attic_opening_in", "Access opening, width and length", "two_lengths", ("0", "600"), unit="in", when=ATTIC, measured=True),
    number("attic_passage_width_in", "Passage width", "in", ("0", "600"), when=ATTIC, measured=True),
    number("attic_passage_height_in", "Passage height", "in", ("0", "600"), when=ATTIC, measured=True),
    number("attic_passage_length_ft", "Passage length", "ft", ("0", "500"), when=ATTIC, measured=True),
    yes_no("attic_light", "Light at the heater, switched at the entrance", when=ATTIC),
    yes_no("attic_receptacle", "Receptacle near the heater", when=ATTIC),
    choice("condensate_end", "Condensate goes to", {"drain": "A drain", "outdoors": "Outdoors", "pump": "A pump", "none": "Nowhere"},
           when=yes("condensing") | is_("heater_kind", "heat_pump_storage")),
    yes_no("condensate_neutralised", "Condensate passes a neutralizer", when=yes("condensing")),
)  # fmt: skip
