"""What the homeowner's page says, in English and in Spanish side by side.

Short sentences, action first. Sources of the advice: smell of gas, carbon monoxide
alarm and relief valve as the public safety agencies and fire services put it, the
stricter one where they differ; care intervals as ranges because public sources
differ, the maker's manual first. The Spanish uses US trade words and "usted".
"""

from __future__ import annotations

from heaterapp.sheet.words import Words

MONTHS = Words(
    "January February March April May June July August September October November December",
    "enero febrero marzo abril mayo junio julio agosto septiembre octubre noviembre diciembre",
)
HEATERS = {
    "gas_storage": Words("gas water heater", "calentador de agua de gas"),
    "electric_storage": Words("electric water heater", "calentador de agua eléctrico"),
    "heat_pump_storage": Words("heat pump water heater", "calentador de agua con bomba de calor"),
    "gas_instantaneous": Words("tankless gas water heater", "calentador de agua de gas sin tanque"),
    "electric_instantaneous": Words(
        "tankless electric water heater", "calentador de agua eléctrico sin tanque"
    ),
    "indirect": Words("indirect water heater", "calentador de agua indirecto"),
    "": Words("water heater", "calentador de agua"),
}
SAYS = {
    "title": Words("Your water heater", "Su calentador de agua"),
    "skip": Words("Skip to the page", "Ir a la página"),
    "other_language": Words("Español", "English"),
    "emergency": Words("In an emergency", "En una emergencia"),
    "gas_smell": Words("You smell gas", "Huele a gas"),
    "gas_smell_do": Words(
        "Leave now. Do not touch switches. Do not use a phone or a flame inside. Call 911 and"
        " the gas company from"
        " far outside.",
        "Salga ahora. No toque interruptores. No use teléfono ni fuego adentro. Llame al 911 y a"
        " la compañía de gas"
        " desde afuera, lejos de la casa.",
    ),
    "gas_phone": Words("Gas company: {phone}.", "Compañía de gas: {phone}."),
    "co_alarm": Words(
        "The carbon monoxide alarm sounds, or several people feel sick",
        "Suena la alarma de monóxido de carbono, o varias personas se sienten mal",
    ),
    "co_alarm_do": Words(
        "Go outside now. Take everyone with you. Call 911 from outside. Stay out until the fire"
        " service lets you in.",
        "Salga ahora. Lleve a todos con usted. Llame al 911 desde afuera. No entre hasta que los"
        " bomberos lo permitan.",
    ),
    "relief_water": Words("Water comes from the relief pipe", "Sale agua del tubo de la válvula de alivio"),
    "relief_water_do": Words(
        "Stay clear: the water can burn. Never plug or cap this pipe. Call a plumber.",
        "No se acerque: el agua puede quemar. Nunca tape este tubo. Llame a un plomero.",
    ),
    "what": Words("What was installed", "Qué se instaló"),
    "what_existing": Words("What was looked over", "Qué se revisó"),
    "installed": Words(
        "{firm} installed a {heater}. The date of the work: {date}.",
        "{firm} instaló un {heater}. Fecha del trabajo: {date}.",
    ),
    "installed_undated": Words("{firm} installed a {heater}.", "{firm} instaló un {heater}."),
    "looked_over": Words(
        "{firm} looked over a {heater}. The date: {date}.", "{firm} revisó un {heater}. Fecha: {date}."
    ),
    "looked_over_undated": Words("{firm} looked over a {heater}.", "{firm} revisó un {heater}."),
    "a_plumber": Words("A plumber", "Un plomero"),
    "size": Words("The tank holds {gal} gallons.", "El tanque tiene {gal} galones."),
    "where": Words("Address", "Dirección"),
    "maker": Words("Maker", "Fabricante"),
    "model": Words("Model", "Modelo"),
    "serial": Words("Serial number", "Número de serie"),
    "permit": Words("Permit", "Permiso"),
    "codes": Words("Local rules", "Reglas locales"),
    "amended": Words(
        "{title}, version {version}, in force {on}", "{title}, versión {version}, vigente desde {on}"
    ),
    "number": Words("Paper number", "Número del documento"),
    "numbers": Words("Your numbers", "Sus números"),
    "set": Words("The heater is set to {f} °F.", "El calentador está ajustado a {f} °F."),
    "mixed": Words(
        "A mixing valve lets water out at {f} °F.", "Una válvula mezcladora deja salir el agua a {f} °F."
    ),
    "tap": Words("At the tap the water measured {f} °F.", "En la llave, el agua midió {f} °F."),
    "burn_scale": Words(
        "At 140 °F a bad burn takes seconds. At 120 °F it takes minutes.",
        "A 140 °F, una quemadura grave tarda segundos. A 120 °F, tarda minutos.",
    ),
    "burn": Words(
        "Hot tap water can burn. Test the bath with your hand before a child or an older person gets in.",
        "El agua caliente puede quemar. Pruebe el baño con la mano antes de que entre un niño o"
        " una persona mayor.",
    ),
    "pressure": Words(
        "The water pressure in the house was {psi} psi.", "La presión del agua en la casa era de {psi} psi."
    ),
    "tank_air": Words(
        "The small expansion tank holds air at {psi} psi. It makes room for water that grows as it heats.",
        "El tanque de expansión, el pequeño, tiene aire a {psi} psi. Da lugar al agua que crece"
        " al calentarse.",
    ),
    "straps": Words(
        "{count} straps hold the tank to the wall.", "{count} correas sujetan el tanque a la pared."
    ),
    "watch": Words("Watch for these, and call", "Esté atento a esto, y llame"),
    "watch_pan": Words("Water on the floor or in the pan.", "Agua en el piso o en la bandeja."),
    "watch_drip": Words(
        "A drip from the relief pipe. Never plug it.",
        "Goteo del tubo de la válvula de alivio. Nunca lo tape.",
    ),
    "watch_rust": Words("Rusty water, rust on the tank.", "Agua con óxido, óxido en el tanque."),
    "watch_noise": Words("Rumbling or popping sounds.", "Ruidos o golpes en el tanque."),
    "watch_cold": Words(
        "No hot water, or water that is too hot.", "No hay agua caliente, o sale demasiado caliente."
    ),
    "watch_flame": Words("A yellow flame, or soot.", "Llama amarilla, u hollín."),
    "watch_vent": Words(
        "A loose vent pipe, or damp marks near its start.",
        "El tubo de escape suelto, o marcas de humedad donde empieza.",
    ),
    "keep_clear": Words(
        "Do not store gasoline, paint or thinner near the heater. Do not block its air openings.",
        "No guarde gasolina, pintura ni solvente cerca del calentador. No tape sus entradas de aire.",
    ),
    "quake": Words(
        "After an earthquake, look at the straps, the vent and the pipes from a distance. If you"
        " smell gas, leave.",
        "Después de un terremoto, mire de lejos las correas, el tubo de escape y los tubos. Si"
        " huele a gas, salga.",
    ),
    "care": Words("Care through the years", "Cuidado a través de los años"),
    "care_first": Words(
        "The maker's manual comes first. Where it says something else, do as it says.",
        "El manual del fabricante es lo primero. Si dice otra cosa, haga lo que dice.",
    ),
    "care_what": Words("What", "Qué"),
    "care_when": Words("How often", "Cada cuánto"),
    "who": Words("Who to call", "A quién llamar"),
    "who_emergency": Words("Danger to people", "Peligro para las personas"),
    "who_installer": Words("The heater", "El calentador"),
    "who_gas": Words("Gas", "Gas"),
    "who_permit": Words("The permit", "El permiso"),
    "who_permit_do": Words(
        "Your city or county building department, permit {permit}.",
        "El departamento de construcción de su ciudad o condado, permiso {permit}.",
    ),
    "licence": Words("License {licence}", "Licencia {licence}"),
    "paper": Words("Your paper", "Su documento"),
    "download": Words("Get the PDF", "Descargar el PDF"),
    "paper_keep": Words(
        "Keep it with the papers of the house. It is in English.",
        "Guárdelo con los papeles de la casa. Está en inglés.",
    ),
    "replaced": Words(
        "A newer paper, {number}, replaced this one. Ask the installer for it.",
        "Un documento más nuevo, {number}, reemplazó a este. Pídalo al instalador.",
    ),
    "replaced_listed": Words(
        "This paper no longer holds. {number}, a list of what is to be put right, is the newest one. Ask the"
        " installer for it.",
        "Este documento ya no vale. El más nuevo es {number}, una lista de lo que hay que corregir. Pídala al"
        " instalador.",
    ),
    "replaced_report": Words(
        "A newer paper, {number}, a report of what was found, replaced this one. Ask the installer for it.",
        "Un documento más nuevo, {number}, un informe de lo encontrado, reemplazó a este."
        " Pídalo al instalador.",
    ),
    "replaced_none": Words(
        "This paper was replaced, and no newer one stands. Ask the installer.",
        "Este documento fue reemplazado y no hay otro que valga. Pregunte al instalador.",
    ),
    "void": Words(
        "This paper is void: the installer took it back. Do not rely on it.",
        "Este documento está anulado: el instalador lo retiró. No se guíe por él.",
    ),
    "void_replaced": Words(
        "The paper in its place is {number}. Ask the installer for it.",
        "El documento que lo reemplaza es {number}. Pídalo al instalador.",
    ),
    "void_listed": Words(
        "The newest paper is {number}, a list of what is to be put right. Ask the installer for it.",
        "El documento más nuevo es {number}, una lista de lo que hay que corregir. Pídala al instalador.",
    ),
    "caution": Words(
        "This page says what the installer measured and wrote down. It is not a permit and not"
        " an inspection. Local"
        " codes, the maker's manual and licensed work come first.",
        "Esta página dice lo que el instalador midió y anotó. No es un permiso ni una"
        " inspección. Los códigos locales,"
        " el manual del fabricante y el trabajo con licencia son lo primero.",
    ),
}
TANK = frozenset({"gas_storage", "electric_storage", "heat_pump_storage", "indirect"})
FUEL = frozenset({"gas_storage", "gas_instantaneous"})
YEARLY = Words("Every year", "Cada año")
ONE_TO_THREE = Words("Every 1 to 3 years", "Cada 1 a 3 años")
CARE = (
    (
        "flush",
        Words("Flush the tank", "Lavar el tanque"),
        Words("Once or twice a year", "Una o dos veces al año"),
    ),
    (
        "relief",
        Words("Relief valve, tried by a plumber", "Válvula de alivio, probada por un plomero"),
        ONE_TO_THREE,
    ),
    ("anode", Words("Anode rod, looked at", "Ánodo de sacrificio, revisado"), ONE_TO_THREE),
    ("expansion", Words("Air in the expansion tank", "Aire del tanque de expansión"), YEARLY),
    ("straps", Words("Straps, looked at", "Correas, revisadas"), YEARLY),
    (
        "burner",
        Words(
            "Burner and vent, by a trained person", "Quemador y tubo de escape, por una persona capacitada"
        ),
        YEARLY,
    ),
    (
        "filter",
        Words("Air filter and condensate drain", "Filtro de aire y desagüe de condensado"),
        Words("Once or twice a year", "Una o dos veces al año"),
    ),
    (
        "scale",
        Words("Clean out the scale, by a plumber", "Quitar el sarro, por un plomero"),
        Words("Every 1 to 2 years", "Cada 1 a 2 años"),
    ),
    (
        "alarm",
        Words("Test the carbon monoxide alarm", "Probar la alarma de monóxido de carbono"),
        Words("Every month; replace it by its date", "Cada mes; cámbiela antes de su fecha"),
    ),
)
"""What to do, and how often. Ranges: public sources differ (yearly or half-yearly, one year or three)."""


def care_for(kind: str, has_expansion_tank: bool, has_straps: bool) -> list[tuple[Words, Words]]:
    """Return the care lines that this heater needs."""
    wanted = {"relief", "alarm"}
    if kind in TANK:
        wanted |= {"flush", "anode"} if kind != "indirect" else {"flush"}
    if kind in FUEL:
        wanted.add("burner")
    if kind.endswith("instantaneous"):
        wanted.add("scale")
    if kind == "heat_pump_storage":
        wanted.add("filter")
    if has_expansion_tank:
        wanted.add("expansion")
    if has_straps:
        wanted.add("straps")
    return [(what, often) for name, what, often in CARE if name in wanted]
