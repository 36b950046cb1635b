"""What the maker's warranty asks for: facts of the record, and that the maker's card decides."""

from __future__ import annotations

from collections.abc import Iterator

from heaterapp.homeowner.known import Known
from heaterapp.homeowner.numbers import AS_USUAL
from heaterapp.homeowner.said import Said, day_in_words, is_one, number_of, year_of
from heaterapp.homeowner.what import firm_name
from heaterapp.rules import CATALOGUE
from heaterapp.sheet.gauge import as_set

TITLE = Said("For the warranty", "Para la garantía")
CARD = Said(
    "The maker's warranty card decides. Keep it with this sheet.",
    "La tarjeta del fabricante decide. Guárdela con esta hoja.",
)
HEATER = Said("Model {model}, serial number {serial}.", "Modelo {model}, número de serie {serial}.")
MODEL = Said("Model {model}.", "Modelo {model}.")
SERIAL = Said("Serial number {serial}.", "Número de serie {serial}.")
INSTALLED = Said("Installed on {day} by {firm}.", "Instalado el {day} por {firm}.")
INSTALLED_UNDATED = Said("Installed by {firm}.", "Instalado por {firm}.")
BY_OTHERS = Said("Installed by others.", "Instalado por otros.")
BY_OTHERS_IN = Said("Installed by others in {year}.", "Instalado por otros en {year}.")
LICENSE = Said("License {licence}.", "Licencia {licence}.")
PRESSURE = Said("House pressure {number} psi.", "Presión de la casa: {number} psi.")
REDUCED = Said("Reducing valve at {number} psi.", "Válvula reductora a {number} psi.")
GALLONS = Said("{number} gallons", "{number} galones")
GALLON = Said("{number} gallon", "{number} galón")
TANK = Said("Expansion tank of {size}, air {number} psi.",
            "Tanque de expansión de {size}, aire a {number} psi.")  # fmt: skip
TANK_AT = Said(
    "Expansion tank of {size}, air {number} psi at {air} °F: {there} psi at {where} °F,"
    " where it hangs.",
    "Tanque de expansión de {size}, aire a {number} psi a {air} °F: {there} psi a {where} °F,"
    " donde cuelga.",
)
TANK_ONLY = Said("There is an expansion tank.", "Hay un tanque de expansión.")
DEVICE = Said("Another device takes up the expansion.", "Otro aparato recibe la expansión.")
NO_DEVICE = Said("There is no expansion tank.", "No hay tanque de expansión.")
SET_TO = Said("Set to {number} °F.", "Ajustado a {number} °F.")


def facts(known: Known, language: str) -> str:
    """Return the facts as one run of short sentences; what nobody answered is left out."""
    return " ".join(_said(known, language))


def _said(known: Known, language: str) -> Iterator[str]:
    chosen = HEATER if known.model and known.serial else MODEL if known.model else SERIAL
    if known.model or known.serial:
        yield chosen.of(language, model=known.model, serial=known.serial)
    yield _installed(known, language)
    licence = known.firm.get("licence")
    if licence and not known.is_others_work:
        yield LICENSE.of(language, licence=licence)
    for name, words in (("house_pressure_psi", PRESSURE), ("prv_setting_psi", REDUCED)):
        if number := _given(known, name):
            yield words.of(language, number=number) + _usual(known, language, name)
    yield from _expansion(known, language)
    if number := _given(known, "thermostat_f"):
        yield SET_TO.of(language, number=number) + _usual(known, language, "thermostat_f")


def _installed(known: Known, language: str) -> str:
    year = year_of(known.answers.get("install_year"))
    if known.is_others_work:
        return BY_OTHERS_IN.of(language, year=year) if year else BY_OTHERS.of(language)
    day = day_in_words(known.work_date, language)
    return (INSTALLED if day else INSTALLED_UNDATED).of(language, day=day, firm=firm_name(known, language))


def _expansion(known: Known, language: str) -> Iterator[str]:
    gallons, air = _given(known, "expansion_tank_gal"), _given(known, "precharge_psi")
    if known.says("expansion_device", "tank"):
        words = TANK if gallons and air else TANK_ONLY
        size = (GALLON if is_one(gallons) else GALLONS).of(language, number=gallons)
        told = words.of(language, size=size, number=air)
        read = as_set(known.answers, known.report)
        if gallons and air and read:
            told = TANK_AT.of(
                language, size=size, number=air, air=read.set_at, there=read.there, where=read.hangs_at
            )
        yield told + _usual(known, language, "expansion_tank_gal" if gallons and air else "expansion_device")
    elif known.says("expansion_device", "other_listed"):
        yield DEVICE.of(language)
    elif known.says("expansion_device", "none"):
        yield NO_DEVICE.of(language)


def _given(known: Known, name: str) -> str:
    if name == "prv_setting_psi" and not known.says("prv_fitted", "yes"):
        return ""
    return number_of(known.answers.get(name), CATALOGUE[name].unit)


def _usual(known: Known, language: str, name: str) -> str:
    return f" {AS_USUAL.of(language)}" if known.as_usual(name) else ""
