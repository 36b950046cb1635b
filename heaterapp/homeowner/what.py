"""What was installed or looked over, by whom, when and where."""

from __future__ import annotations

from heaterapp.homeowner.known import OF_OTHERS, Known
from heaterapp.homeowner.said import Said, day_in_words, is_one, number_of, year_of

HEATERS = {
    "gas_storage": Said("a gas water heater", "un calentador de agua de gas"),
    "electric_storage": Said("an electric water heater", "un calentador de agua eléctrico"),
    "heat_pump_storage": Said("a heat pump water heater", "un calentador de agua con bomba de calor"),
    "gas_instantaneous": Said("a tankless gas water heater", "un calentador de agua de gas sin tanque"),
    "electric_instantaneous": Said(
        "a tankless electric water heater", "un calentador de agua eléctrico sin tanque"
    ),
    "indirect": Said(
        "a water heater that a boiler heats", "un calentador de agua que recibe calor de una caldera"
    ),
    "": Said("a water heater", "un calentador de agua"),
}
TITLE = Said("What was installed", "Qué se instaló")
TITLE_VOID = Said("What the paper was about", "De qué trataba el documento")
TITLE_OTHERS = Said("What was looked over", "Qué se revisó")
INSTALLED = Said("{firm} installed {heater} on {day}.", "{firm} instaló {heater} el {day}.")
INSTALLED_UNDATED = Said("{firm} installed {heater}.", "{firm} instaló {heater}.")
LOOKED_OVER = Said("{firm} looked over {heater} on {day}.", "{firm} revisó {heater} el {day}.")
LOOKED_OVER_UNDATED = Said("{firm} looked over {heater}.", "{firm} revisó {heater}.")
BY_OTHERS_IN = Said("Others installed it in {year}.", "Otros lo instalaron en {year}.")
A_PLUMBER = Said("A plumber", "Un plomero")
SIZE = Said("The tank holds {gallons} gallons.", "El tanque tiene {gallons} galones.")
SIZE_OF_ONE = Said("The tank holds {gallons} gallon.", "El tanque tiene {gallons} galón.")
ROOMS = {
    "garage": Said("It stands in the garage.", "Está en el garaje."),
    "basement": Said("It stands in the basement.", "Está en el sótano."),
    "utility": Said("It stands in the utility room.", "Está en el cuarto de servicio."),
    "closet": Said("It stands in a closet.", "Está en un clóset."),
    "attic": Said("It stands in the attic.", "Está en el ático."),
    "crawl_space": Said("It stands in the crawl space.", "Está en el espacio bajo el piso."),
    "outdoors": Said("It stands outdoors.", "Está afuera."),
    "bedroom": Said("It stands in a bedroom.", "Está en un dormitorio."),
    "bathroom": Said("It stands in a bathroom.", "Está en un baño."),
}
LABELS = {
    "address": Said("Address", "Dirección"),
    "model": Said("Maker and model", "Fabricante y modelo"),
    "serial": Said("Serial number", "Número de serie"),
    "permit": Said("Permit", "Permiso"),
    "codes": Said("Local rules", "Reglas locales"),
    "number": Said("Paper number", "Número del documento"),
}
APPLIED_FOR = Said("{permit} (applied for)", "{permit} (en trámite)")
AMENDED = Said(
    "{title}, version {version}, in force {day}", "{title}, versión {version}, vigente desde el {day}"
)


def title(known: Known, language: str) -> str:
    """Return the heading."""
    if known.standing.is_void:
        return TITLE_VOID.of(language)
    return (TITLE_OTHERS if known.is_others_work else TITLE).of(language)


def firm_name(known: Known, language: str) -> str:
    """Return the firm's name, or a plumber where it has none."""
    return str(known.firm.get("name") or "") or A_PLUMBER.of(language)


def done(paper: str, kind: str, firm: str, work_date: str, language: str) -> str:
    """Return who did what and when, as page and mail both say it.

    paper      certificate, correction_list or findings_report
    kind       what heater it is, "" where nobody said
    firm       its name, empty where it has none
    work_date  ISO date, or empty
    """
    day = day_in_words(work_date, language)
    if paper == OF_OTHERS:
        first = LOOKED_OVER if day else LOOKED_OVER_UNDATED
    else:
        first = INSTALLED if day else INSTALLED_UNDATED
    heater = HEATERS.get(kind, HEATERS[""]).of(language)
    return first.of(language, firm=firm or A_PLUMBER.of(language), heater=heater, day=day)


def sentences(known: Known, language: str) -> tuple[str, ...]:
    """Return who did what and when, how large the tank is, and where it stands."""
    told = [done(known.paper, known.kind, str(known.firm.get("name") or ""), known.work_date, language)]
    year = year_of(known.answers.get("install_year"))
    if known.is_others_work and year:
        told.append(BY_OTHERS_IN.of(language, year=year))
    gallons = number_of(known.answers.get("storage_gal"), "gal")
    if gallons and known.is_tank:
        told.append((SIZE_OF_ONE if is_one(gallons) else SIZE).of(language, gallons=gallons))
    room = ROOMS.get(str(known.answers.get("room")))
    return (*told, room.of(language)) if room else tuple(told)


def facts(known: Known, language: str) -> tuple[tuple[str, str], ...]:
    """Return (label, value) of address, heater, permit, local rules and paper."""
    permit = known.permit
    if permit and known.says("permit_status", "applied"):
        permit = APPLIED_FOR.of(language, permit=permit)
    named = known.report.get("amended_by")
    codes = AMENDED.of(
        language, title=named["title"], version=named["version"], day=day_in_words(named["on"], language)
    ) if named else ""  # fmt: skip
    values = {
        "address": known.address, "model": known.model, "serial": known.serial, "permit": permit,
        "codes": codes, "number": known.number,
    }  # fmt: skip
    return tuple((LABELS[name].of(language), value) for name, value in values.items() if value)
