"""The vent, its connector, where it ends, what shares it, draft and spillage."""

from ..question import choice, number, yes_no
from ..when import ALWAYS, is_, no, some, yes
from .plate import FUEL

CATEGORY_I = FUEL & is_("draft_kind", "draft_hood", "fan_assisted")
OTHER_CATEGORY = is_("vent_category", "II", "III", "IV")
HOOD = FUEL & is_("draft_kind", "draft_hood")
NATURAL = CATEGORY_I & no("direct_vent")
VENTED = FUEL & ~is_("vent_kind", "none")
ROOF = VENTED & is_("vent_end", "roof", "chimney_top")
WALL = VENTED & is_("vent_end", "wall")
CONNECTOR = CATEGORY_I & ~is_("connector_kind", "none")
SIZED_CONNECTOR = CATEGORY_I & (~is_("connector_kind", "none") | yes("vent_shared"))
"""On a shared vent the tables read what is between the hood and where the gases join, whatever it is called."""
CHIMNEYS = ("masonry_lined", "masonry_unlined")
CHIMNEY = is_("vent_kind", *CHIMNEYS)
MASONRY = FUEL & CHIMNEY
MAKER = FUEL & (yes("direct_vent") | is_("draft_kind", "power_vent"))
SHARED = CATEGORY_I & yes("vent_shared")
LINER = CATEGORY_I & is_("vent_kind", "type_b")
OUTDOORS = CATEGORY_I & ~CHIMNEY
SIZED = NATURAL & ROOF & ~is_("vent_kind", "plastic", "direct_vent_kit")
BY_TABLE = SIZED & is_("vent_kind", "type_b") & is_("vent_sizing_method", "tables") & ~yes("vent_exposed_outdoors")
SHARED_BY_TABLE = BY_TABLE & SHARED

_WALLS = {"type_b": "Type B, double wall", "single_wall": "Single wall"}

