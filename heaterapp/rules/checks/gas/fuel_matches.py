"""The heater is marked for the gas in the house.

Why: propane in a natural gas burner overfires it and fills the room with carbon monoxide.
Fix: stop: shut the gas off. Fit the maker's listed conversion kit, or the right heater.
"""

from ...questions.plate import FUEL
from ...report import Result, authority, fails, meets, unanswered

CLAUSES = ("gas.fuel",)
WHEN = FUEL
HAZARD = True


def check(
    gas_kind: str, heater_marked_gas: str, conversion_kit_fitted: bool | None = None, conversion_kit_gas: str | None = None
) -> Result:
    found = f"marked {heater_marked_gas}, house has {gas_kind}"
    if conversion_kit_fitted and conversion_kit_gas is not None:
        found = f"converted to {conversion_kit_gas}, house has {gas_kind}"
        if conversion_kit_gas == gas_kind:
            return meets(f"Set for {gas_kind} by the maker's listed kit, as in the house.", found, gas_kind)
        said = f"The kit converts the heater to {conversion_kit_gas}, the house has {gas_kind}. Stop. Do not leave this heater running."
        return fails(said, found, gas_kind)
    if heater_marked_gas == gas_kind:
        if conversion_kit_fitted:
            said = f"Marked for {gas_kind}, as in the house, yet a conversion kit is fitted: confirm which gas it is set for."
            return authority(said, found, gas_kind)
        return meets(f"Marked for {gas_kind}, as in the house.", found, gas_kind)
    if conversion_kit_fitted is None:
        return unanswered(
            "To answer: whether the maker's listed conversion kit is fitted.",
            needs=("conversion_kit_fitted",),
        )
    if conversion_kit_fitted:
        return unanswered("To answer: the gas that the kit converts to.", needs=("conversion_kit_gas",))
    if heater_marked_gas == "convertible":
        said = f"Marked for either gas by kit, and no kit is fitted: read on the plate that it left the maker set for {gas_kind}."
        return authority(
            said,
            found,
            gas_kind,
            fix="Read the plate and the gas control before it is lit; ask the maker if they do not say.",
        )
    return fails(f"Heater {found}, no listed kit. Stop. Do not leave this heater running.", found, gas_kind)
