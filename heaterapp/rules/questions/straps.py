"""Bracing against earthquake. Heights are taken from the floor with a tape, in one pass."""

from ..question import choice, number, other, yes_no
from ..when import is_
from .plate import FUEL, STORAGE

INDIRECT = is_("heater_kind", "indirect")
STRAPS = STORAGE & ~is_("strap_kind", "none")
STRUTS = STRAPS & is_("strap_kind", "conduit_struts")
LAGS = STRAPS & is_("strap_anchor", "lag_in_stud")

QUESTIONS = (
    number("tank_base_in", "Bottom of the tank above the floor (stand)", "in", ("0", "240"), ("0", "36"), default="0", when=STORAGE, measured=True),
    number("tank_height_in", "Height of the tank's own jacket, bottom to top", "in", ("5", "200"), ("20", "90"), when=STORAGE, measured=True,
           hint="Without draft hood, pipes or stand."),
    number("tank_diameter_in", "Tank diameter", "in", ("5", "100"), ("14", "30"), when=STORAGE, measured=True),
    number("controls_top_in", "Top of the controls above the floor", "in", ("0", "300"), when=STORAGE, measured=True, absent=INDIRECT,
           hint="Gas valve body, or the lower thermostat cover."),
    number("controls_bottom_in", "Bottom of the controls above the floor", "in", ("0", "300"), when=STORAGE, measured=True, absent=INDIRECT),
    choice("strap_kind", "Straps", {
        "listed_kit": "Listed strap kit", "steel_strap": "Steel strap", "perforated_tape": "Perforated steel tape",
        "conduit_struts": "Straps with conduit struts", "none": "None",
    }, when=STORAGE, hint="Caution: a full tank that tips can crush. Keep it steady until the straps hold."),
    other("strap_heights_in", "Strap heights above the floor, to the center", "lengths", ("0", "300"), unit="in", when=STRAPS, measured=True),
    number("strap_width_in", "Strap width", "in", ("0.1", "12"), ("0.5", "3"), when=STRAPS, usual=("3/4", "1 1/2")),
    number("strap_gauge", "Strap steel gauge", "ga", ("1", "40"), ("12", "26"), when=STRAPS, usual=("16", "22", "24")),
    number("strap_hole_in", "Largest hole in the strap", "in", ("0", "4"), ("0", "0.5"), when=STRAPS, usual=("1/4",)),
    yes_no("strap_wraps_tank", "The straps go right round the tank", when=STRAPS),
    number("strut_angle_deg", "Strut angle from straight out of the wall", "deg", ("1", "89"), ("20", "70"), when=STRUTS, measured=True),
    number("strut_diameter_in", "Strut diameter", "in", ("0.25", "6"), ("0.5", "1"), when=STRUTS, usual=("1/2", "3/4")),
    number("strut_length_in", "Strut length", "in", ("1", "240"), ("6", "48"), when=STRUTS, measured=True),
    choice("strap_anchor", "The straps are fixed to", {
        "lag_in_stud": "Studs, with lag screws", "masonry_anchor": "Concrete or masonry, with anchors",
        "drywall_only": "Wallboard only", "other": "Something else",
    }, when=STRAPS),
    number("lag_diameter_in", "Lag screw diameter", "in", ("0.1", "2"), ("0.25", "0.5"), when=LAGS, usual=("1/4", "5/16", "3/8")),
    number("lag_length_in", "Lag screw length", "in", ("0.5", "24"), ("1.5", "6"), when=LAGS, usual=("3", "3 1/2")),
    number("wall_cover_in", "Wallboard over the stud", "in", ("0", "12"), ("0", "1.25"), when=LAGS, usual=("1/2", "5/8")),
    choice("stud_species", "Stud wood", {
        "douglas_fir_larch": "Douglas fir-larch", "southern_pine": "Southern pine", "hem_fir": "Hem-fir",
        "spruce_pine_fir": "Spruce-pine-fir", "unknown": "Not known",
    }, when=LAGS),
    number("anchor_spacing_in", "Distance between the two anchors of a strap", "in", ("1", "240"), ("12", "60"), when=STRAPS, measured=True),
    number("wall_gap_in", "Gap between tank and wall", "in", ("0", "240"), ("0", "12"), when=STRAPS, measured=True),
    yes_no("gap_blocked", "The gap is blocked at each strap", when=STRAPS),
    yes_no("stand_fixed", "The stand is fixed to floor or wall", when=STORAGE),
    yes_no("flexible_water_connectors", "Flexible water connectors"),
    yes_no("flexible_gas_connector", "Flexible gas connector", when=FUEL),
)  # fmt: skip