QUESTIONS = (
    choice("vent_kind", "Vent", {
        "type_b": "Type B, double wall", "single_wall": "Single wall", "masonry_lined": "Masonry chimney, lined",
        "masonry_unlined": "Masonry chimney, unlined", "plastic": "Plastic", "special_gas": "Special gas vent",
        "direct_vent_kit": "Direct vent kit", "none": "None",
    }, when=FUEL),
    choice("vent_end", "The vent ends", {"roof": "Above the roof", "wall": "Through a wall", "chimney_top": "At a chimney top"}, when=FUEL),
    number("draft_hood_outlet_in", "Draft hood or flue outlet", "in", ("1", "24"), ("3", "6"), when=CATEGORY_I, usual=("3", "4"), measured=True, nominal=True),
    choice("connector_kind", "Connector from heater to vent", {**_WALLS, "none": "None"}, when=CATEGORY_I),
    number("connector_diameter_in", "Connector diameter", "in", ("1", "24"), ("3", "8"), when=SIZED_CONNECTOR, usual=("3", "4"), nominal=True),
    number("connector_length_ft", "Connector length, horizontal", "ft", ("0", "200"), ("0", "15"), when=SIZED_CONNECTOR, measured=True),
    number("connector_rise_in", "Rise over that length", "in", ("-100", "1000"), ("0", "60"), when=CONNECTOR, measured=True),
    choice("connector_space", "The connector runs in", {
        "room": "The heater's room", "garage": "Garage", "attic": "Attic", "crawl_space": "Crawl space", "unconditioned": "Another unheated space",
    }, when=CONNECTOR),
    choice("connector_passes_through", "The connector passes through", {
        "nothing": "Nothing", "interior_wall": "An inside wall", "outside_wall": "An outside wall", "floor": "A floor", "ceiling": "A ceiling",
    }, when=CONNECTOR),
    number("design_winter_temperature_f", "Local 99 % winter temperature", "degF", ("-80", "80"), ("-40", "60"), when=CATEGORY_I),
    number("connector_screws", "Screws at each connector joint", "count", ("0", "50"), ("0", "6"), when=CONNECTOR, usual=("3", "4"), whole=True),
    yes_no("manual_damper", "A hand damper in the vent", when=CATEGORY_I),
    yes_no("vent_shared", "Another appliance shares the vent", when=CATEGORY_I, default="no"),
    yes_no("appliance_left_vent", "Another appliance has left this vent", when=CATEGORY_I),
    number("vent_diameter_in", "Vent diameter", "in", ("1", "36"), ("2", "12"), when=VENTED & ~CHIMNEY & ~SHARED, usual=("3", "4", "5", "6"), nominal=True),
    number("vent_flue_area_in2", "Flue area inside the chimney", "in2", ("1", "2000"), ("20", "200"), when=MASONRY),
    number("vent_height_ft", "Draft hood or collar up to the vent's end", "ft", ("0", "500"), ("6", "50"), when=CATEGORY_I & ROOF, measured=True),
    number("vent_lateral_ft", "All horizontal offset, connector included", "ft", ("0", "300"), ("0", "20"), when=CATEGORY_I,
           usual=("0",), hint="As seen from above. A straight vent on the hood: 0."),
    number("vent_elbows_90", "90-degree elbows, all of them", "count", ("0", "50"), ("0", "6"), when=VENTED, usual=("0", "1", "2"), whole=True),
    number("vent_elbows_45", "45-degree elbows, all of them", "count", ("0", "50"), ("0", "8"), when=VENTED, usual=("0", "2"), whole=True),
    number("vent_offset_from_vertical_deg", "Flattest offset of the vent, from the vertical", "deg", ("0", "90"), ("0", "60"), when=LINER & some("vent_lateral_ft"),
           hint="The connector does not count. Straight up: 0."),
    yes_no("vent_corrugated_liner", "Corrugated liner", when=LINER,
           hint="A metal liner drawn into a chimney: say Type B for the vent, and yes here if it is corrugated."),
    yes_no("chimney_exterior", "A chimney side faces outdoors below the roof", when=MASONRY),
    yes_no("chimney_inspected_clean", "The chimney was inspected, clear and clean", when=MASONRY),
    yes_no("vent_exposed_outdoors", "The vent runs outdoors below the roof line", when=OUTDOORS),
    number("vent_marked_clearance_in", "Clearance marked on the vent pipe", "in", ("0", "36"), ("1", "6"), when=VENTED, usual=("1",)),
    number("vent_clearance_in", "Least clearance found, vent to what can burn", "in", ("0", "240"), ("0", "24"), when=VENTED, measured=True),
    number("connector_clearance_in", "Least clearance found, connector to what can burn", "in", ("0", "240"), ("0", "36"), when=CONNECTOR, measured=True),
    choice("clearance_shield", "Shield that reduces the clearance", {
        "none": "None", "masonry_3_5in_no_space": "Masonry 3 1/2 in, no air space", "insulation_board_half_in": "1/2 in insulation board over fiber",
        "sheet_metal_24ga_air_space": "24 gauge steel, 1 in air space", "masonry_3_5in_air_space": "Masonry 3 1/2 in, air space",
        "sheet_metal_24ga_over_fiber_air_space": "24 gauge steel over fiber, air space", "insulation_board_air_space": "1/2 in insulation board, air space",
        "two_sheet_metal_air_spaces": "Two 24 gauge sheets, air spaces", "fiber_between_sheets_air_space": "Fiber between 24 gauge sheets, air space",
    }, when=CONNECTOR, default="none"),
    number("draft_hood_clearance_in", "Clear space at the draft hood's opening", "in", ("0", "240"), ("0", "48"), when=HOOD, measured=True),
    choice("vent_sizing_method", "Vent sized by", {"tables": "The tables", "area": "The area rule"}, when=CATEGORY_I, default="tables"),
    yes_no("vent_firestops", "Firestops at each floor and ceiling", when=VENTED, hint="It passes none: yes."),
    yes_no("vent_supported", "Vent and connector are supported", when=VENTED),
    number("vent_maker_max_length_ft", "Longest vent the maker allows", "ft", ("1", "500"), ("5", "200"), when=MAKER),
    number("vent_equivalent_length_ft", "Equivalent vent length, elbows included", "ft", ("0", "500"), ("1", "200"), when=MAKER, measured=True),
    number("roof_pitch_in_12", "Roof pitch, rise in 12", "in", ("0", "48"), ("0", "24"), when=ROOF, usual=("4", "6", "8"), typed_as="pitch"),
    number("vent_above_roof_in", "Vent end above the roof", "in", ("0", "600"), ("6", "120"), when=ROOF, measured=True),
    number("vent_to_wall_ft", "Vent end to the nearest wall or part of a building, level", "ft", ("0", "1000"), ("0", "50"), when=ROOF, measured=True, absent=ALWAYS),
    number("wall_rises_above_roof_exit_in", "That wall rises above the roof exit", "in", ("-1200", "6000"), when=ROOF),
    number("vent_to_ridge_ft", "Vent end to the ridge, level", "ft", ("0", "1000"), when=ROOF, absent=ALWAYS),
    number("ridge_rises_above_roof_exit_in", "The ridge rises above the roof exit", "in", ("-1200", "6000"), when=ROOF),
    number("vent_above_draft_hood_ft", "Vent end above the highest draft hood", "ft", ("0", "500"), ("5", "50"), when=SHARED & ROOF, measured=True),
    yes_no("vent_cap_listed", "Listed cap", when=ROOF),
    yes_no("vent_flashing", "Flashing at the roof", when=ROOF),
    number("forced_inlet_distance_ft", "Nearest forced-air inlet, level", "ft", ("0", "1000"), when=VENTED, absent=ALWAYS),
    number("vent_above_forced_inlet_in", "Vent end above that inlet", "in", ("-1200", "6000"), when=VENTED),
    number("wall_terminal_below_opening_in", "Terminal below a door, window or inlet", "in", ("0", "2400"), when=WALL, measured=True, absent=ALWAYS),
    number("wall_terminal_beside_opening_in", "Terminal beside a door, window or inlet", "in", ("0", "2400"), when=WALL, measured=True, absent=ALWAYS),
    number("wall_terminal_above_opening_in", "Terminal above a door, window or inlet", "in", ("0", "2400"), when=WALL, measured=True, absent=ALWAYS),
    number("wall_terminal_above_grade_in", "Bottom of the terminal above the ground", "in", ("0", "2400"), ("6", "360"), when=WALL, measured=True),
    number("snow_depth_in", "Snow depth expected there", "in", ("0", "600"), when=WALL),
    yes_no("wall_terminal_over_walkway", "The terminal is over a public walkway", when=WALL),
    number("wall_terminal_beside_walkway_height_in", "Height above a walkway beside it", "in", ("0", "2400"), when=WALL, measured=True, absent=ALWAYS),
    number("wall_terminal_to_gas_regulator_ft", "Terminal to a gas regulator vent", "ft", ("0", "500"), when=WALL, absent=ALWAYS),
    number("neighbour_opening_ft", "Terminal to an opening in the next building", "ft", ("0", "2000"), when=WALL, absent=ALWAYS),
    number("neighbour_opening_below_terminal_ft", "That opening is below the terminal by", "ft", ("-500", "500"), when=WALL),
    number("common_vent_diameter_in", "Common vent diameter", "in", ("1", "36"), when=SHARED & ~CHIMNEY, usual=("4", "5", "6", "7", "8"), nominal=True,
           hint="The pipe that both appliances flow into."),
    number("common_vent_elbows_90", "90-degree elbows in the common vent", "count", ("0", "50"), when=SHARED, whole=True, usual=("0", "1", "2")),
    number("common_vent_elbows_45", "45-degree elbows in the common vent", "count", ("0", "50"), when=SHARED, whole=True, usual=("0", "2")),
    number("common_vent_offset_ft", "Offset in the common vent", "ft", ("0", "200"), when=SHARED, usual=("0",)),
    yes_no("connectors_manifolded", "The connectors join before the vertical vent", when=SHARED),
    number("connector_vertical_rise_ft", "Hood up to where the gases join", "ft", ("0", "100"), when=SHARED),
    choice("other_vent_kind", "The other appliance", {"draft_hood": "Draft hood", "fan_assisted": "Fan-assisted"}, when=SHARED),
    number("other_vent_input_btuh", "The other's input", "Btu/h", ("1000", "5000000"), when=SHARED),
    number("other_outlet_in", "The other's outlet", "in", ("1", "36"), when=SHARED, usual=("3", "4", "5", "6"), nominal=True),
    number("other_connector_diameter_in", "The other's connector diameter", "in", ("1", "36"), when=SHARED, usual=("3", "4", "5", "6"), nominal=True),
    choice("other_connector_kind", "The other's connector", _WALLS, when=SHARED),
    number("other_connector_length_ft", "The other's connector length, horizontal", "ft", ("0", "200"), when=SHARED),
    number("other_connector_vertical_rise_ft", "The other's outlet up to where the gases join", "ft", ("0", "100"), when=SHARED),
    yes_no("heater_connector_enters_above", "The heater's connector enters above the other's", when=SHARED),
)  # fmt: skip
