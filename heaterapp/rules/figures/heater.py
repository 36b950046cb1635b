"""Figures of the heater itself."""

from __future__ import annotations

from decimal import Decimal

from ..book import Table
from ..calc import altitude
from ..figure import figure
from ..questions.plate import FUEL, STORAGE
from ..report import Worked
from ..units import BtuPerHour, Count, Foot, Ratio, plain, plain_up


@figure(
    "gal",
    "1",
    "the cell of the table for bathrooms and bedrooms",
    "UPC table of least first-hour ratings",
    when=STORAGE,
    clauses=("heater.first_hour",),
    up=True,
)
def first_hour_needed_gal(bathrooms: Count, bedrooms: Count, *, ratings: Table) -> Worked:
    rows = [
        row
        for row in ratings.rows
        if row["baths_from"] <= bathrooms <= row["baths_up_to"] and row["bedrooms"] == bedrooms
    ]
    if not rows:
        return Worked(
            None, says=f"{plain(bathrooms)} bathrooms with {plain(bedrooms)} bedrooms is not printed"
        )
    value = Decimal(rows[0]["gallons"])
    return Worked(value, f"UPC {ratings.cited_as}, {plain(bathrooms)} bathrooms, {plain(bedrooms)} bedrooms: {plain(value)} gal")


@figure(
    "Btu/h",
    "1",
    "up to the threshold the rating; above it, rating x (1 - share x elevation / 1000)",
    "fuel gas code, high altitude; from sea level, not from the threshold",
    when=FUEL,
    clauses=("heater.altitude",),
    up=True,
)
def rated_input_at_elevation_btuh(
    input_btuh: BtuPerHour, elevation_ft: Foot, *, reduction: Ratio, unchanged_to: Foot
) -> Worked:
    value = altitude.rated_input(input_btuh, elevation_ft, reduction, unchanged_to)
    if elevation_ft <= unchanged_to:
        return Worked(
            value, f"{plain(elevation_ft)} ft is not above {plain(unchanged_to)} ft: {plain_up(value, 0)} Btu/h"
        )
    return Worked(
        value,
        f"{plain(input_btuh)} x (1 - {plain(reduction)} x {plain(elevation_ft)} / 1000) = {plain_up(value, 0)} Btu/h",
        "Unless the maker says otherwise.",
    )
