"""Air for burning. The checks on it stand beside the vent."""

from ..question import choice, number
from ..when import no
from .plate import FUEL, HEAT_PUMP

ROOM_AIR = FUEL & no("direct_vent")

QUESTIONS = (
    number("room_volume_ft3", "Room volume", "ft3", ("1", "1000000"), ("20", "20000"), when=ROOM_AIR | HEAT_PUMP),
    number("joined_volume_ft3", "Volume of rooms joined to it by openings", "ft3", ("0", "1000000"), when=ROOM_AIR),
    number("room_other_input_btuh", "Other fuel input in the same room", "Btu/h", ("0", "10000000"), ("0", "300000"), when=ROOM_AIR),
    choice("room_other_draft_kind", "Draft of the other appliances", {
        "draft_hood": "Draft hood", "fan_assisted": "Fan-assisted", "power_vent": "Power vent", "direct_vent": "Direct vent",
    }, when=ROOM_AIR),
    choice("air_source", "Air for burning comes from", {
        "room": "The room itself", "indoor_openings": "Openings to other rooms", "other_storey": "Another storey",
        "outdoors_direct": "Outdoors, two direct openings", "outdoors_vertical_ducts": "Outdoors, vertical ducts",
        "outdoors_horizontal_ducts": "Outdoors, horizontal ducts", "one_outdoor_opening": "Outdoors, one opening",
        "combination": "Room and outdoors together", "mechanical": "A fan", "sealed": "Sealed heater",
    }, when=FUEL),
    number("air_opening_high_in2", "High opening, free area", "in2", ("0", "100000"), ("0", "2000"), when=ROOM_AIR),
    number("air_opening_low_in2", "Low opening, free area", "in2", ("0", "100000"), ("0", "2000"), when=ROOM_AIR),
    number("air_single_opening_in2", "Single opening, free area", "in2", ("0", "100000"), ("0", "2000"), when=ROOM_AIR),
    choice("air_louver", "Louver on the openings", {"none": "None", "metal": "Metal", "wood": "Wood"}, when=ROOM_AIR),
    number("air_opening_least_dimension_in", "Least dimension of an opening or duct", "in", ("0", "200"), when=ROOM_AIR),
    number("air_high_from_top_in", "High opening starts below the ceiling", "in", ("0", "600"), when=ROOM_AIR),
    number("air_low_from_bottom_in", "Low opening starts above the floor", "in", ("0", "600"), when=ROOM_AIR),
    number("air_changes_per_hour", "Known air changes per hour", "count", ("0", "100"), when=ROOM_AIR),
    number("vent_connectors_area_in2", "Area of all vent connectors in the room", "in2", ("0", "10000"), when=ROOM_AIR),
    number("mechanical_air_cfm", "Air from the fan", "cfm", ("0", "100000"), when=ROOM_AIR),
)  # fmt: skip
