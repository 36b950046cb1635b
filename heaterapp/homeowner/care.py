"""The care that this heater needs: what, how often, and what to mind while doing it.

Ranges, because public sources differ; the calendar reminds at their short end, and the maker's manual comes
first in both.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from heaterapp.homeowner.known import GAS, TANKLESS, TANKS, Known
from heaterapp.homeowner.said import Said


@dataclass(frozen=True)
class Care:
    """One thing to do again and again.

    name       its own name: ids in calendars are made from it, so it never changes
    what       in few words
    often      the range as it is printed
    how        what to do and to mind, for the calendar
    months     the calendar reminds every so many months
    saturdays  by how many of a month's Saturdays it stands after the monthly care: not all falls on one day.
               From four on it stands in the next month, by the Saturday that is left over
    after      so many half hours after ten: what belongs together stands one after the other
    """

    name: str
    what: Said
    often: Said
    how: Said
    months: int
    wanted: Callable[[Known], bool]
    saturdays: int = 0
    after: int = 0


TITLE = Said("Care through the years", "Cuidado a través de los años")
FIRST = Said(
    "The maker's manual comes first. Where it says something else, do as it says.",
    "El manual del fabricante es lo primero. Si dice otra cosa, haga lo que dice.",
)
WHAT = Said("What", "Qué")
OFTEN = Said("How often", "Cada cuánto")


def _has_valve(known: Known) -> bool:
    return not known.says("relief_fitted", "no", "not_here")


CARE = (
    Care(
        "alarm",
        Said("Test the carbon monoxide alarm", "Probar la alarma de monóxido de carbono"),
        Said(
            "Every month; replace it by its date", "Cada mes; cámbiela antes de su fecha", ("alarm_test",)
        ),
        Said(
            "Press its test button until it sounds. Replace the alarm by the date on it.",
            "Apriete su botón de prueba hasta que suene. Cambie la alarma antes de la fecha que lleva.",
        ),
        1,
        lambda known: known.burns,
    ),
    Care(
        "filter",
        Said("Clean the air filter", "Limpiar el filtro de aire"),
        Said("Every 3 to 6 months", "Cada 3 a 6 meses", ("filter",)),
        Said("Turn the heater off first.", "Primero apague el calentador."),
        3,
        lambda known: known.kind == "heat_pump_storage",
    ),
    Care(
        "condensate",
        Said("Clear the condensate drain", "Limpiar el desagüe de condensado"),
        Said("Every year", "Cada año", ("condensate",)),
        Said("Turn the heater off first.", "Primero apague el calentador."),
        12,
        lambda known: known.kind == "heat_pump_storage",
        saturdays=5,
    ),
    Care(
        "flush",
        Said("Flush the tank", "Lavar el tanque"),
        Said(
            "Every year; twice if the water is hard",
            "Cada año; dos veces si el agua es dura",
            ("flush",),
        ),
        Said(
            "Turn the heater off first. The water is hot: it can burn. Ask a plumber if in doubt.",
            "Primero apague el calentador. El agua está caliente: puede quemar. Pregunte a un plomero si"
            " tiene dudas.",
        ),
        12,
        lambda known: known.kind in TANKS,
        saturdays=1,
    ),
    Care(
        "relief",
        Said("Relief valve, tried by a plumber", "Válvula de alivio, probada por un plomero"),
        Said("Every 1 to 3 years", "Cada 1 a 3 años", ("relief_try",)),
        Said(
            "Call a plumber. Do not try an old valve on your own: it can stick open, and its water burns.",
            "Llame a un plomero. No pruebe usted una válvula vieja: puede quedar abierta, y su agua quema.",
        ),
        12,
        _has_valve,
        saturdays=3,
    ),
    Care(
        "anode",
        Said("Anode rod, looked at by a plumber", "Ánodo de sacrificio, revisado por un plomero"),
        Said("Every 1 to 3 years", "Cada 1 a 3 años", ("anode",)),
        Said("Call a plumber. The rod keeps rust off the tank.", "Llame a un plomero. El ánodo protege"
             " el tanque del óxido."),
        12,
        lambda known: known.kind in TANKS and known.kind != "indirect",
        saturdays=3, after=1,
    ),
    Care(
        "expansion",
        Said("Air in the expansion tank", "Aire del tanque de expansión"),
        Said("Every year", "Cada año", ("tank_air",)),
        Said(
            "Have a plumber check it with the water shut off.",
            "Pida a un plomero que lo revise con el agua cerrada.",
        ),
        12,
        lambda known: known.says("expansion_device", "tank"),
        saturdays=3, after=2,
    ),
    Care(
        "straps",
        Said("Look at the straps", "Mirar las correas"),
        Said("Every year", "Cada año", ("straps_look",)),
        Said(
            "They must be tight, and their screws in the wall.",
            "Deben estar firmes, y sus tornillos en la pared.",
        ),
        12,
        lambda known: known.is_tank and known.is_strapped,
        saturdays=2,
    ),
    Care(
        "burner",
        Said("Burner and vent, by a trained person", "Quemador y tubo de escape, por una persona capacitada"),
        Said("Every year", "Cada año", ("burner_look",)),
        Said("Call a plumber. Never patch a vent with tape.", "Llame a un plomero. Nunca repare el tubo de"
             " escape con cinta."),
        12,
        lambda known: known.kind in GAS,
        saturdays=3, after=3,
    ),
    Care(
        "scale",
        Said("Clean out the scale, by a plumber", "Quitar el sarro, por un plomero"),
        Said("Every 1 to 2 years", "Cada 1 a 2 años", ("descale",)),
        Said("Call a plumber. Hard water needs it more often.", "Llame a un plomero. El agua dura lo pide"
             " más a menudo."),
        12,
        lambda known: known.kind in TANKLESS,
        saturdays=3, after=4,
    ),
)  # fmt: skip

FITTED = {
    "relief_fitted": "yes", "expansion_device": "tank",
    "strap_kind": "listed_kit", "strap_heights_in": ["12", "48"],
}  # fmt: skip
"""Answers by which a heater has everything whose care hangs on an answer."""


def care_for(known: Known) -> tuple[Care, ...]:
    """Return the care that this heater needs, the most frequent first."""
    return tuple(one for one in CARE if one.wanted(known))


def most_for(known: Known) -> tuple[Care, ...]:
    """Return all the care that a heater of this kind can need, whatever was found fitted to it."""
    return care_for(replace(known, answers={**known.answers, **FITTED}))
