"""The heater is marked for the gas in the house.

Why: propane in a natural gas burner overfires it and fills the room with carbon monoxide.
Fix: stop: shut the gas off. Fit the maker's listed conversion kit, or the right heater.
"""

from ...questions import as_read
from ...questions.plate import FUEL
from ...report import Result, authority, fails, meets, unanswered

CLAUSES = ("gas.fuel",)
WHEN = FUEL
HAZARD = True


def check(
    gas_kind: str, heater_marked_gas: str, conversion_kit_fitted: bool | None = None, conversion_kit_gas: str | None = None
) -> Result:
    house, marked = as_read("gas_kind", gas_kind), as_read("heater_marked_gas", heater_marked_gas)
    found = f"marked {marked}, house has {house}"
    if conversion_kit_fitted and conversion_kit_gas is not None:
        kit = as_read("gas_kind", conversion_kit_gas)
        found = f"converted to {kit}, house has {house}"
        if conversion_kit_gas == gas_kind:
            return meets(f"Set for {house} by the maker's listed kit, as in the house.", house, house)
        said = f"The kit converts the heater to {kit}, the house has {house}. Stop. Do not leave this heater running."
        return fails(said, found, house)
    if heater_marked_gas == gas_kind:
        if conversion_kit_fitted:
            said = f"Marked for {house}, as in the house, yet a conversion kit is fitted: confirm which gas it is set for."
            return authority(said, found, house)
        return meets(f"Marked for {house}, as in the house.", house, house)
    if conversion_kit_fitted is None:
        return unanswered(
            "To answer: whether the maker's listed conversion kit is fitted.",
            needs=("conversion_kit_fitted",),
        )
    if conversion_kit_fitted:
        return unanswered("To answer: the gas that the kit converts to.", needs=("conversion_kit_gas",))
    if heater_marked_gas == "convertible":
        said = f"Marked for either gas by kit, and no kit is fitted: read on the plate that it left the maker set for {house}."
        return authority(
            said,
            found,
            house,
            fix="Read the plate and the gas control before it is lit; ask the maker if they do not say.",
        )
    return fails(f"Heater {found}, no listed kit. Stop. Do not leave this heater running.", found, house)
