"""The figures of this heater as plain sentences, each from its answer; nothing of what nobody answered."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from heaterapp.homeowner.known import Known
from heaterapp.homeowner.said import Said, inches, number_of
from heaterapp.rules import CATALOGUE
from heaterapp.sheet.gauge import as_set


class Figure(NamedTuple):
    """A sentence, and the number in it that stands large beside it; none beside advice or plain facts."""

    number: str
    unit: str
    sentence: str


TITLE = Said("Your numbers", "Sus números")
AS_USUAL = Said("(Taken as usual, not measured.)", "(Tomado como habitual, sin medir.)")
TEMPERATURES = {
    "thermostat_f": Said("The heater was set to {number} °F.", "El calentador quedó ajustado a {number} °F."),
    "mixed_outlet_f": Said(
        "A mixing valve lets the water out at {number} °F.",
        "Una válvula mezcladora deja salir el agua a {number} °F.",
    ),
    "outlet_temperature_f": Said(
        "At the tap the water measured {number} °F.", "En el grifo, el agua midió {number} °F."
    ),
}
PRESSURES = {
    "house_pressure_psi": Said(
        "The water pressure in the house was {number} psi.",
        "La presión del agua en la casa era de {number} psi.",
    ),
    "prv_setting_psi": Said(
        "A valve keeps the street's pressure down. It is set to {number} psi.",
        "Una válvula reductora baja la presión de la calle. Está ajustada a {number} psi.",
    ),
    "precharge_psi": Said(
        "The small expansion tank was filled with air to {number} psi. It makes room for water that grows"
        " as it heats.",
        "El tanque de expansión, el pequeño, se llenó de aire a {number} psi. Da lugar al agua que crece"
        " al calentarse.",
    ),
}
FILLED_AT = Said(
    "The small expansion tank was filled with air to {number} psi at {air} °F. That is {there} psi at"
    " {where} °F, where it hangs. It makes room for water that grows as it heats.",
    "El tanque de expansión, el pequeño, se llenó de aire a {number} psi a {air} °F. Eso es {there} psi a"
    " {where} °F, donde cuelga. Da lugar al agua que crece al calentarse.",
)
UNMEASURED = {
    "thermostat_f": Said(
        "The set temperature could not be read.", "No se pudo leer la temperatura del ajuste."
    ),
    "outlet_temperature_f": Said(
        "The water at the tap could not be measured.", "No se pudo medir el agua en el grifo."
    ),
    "house_pressure_psi": Said(
        "The water pressure could not be measured.", "No se pudo medir la presión del agua."
    ),
    "precharge_psi": Said(
        "The air in the expansion tank could not be measured.",
        "No se pudo medir el aire del tanque de expansión.",
    ),
}
BURN = Said(
    "Hot tap water can burn. At 140 °F a bad burn takes seconds. At 120 °F it takes minutes. The US consumer"
    " agency advises 120 °F at the tap. Test the bath with your hand before a child or an older person"
    " gets in.",
    "El agua caliente puede quemar. A 140 °F, una quemadura grave tarda segundos. A 120 °F, tarda minutos."
    " La agencia del consumidor de EE. UU. aconseja 120 °F en el grifo. Pruebe el baño con la mano antes"
    " de que entre un niño o una persona mayor.",
    ("burns", "advised"),
)
NO_RELIEF = Said("No relief valve was found.", "No se encontró la válvula de alivio.")
RELIEF_ENDS = {
    "outdoors": Said("The relief pipe ends outdoors.", "El tubo de la válvula de alivio termina afuera."),
    "floor": Said(
        "The relief pipe ends at the floor.", "El tubo de la válvula de alivio termina en el piso."
    ),
    "pan": Said("The relief pipe ends in the pan.", "El tubo de la válvula de alivio termina en la bandeja."),
    "receptor": Said(
        "The relief pipe ends at a drain.", "El tubo de la válvula de alivio termina en un desagüe."
    ),
    "crawl_space": Said(
        "The relief pipe ends in the crawl space.",
        "El tubo de la válvula de alivio termina bajo el piso de la casa.",
    ),
    "capped": Said(
        "The relief pipe was found closed.", "Se encontró tapado el tubo de la válvula de alivio."
    ),
    "none": Said("No pipe was found on the relief valve.", "La válvula de alivio no tiene tubo."),
}
RELIEF_ENDS_UP = {
    "outdoors": Said(
        "The relief pipe ends outdoors, {height} above the ground.",
        "El tubo de la válvula de alivio termina afuera, a {height} del suelo.",
    ),
    "floor": Said(
        "The relief pipe ends {height} above the floor.",
        "El tubo de la válvula de alivio termina a {height} del piso.",
    ),
    "pan": Said(
        "The relief pipe ends at the pan, {height} up.",
        "El tubo de la válvula de alivio termina en la bandeja, a {height} de altura.",
    ),
    "receptor": Said(
        "The relief pipe ends {height} above a drain.",
        "El tubo de la válvula de alivio termina {height} por encima de un desagüe.",
    ),
}
PAN = {
    "yes": Said("A pan stands under the heater.", "Hay una bandeja bajo el calentador."),
    "no": Said("There is no pan under the heater.", "No hay bandeja bajo el calentador."),
}
PAN_DRAINS = {
    "outdoors": Said("It drains outdoors.", "Desagua afuera."),
    "floor_drain": Said("It drains to a floor drain.", "Desagua en un desagüe del piso."),
    "receptor": Said("It drains to a waste pipe.", "Desagua en un tubo de drenaje."),
    "garage_floor": Said("It drains to the garage floor.", "Desagua en el piso del garaje."),
    "none": Said("The pan has no drain.", "La bandeja no tiene desagüe."),
}
STRAPS = Said(
    "The tank has {number} straps, at {heights} from the floor.",
    "El tanque tiene {number} correas, a {heights} del piso.",
)
STRAP = Said(
    "The tank has {number} strap, at {heights} from the floor.",
    "El tanque tiene {number} correa, a {heights} del piso.",
)
STRAPPED = Said("The tank is strapped.", "El tanque tiene correas.")
STRAPS_UNMEASURED = Said(
    "How high the straps are could not be measured.", "No se pudo medir a qué altura están las correas."
)
STRAPS_UNNOTED = Said(
    "How high the straps are was not written down.", "No se anotó a qué altura están las correas."
)
NO_STRAPS = Said("The tank has no straps.", "El tanque no tiene correas.")
SHUTOFFS = (
    ("cold_shutoff", ("full_way", "other"), Said(
        "A valve at the heater shuts the cold water off.",
        "Una llave de paso junto al calentador cierra el agua fría.",
    )),
    ("cold_shutoff", ("none",), Said(
        "There is no water shutoff at the heater.", "No hay llave de paso de agua junto al calentador."
    )),
    ("gas_shutoff_within_6ft", ("yes",), Said(
        "The gas shutoff is in the same room, in reach.",
        "La llave de gas está en el mismo cuarto, a la mano.",
    )),
    ("gas_shutoff_within_6ft", ("no",), Said(
        "There is no gas shutoff in reach of the heater.", "No hay llave de gas a la mano del calentador."
    )),
    ("disconnect", ("in_sight",), Said(
        "The power switch is in sight of the heater.", "El interruptor está a la vista del calentador."
    )),
    ("disconnect", ("lockable_breaker",), Said(
        "The power shuts off at the breaker.", "La corriente se corta en el disyuntor."
    )),
    ("disconnect", ("cord_and_plug",), Said(
        "The power shuts off at the plug.", "La corriente se corta en el enchufe."
    )),
    ("disconnect", ("none",), Said(
        "There is no power switch for the heater.", "El calentador no tiene interruptor."
    )),
)  # fmt: skip
SHUTOFF_OUTDOORS = Said(
    "The gas shutoff is near the heater, in reach.", "La llave de gas está cerca del calentador, a la mano."
)
ALARMS = {
    "yes": Said(
        "A carbon monoxide alarm is outside each sleeping area.",
        "Hay una alarma de monóxido de carbono afuera de cada área de dormir.",
    ),
    "no": Said(
        "A carbon monoxide alarm is missing outside a sleeping area.",
        "Falta una alarma de monóxido de carbono afuera de un área de dormir.",
    ),
}


def figures(known: Known, language: str) -> tuple[Figure, ...]:
    """Return what was set, measured and found, in the order in which it matters."""
    return (
        *_measured(known, language, TEMPERATURES, "°F"),
        Figure("", "", BURN.of(language)),
        *_measured(known, language, PRESSURES, "psi"),
        *(Figure("", "", sentence) for sentence in _found(known, language)),
    )


def _measured(known: Known, language: str, asked: dict[str, Said], unit: str) -> Iterator[Figure]:
    for name, words in asked.items():
        number = number_of(known.answers.get(name), CATALOGUE[name].unit)
        if name == "precharge_psi" and not known.says("expansion_device", "tank"):
            continue
        if name == "prv_setting_psi" and not known.says("prv_fitted", "yes"):
            continue
        if name == "mixed_outlet_f" and not known.says("mixing_valve_fitted", "yes"):
            continue
        if number:
            usual = f" {AS_USUAL.of(language)}" if known.as_usual(name) else ""
            read = as_set(known.answers, known.report) if name == "precharge_psi" else None
            said = words.of(language, number=number)
            if read:
                said = FILLED_AT.of(
                    language, number=number, air=read.set_at, there=read.there, where=read.hangs_at
                )
            yield Figure(number, unit, said + usual)
        elif known.unmeasured(name) and name in UNMEASURED:
            yield Figure("", "", UNMEASURED[name].of(language))


def _found(known: Known, language: str) -> Iterator[str]:
    yield from _relief(known, language)
    if known.says("pan_fitted", *PAN):
        told = [PAN[known.answers["pan_fitted"]].of(language)]
        if known.says("pan_fitted", "yes") and known.says("pan_drain_end", *PAN_DRAINS):
            told.append(PAN_DRAINS[known.answers["pan_drain_end"]].of(language))
        yield _usually(known, language, "pan_fitted", told)
    yield from straps(known, language)
    shutoffs = [(name, words.of(language)) for name, words in _shutoffs(known)]
    usual = [said for name, said in shutoffs if known.as_usual(name)]
    if said := " ".join(one for name, one in shutoffs if not known.as_usual(name)):
        yield said
    if usual:
        yield f"{' '.join(usual)} {AS_USUAL.of(language)}"
    name = "co_alarm_outside_sleeping"
    if known.burns and known.says(name, *ALARMS):
        yield _usually(known, language, name, [ALARMS[known.answers[name]].of(language)])


def _shutoffs(known: Known) -> Iterator[tuple[str, Said]]:
    for name, values, words in SHUTOFFS:
        if known.says(name, *values):
            # Outdoors there is no room for it to be the same.
            outdoors = (name, *values) == ("gas_shutoff_within_6ft", "yes") and known.says("room", "outdoors")
            yield name, SHUTOFF_OUTDOORS if outdoors else words


def straps(known: Known, language: str) -> Iterator[str]:
    """Return what straps were found and how high; the page for a sale says the same."""
    if not known.is_tank:
        return
    if known.straps:
        words = STRAPS if known.straps > 1 else STRAP
        heights = inches(known.answers["strap_heights_in"], language)
        yield words.of(language, number=known.straps, heights=heights)
    elif known.found_no_strap:
        yield _usually(known, language, "strap_kind", [NO_STRAPS.of(language)])
    else:
        if known.is_strapped:
            yield _usually(known, language, "strap_kind", [STRAPPED.of(language)])
        if known.unmeasured("strap_heights_in"):
            yield STRAPS_UNMEASURED.of(language)
        elif known.is_strapped:
            yield STRAPS_UNNOTED.of(language)


def _relief(known: Known, language: str) -> Iterator[str]:
    if known.says("relief_fitted", "no"):
        yield NO_RELIEF.of(language)
    elif known.says("relief_fitted", "yes") and known.says("relief_end", *RELIEF_ENDS):
        end = known.answers["relief_end"]
        height = inches([known.answers.get("relief_end_height_in")], language)
        words = RELIEF_ENDS_UP.get(end) if height else None
        told = (words or RELIEF_ENDS[end]).of(language, height=height)
        yield _usually(known, language, "relief_end", [told])


def _usually(known: Known, language: str, name: str, told: list[str]) -> str:
    return " ".join([*told, AS_USUAL.of(language)] if known.as_usual(name) else told)
