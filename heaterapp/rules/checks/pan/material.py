"""The pan is of a material and thickness that lasts, and that may stand under this heater.

Why: a thin or rusting pan leaks when it is needed; a plastic one can melt under a burner.
Fix: fit a galvanized steel or aluminum pan of the thickness asked.
"""

from decimal import Decimal

from ...questions import as_read
from ...questions.plate import FUEL
from ...questions.relief import PAN
from ...report import Result, authority, fails, meets, not_applicable, unanswered
from ...units import Inch
from . import NO_PAN_ASKED, asked_for

CLAUSES = ("pan.material", "pan.plastic_under_gas", "pan.fitted")
WHEN = PAN


def check(
    heater_kind: str, pan_material: str, pan_thickness_in: Inch | None = None, pan_listed_for_gas: bool | None = None,
    leak_would_damage: bool | None = None,
    *, materials: tuple[str, ...], heaters: tuple[str, ...], metal: Inch | None = None, plastic: Inch | None = None, gas_by_listing: bool | None = None,
    gas_barred: bool = False, always: bool = False,
) -> Result:  # fmt: skip
    if not asked_for(heater_kind, leak_would_damage, heaters, always):
        return not_applicable(NO_PAN_ASKED)
    shown = as_read("pan_material", pan_material)
    limit = ", ".join(as_read("pan_material", word) for word in materials)
    if pan_material not in materials:
        return authority(f"Pan of {shown}: other materials only as the authority approves.", shown, limit)
    if pan_material == "plastic" and FUEL.holds(lambda _: heater_kind):
        if gas_barred:
            return fails(
                "A plastic pan under a gas heater.", "plastic", "metal", clause="pan.plastic_under_gas"
            )
        if pan_listed_for_gas is None:
            return unanswered(
                "To answer: whether the plastic pan is listed for under gas heaters.",
                needs=("pan_listed_for_gas",),
            )
        if not pan_listed_for_gas:
            said = "A plastic pan that is not listed for it, under a gas heater."
            if gas_by_listing:
                return fails(said, "plastic", "listed for gas", clause="pan.plastic_under_gas")
            return authority(f"{said} The book names no rule for it.", "plastic", "listed for gas")
    least: Decimal | None = plastic if pan_material == "plastic" else metal
    if least is None:
        return meets(f"Pan of {shown}.", shown, limit)
    if pan_thickness_in is None:
        return unanswered("To answer: the pan's thickness.", needs=("pan_thickness_in",))
    said = f"Pan of {shown}, {pan_thickness_in:f} in thick, {least:f} in asked."
    return (meets if pan_thickness_in >= least else fails)(said, f"{pan_thickness_in:f}", f"{least:f}", "in")
