"""Air for burning. The checks on it stand beside the vent."""

from ..question import choice, number, yes_no
from ..when import ALWAYS, is_, no, said, some
from .plate import FUEL, HEAT_PUMP

ROOM_AIR = FUEL & no("direct_vent")
INDOOR_AIR = ROOM_AIR & ~said("room", "outdoors")
COMBINED = ROOM_AIR & is_("air_source", "combination")
INDOORS = ROOM_AIR & is_("air_source", "indoor_openings")
OTHER_STOREY = ROOM_AIR & is_("air_source", "other_storey")
TWO_OUTDOORS = ROOM_AIR & is_("air_source", "outdoors_direct", "outdoors_vertical_ducts", "outdoors_horizontal_ducts")
ONE_OUTDOORS = ROOM_AIR & is_("air_source", "one_outdoor_opening")
TWO = INDOORS | TWO_OUTDOORS | (COMBINED & is_("air_outdoor_part", "two_openings", "two_horizontal_ducts"))
ONE_HIGH = ONE_OUTDOORS | (COMBINED & is_("air_outdoor_part", "one_opening"))
ONE = ONE_HIGH | OTHER_STOREY
OPENINGS = TWO | ONE
TO_OUTDOORS = TWO_OUTDOORS | ONE_OUTDOORS | COMBINED
BY_VOLUME = ROOM_AIR & is_("air_source", "room", "indoor_openings", "other_storey", "combination")
JOINED = INDOORS | OTHER_STOREY | COMBINED
FAN = ROOM_AIR & is_("air_source", "mechanical")

QUESTIONS = (
    choice("air_source", "Air for burning comes from", {
        "room": "The room itself", "indoor_openings": "Openings to other rooms", "other_storey": "Another storey",
        "outdoors_direct": "Outdoors, two direct openings", "outdoors_vertical_ducts": "Outdoors, vertical ducts",
        "outdoors_horizontal_ducts": "Outdoors, horizontal ducts", "one_outdoor_opening": "Outdoors, one opening",
        "combination": "Room and outdoors together", "mechanical": "A fan", "sealed": "Sealed heater",
    }, when=ROOM_AIR, hint="An attic or crawl space freely vented to outdoors counts as outdoors."),
    number("room_other_input_btuh", "Other fuel input in the same room", "Btu/h", ("0", "10000000"), ("0", "300000"), when=ROOM_AIR,
           usual=("0",), hint="Furnace, boiler, a second heater: the sum of their plates. Not stoves and dryers. None: 0."),
    choice("room_other_draft_kind", "Draft of the other appliances", {
        "draft_hood": "Draft hood", "fan_assisted": "Fan-assisted", "power_vent": "Power vent", "direct_vent": "Direct vent",
    }, when=ROOM_AIR & some("room_other_input_btuh"), hint="Of several kinds: draft hood where one has it."),
    number("room_volume_ft3", "Room volume", "ft3", ("1", "1000000"), ("20", "20000"), when=BY_VOLUME | (HEAT_PUMP & ~said("room", "outdoors")),
           hint="One number, or the sides in feet: 20x12x8. With rooms it is open to without a door."),
    number("joined_volume_ft3", "Volume of rooms joined to it by the openings", "ft3", ("0", "1000000"), when=JOINED),
    number("air_changes_per_hour", "Known air changes per hour", "count", ("0", "100"), ("0.1", "2"), when=BY_VOLUME, absent=ALWAYS,
           hint="Only where the house was tested; else leave it."),
    choice("air_outdoor_part", "The outdoor part comes through", {
        "two_openings": "Two openings, direct or by vertical ducts", "two_horizontal_ducts": "Two horizontal ducts", "one_opening": "One high opening",
    }, when=COMBINED),
    number("air_opening_high_in2", "High opening, free area", "in2", ("0", "100000"), ("0", "2000"), when=TWO, measured=True,
           hint="Behind a louver whose free area is not printed: its whole face, and say which louver."),
    number("air_opening_low_in2", "Low opening, free area", "in2", ("0", "100000"), ("0", "2000"), when=TWO, measured=True),
    number("air_single_opening_in2", "Single opening, free area", "in2", ("0", "100000"), ("0", "2000"), when=ONE, measured=True,
           hint="To another storey: all openings together."),
    choice("air_louver", "Louver whose free area is not known", {"none": "None", "metal": "Metal", "wood": "Wood"}, when=OPENINGS, default="none"),
    number("air_opening_least_dimension_in", "Least dimension of an opening or duct", "in", ("0", "200"), when=TWO | ONE_HIGH, measured=True),
    number("air_high_from_top_in", "High opening starts below the ceiling", "in", ("0", "600"), when=TWO | ONE_HIGH, measured=True),
    number("air_low_from_bottom_in", "Low opening starts above the floor", "in", ("0", "600"), when=TWO, measured=True),
    number("air_screen_mesh_in", "Mesh of the screen on the openings", "in", ("0", "6"), ("0.0625", "1"), when=TO_OUTDOORS, usual=("1/4", "1/2"), absent=ALWAYS,
           hint="No screen: not here."),
    number("air_intake_above_ground_in", "Intake outside, its lower edge above the ground", "in", ("0", "2400"), when=TO_OUTDOORS, measured=True, absent=ALWAYS,
           hint="An opening to a vented attic or crawl space: not here."),
    number("vent_connectors_area_in2", "Area of all vent connectors in the room", "in2", ("0", "10000"), ("7", "400"), when=ONE_HIGH & some("room_other_input_btuh")),
    number("air_clear_sides_in", "Heater clear at sides and back", "in", ("0", "240"), ("0", "48"), when=ONE_HIGH, measured=True),
    number("air_clear_front_in", "Heater clear in front", "in", ("0", "600"), ("0", "96"), when=ONE_HIGH, measured=True),
    number("mechanical_air_cfm", "Air from the fan", "cfm", ("0", "100000"), when=FAN),
    yes_no("mechanical_air_interlocked", "The burner cannot fire unless the fan runs", when=FAN),
)  # fmt: skip
