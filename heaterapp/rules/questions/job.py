"""Where, for whom, under which permit."""

from ..question import choice, number, other, text, yes_no
from ..when import answered, is_

EXISTING = is_("job_kind", "existing")

QUESTIONS = (
    text("job_ref", "Job reference", typed_as="code", names=True),
    choice(
        "job_kind", "Kind of job",
        {
            "same_place": "New heater, same place", "moved": "Heater moved", "new": "New installation",
            "changed_kind": "Changed fuel or kind", "existing": "Looking over somebody else's work",
        },
    ),
    number("install_year", "Year it was installed", "year", ("1900", "2100"), ("1970", "2100"), when=EXISTING, record=True, whole=True),
    text("place", "Adopted codes", record=False),
    text("address_street", "Street address", typed_as="name", names=True, longest=300),
    text("address_unit", "Unit", typed_as="code", names=True),
    text("address_city", "City", typed_as="name", names=True),
    text("address_state", "State", typed_as="code", names=True, written="state"),
    text("address_zip", "ZIP code", typed_as="digits", names=True, written="zip"),
    choice(
        "building_kind", "Building",
        {
            "house": "House", "duplex": "Duplex", "townhouse": "Townhouse", "multifamily": "Apartment building",
            "manufactured": "Manufactured home", "business": "Business",
        },
    ),
    number("year_built", "Year the house was built", "year", ("1600", "2100"), ("1850", "2100"), record=True, whole=True),
    number("elevation_ft", "Elevation above sea level", "ft", ("-300", "14500"), ("-200", "9000"), default="0",
           hint="From a map; it sets the local air pressure and the gas input."),
    text("owner_name", "Owner", typed_as="name", names=True),
    choice("permit_status", "Permit", {"issued": "Issued", "applied": "Applied for", "not_needed": "Not needed"}),
    text("permit_number", "Permit number", when=is_("permit_status", "issued", "applied"), typed_as="code", names=True),
    choice("seismic_design_category", "Seismic design category",
           {"A": "A", "B": "B", "C": "C", "D": "D", "D0": "D0", "D1": "D1", "D2": "D2", "E": "E", "F": "F", "unknown": "Not known"},
           hint="From the building department or the adopted code's map."),
    number("short_period_sds", "Short-period design acceleration SDS", "g", ("0", "4"), ("0.1", "2.5")),
    number("floor_height_ft", "Height of this floor above the ground", "ft", ("-50", "1000"), when=answered("short_period_sds")),
    number("roof_height_ft", "Height of the roof above the ground", "ft", ("5", "1500"), when=answered("short_period_sds")),
    number("importance_factor", "Importance factor", "ratio", ("1", "1.5"), default="1.0", when=answered("short_period_sds")),
    yes_no("flood_hazard_area", "In a flood hazard area"),
    other("work_date", "Date of the work", "date", record=True),
    text("installer_name", "Installer", typed_as="name", names=True),
    text("installer_licence", "Installer's license or registration", typed_as="code", names=True),
    text("contractor_name", "Contractor", typed_as="name", names=True),
    text("contractor_licence", "Contractor's license", typed_as="code", names=True),
    yes_no("adult_present", "An adult will be there for the inspection", record=True),
    yes_no("inspection_called", "Inspection asked for", record=True),
)  # fmt: skip
