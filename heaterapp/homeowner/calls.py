"""Who to call for what."""

from __future__ import annotations

from collections.abc import Iterator

from heaterapp.homeowner.known import Known
from heaterapp.homeowner.said import Said

TITLE = Said("Who to call", "A quién llamar")
DANGER = Said("Danger to people", "Peligro para las personas")
NUMBER = Said("911", "911", ("emergency_number",))
GAS = Said("Gas company", "Compañía de gas")
PROPANE = Said("Propane", "Propano")
PROPANE_DO = Said("Your propane supplier", "Su proveedor de propano")
INSTALLER = Said("The heater", "El calentador")
LOOKED_OVER_BY = Said("Who looked it over", "Quien lo revisó")
WATER = Said("Pressure from the street", "Presión de la calle")
WATER_DO = Said("Your water company", "Su compañía de agua")
PERMIT = Said("Permit and inspection", "Permiso e inspección")
PERMIT_DO = Said("Your city or county building department", "El departamento de construcción local")
FORMERLY = Said("{name}, formerly {was}", "{name}, antes {was}")
LICENSE = Said("License {licence}", "Licencia {licence}")


def calls(known: Known, language: str) -> tuple[tuple[str, str], ...]:
    """Return (for what, whom), danger first; a value has a line for each thing to say."""
    return tuple((label.of(language), value) for label, value in _whom(known, language))


def _whom(known: Known, language: str) -> Iterator[tuple[Said, str]]:
    yield DANGER, NUMBER.of(language)
    if known.utility_phone:
        yield GAS, known.utility_phone
    elif known.burns and known.gas == "propane":
        yield PROPANE, PROPANE_DO.of(language)
    licence = LICENSE.of(language, licence=known.reached("licence")) if known.reached("licence") else ""
    lines = [known.reached(what) for what in ("name", "phone", "address")]
    was = str(known.firm.get("name") or "")
    if was and was != lines[0]:
        lines[0] = FORMERLY.of(language, name=lines[0], was=was)
    if told := "\n".join(line for line in (*lines, licence) if line):
        yield (LOOKED_OVER_BY if known.is_others_work else INSTALLER), told
    yield WATER, WATER_DO.of(language)
    yield PERMIT, PERMIT_DO.of(language)
