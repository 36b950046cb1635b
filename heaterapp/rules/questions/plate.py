"""The new heater's data plate, readable before it goes against the wall."""

from ..question import choice, number, text, yes_no
from ..when import is_, yes

STORAGE = is_("heater_kind", "gas_storage", "electric_storage", "heat_pump_storage", "indirect")
FUEL = is_("heater_kind", "gas_storage", "gas_instantaneous")
ELECTRIC = is_("heater_kind", "electric_storage", "heat_pump_storage", "electric_instantaneous")
HEAT_PUMP = is_("heater_kind", "heat_pump_storage")

QUESTIONS = (
    choice(
        "heater_kind", "Kind of heater",
        {
            "gas_storage": "Gas tank", "electric_storage": "Electric tank", "heat_pump_storage": "Heat pump tank",
            "gas_instantaneous": "Gas tankless", "electric_instantaneous": "Electric tankless",
            "indirect": "Indirect tank",
        },
    ),
    text("heater_maker", "Maker", typed_as="name"),
    text("heater_model", "Model", typed_as="code"),
    text("heater_serial", "Serial number", typed_as="code"),
    yes_no("listed_mark", "A listing mark stands on the plate"),
    number("storage_gal", "Storage capacity", "gal", ("1", "1000"), ("20", "120"), when=STORAGE, usual=("40", "50", "75")),
    number("input_btuh", "Input rating", "Btu/h", ("5000", "1000000"), ("25000", "200000"), when=FUEL, usual=("36000", "40000", "50000")),
    number("old_input_btuh", "Input on the old heater's plate", "Btu/h", ("0", "1000000"), ("25000", "200000"), when=FUEL & is_("job_kind", "same_place"),
           usual=("36000", "40000", "50000"), hint="It was electric: 0."),
    number("coil_input_btuh", "Most heat the boiler can put in, by the maker's sheet", "Btu/h", ("5000", "1000000"), ("50000", "300000"),
           when=is_("heater_kind", "indirect")),
    number("input_kw", "Electric input, the most that can run at once", "kW", ("0.3", "100"), ("0.4", "36"), when=ELECTRIC, usual=("4.5", "5.5")),
    number("first_hour_gal", "First-hour rating", "gal", ("1", "1000"), ("30", "150"), when=STORAGE,
           hint="On the yellow energy label."),
    number("bathrooms", "Bathrooms", "count", ("0", "50"), ("1", "6"), when=STORAGE, usual=("1", "2", "2.5", "3")),
    number("bedrooms", "Bedrooms", "count", ("0", "50"), ("1", "8"), when=STORAGE, usual=("2", "3", "4"), whole=True),
    number("working_pressure_psi", "Working pressure on the plate", "psi", ("10", "1000"), ("100", "300"), usual=("150",)),
    number("thermostat_f", "Set temperature", "degF", ("70", "210"), ("110", "160"), usual=("120", "125", "140"),
           hint="The dial's number, or its mark confirmed by a measured temperature."),
    yes_no("mixing_valve_fitted", "A mixing valve is fitted at the heater"),
    number("mixed_outlet_f", "Mixing valve set to", "degF", ("60", "180"), ("100", "130"), when=yes("mixing_valve_fitted"), usual=("120",)),
    yes_no("heats_space_too", "The heater also heats rooms"),
    yes_no("listed_for_outdoors", "Listed for outdoors", when=is_("room", "outdoors")),
    yes_no("listed_for_manufactured_home", "Listed for manufactured homes", when=is_("building_kind", "manufactured")),
    choice("draft_kind", "Draft", {
        "draft_hood": "Draft hood", "fan_assisted": "Fan-assisted, category I",
        "power_vent": "Power vent or sealed, every other",
    }, when=FUEL),
    yes_no("direct_vent", "Direct vent: all its air from outdoors, sealed", when=FUEL, default="no"),
    yes_no("condensing", "Condensing", when=FUEL, default="no"),
    choice("vent_category", "Vent category on the plate", {"I": "I", "II": "II", "III": "III", "IV": "IV", "maker": "By the maker"}, when=FUEL),
    yes_no("ignition_resistant", "Marked flammable vapor ignition resistant", when=FUEL),
    choice("heater_marked_gas", "Marked for", {"natural": "Natural gas", "propane": "Propane", "convertible": "Either, by kit"}, when=FUEL),
    yes_no("conversion_kit_fitted", "The maker's listed conversion kit is fitted", when=FUEL),
    choice("conversion_kit_gas", "The kit converts to", {"natural": "Natural gas", "propane": "Propane"}, when=FUEL & yes("conversion_kit_fitted"),
           hint="On the kit's label, beside the plate."),
    number("heater_altitude_limit_ft", "Highest elevation on the plate", "ft", ("0", "20000"), ("2000", "12000"), when=FUEL,
           hint="Nothing on it: enter 2000."),
    yes_no("high_altitude_kit", "The maker's high-altitude kit is fitted", when=FUEL),
    number("dry_weight_lb", "Weight when empty", "lb", ("5", "5000"), ("10", "700")),
    number("heater_height_in", "Height with everything on top", "in", ("5", "200"), ("12", "90"), record=True),
    number("heater_marked_clearance_in", "Clearance marked for sides and back", "in", ("0", "60"), ("0", "12")),
    number("heater_clearance_in", "Least clearance found at sides and back", "in", ("0", "240"), ("0", "48"), measured=True),
    choice("floor_kind", "Floor under the heater", {"noncombustible": "Concrete or other that cannot burn", "wood": "Wood", "carpet": "Carpet"}),
    number("heat_pump_air_ft3_by_maker", "Room volume the maker asks for", "ft3", ("0", "100000"), ("450", "1500"), when=HEAT_PUMP),
    yes_no("manual_left", "Maker's instructions left at the heater"),
)  # fmt: skip
