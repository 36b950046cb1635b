"""Which pictures a job wants: what an inspector would ask to see, by this heater and this job.

Standard library only: the same list serves the phone, the server and the certificate's captions.

Source: house with number and permit, permit in each picture, vent, drip leg, condensate, pan and drain:
City of Willoughby, Ohio, inspection procedures (2020), remote inspection of hot water tanks,
https://willoughbyohio.com/inspection-procedures-update/ (read 25 Nov 2026). The others: common practice.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

from ..rules.questions import CATALOGUE
from ..rules.questions.plate import ELECTRIC, FUEL, STORAGE
from ..rules.when import ALWAYS, NEVER, NOT_ASKED, When, is_, said, yes
from ..sheet.words import Words


class Picture(NamedTuple):
    """One picture of the list, and whether this job wants it."""

    kind: str
    label: Words
    hint: Words
    asked: bool


class _Listed(NamedTuple):
    kind: str
    label: Words
    hint: Words
    when: When


VENTED = FUEL & ~said("vent_kind", "none")
HOME = ~said("building_kind", "business")
REPLACED = is_("job_kind", "same_place", "moved", "changed_kind")

LIST = (
    _Listed(
        "house",
        Words("House with its number and the permit", "Casa con su número y el permiso"),
        Words(
            "Number and permit readable in one picture. Some authorities want the permit in every picture.",
            "El número y el permiso legibles en una foto. Algunas autoridades piden el permiso en cada foto.",
        ),
        ALWAYS,
    ),
    _Listed(
        "old_plate",
        Words("Data plate of the old heater", "Placa de datos del calentador anterior"),
        Words(
            "Model, serial and input readable, before it leaves.",
            "Modelo, serie y potencia legibles, antes de retirarlo.",
        ),
        REPLACED,
    ),
    _Listed(
        "plate",
        Words("Data plate", "Placa de datos"),
        Words(
            "Model, serial, input and pressure readable; no flash on the shiny part.",
            "Modelo, serie, potencia y presión legibles; sin flash sobre la parte brillante.",
        ),
        ALWAYS,
    ),
    _Listed(
        "whole",
        Words("Whole heater from the front", "Calentador completo, de frente"),
        Words(
            "From floor to the pipes on top, in one picture.",
            "Desde el piso hasta las tuberías, en una foto.",
        ),
        ALWAYS,
    ),
    _Listed(
        "gauge",
        Words("Pressure gauge", "Manómetro"),
        Words("The needle and its numbers, no water running.", "La aguja y sus números, sin agua corriendo."),
        ALWAYS,
    ),
    _Listed(
        "expansion",
        Words("Expansion tank and its gauge", "Tanque de expansión y su manómetro"),
        Words(
            "Tank, its support, and the gauge on its air valve.",
            "Tanque, su soporte y el manómetro en su válvula de aire.",
        ),
        is_("expansion_device", "tank"),
    ),
    _Listed(
        "relief",
        Words("Relief valve and the end of its pipe", "Válvula de alivio y el extremo de su tubo"),
        Words(
            "Valve, pipe and where it ends; two pictures if need be.",
            "Válvula, tubo y dónde termina; dos fotos si hace falta.",
        ),
        ~said("relief_fitted", "no"),
    ),
    _Listed(
        "pan",
        Words("Pan and its drain", "Bandeja y su desagüe"),
        Words(
            "Pan all round, drain fitting, and where the drain ends.",
            "Bandeja completa, conexión y dónde termina.",
        ),
        yes("pan_fitted"),
    ),
    _Listed(
        "gas",
        Words("Gas shutoff and connector", "Llave y conector de gas"),
        Words("Shutoff, connector and union in one picture.", "Llave, conector y unión en una foto."),
        FUEL,
    ),
    _Listed(
        "drip_leg",
        Words("Drip leg", "Trampa de sedimentos"),
        Words(
            "Tee, nipple and cap, at the inlet of the heater.",
            "Te, niple y tapa, a la entrada del calentador.",
        ),
        FUEL & ~said("sediment_trap", "no"),
    ),
    _Listed(
        "vent",
        Words("Vent and connector", "Tubo de escape y conector"),
        Words(
            "From the heater to where it leaves the room; slope, screws and clearance to be seen.",
            "Del calentador hasta donde sale del cuarto; que se vean pendiente, tornillos y separación.",
        ),
        VENTED,
    ),
    _Listed(
        "vent_end",
        Words("End of the vent, outdoors", "Extremo del tubo, al exterior"),
        Words(
            "From the ground: climb no roof for a picture. Openings and roof around it to be seen.",
            "Desde el suelo: no suba al techo por una foto. Que se vean aberturas y techo alrededor.",
        ),
        VENTED,
    ),
    _Listed(
        "condensate",
        Words("Condensate drain", "Desagüe del condensado"),
        Words(
            "The line, the neutralizer where there is one, and its end.",
            "La línea, el neutralizador si lo hay, y su fin.",
        ),
        yes("condensing") | is_("heater_kind", "heat_pump_storage"),
    ),
    _Listed(
        "disconnect",
        Words("Disconnect", "Interruptor de desconexión"),
        Words(
            "Switch or locked breaker, with the heater if it is in sight. Covers stay on.",
            "Interruptor o disyuntor bloqueado, con el calentador si está a la vista. No quite las tapas.",
        ),
        ELECTRIC,
    ),
    _Listed(
        "straps",
        Words("Straps, with a tape", "Correas, con cinta métrica"),
        Words(
            "Both straps in one picture, a tape from the floor beside them.",
            "Ambas correas en una foto, con una cinta desde el piso al lado.",
        ),
        STORAGE & ~said("strap_kind", "none"),
    ),
    _Listed(
        "co_alarm",
        Words("Carbon monoxide alarm", "Alarma de monóxido de carbono"),
        Words("Where it hangs, outside the bedrooms.", "Donde está, fuera de los dormitorios."),
        FUEL & HOME & ~said("co_alarm_outside_sleeping", "no"),
    ),
    _Listed(
        "other",
        Words("Another picture", "Otra foto"),
        Words("Anything that should be seen later.", "Lo que convenga ver más tarde."),
        NEVER,
    ),
)
LABELS: dict[str, Words] = {one.kind: one.label for one in LIST}


def wanted(answers: Mapping[str, Any]) -> tuple[Picture, ...]:
    """Every picture of the list, in the order in which a job is walked, and whether this job wants it.

    answers  as stored; whatever is open is taken to be there, unless nobody can tell yet which kind it is
    returns  the same for the same answers

    >>> [one.kind for one in wanted({"heater_kind": "electric_storage"}) if one.asked]
    ['house', 'plate', 'whole', 'gauge', 'relief', 'disconnect', 'straps']
    """

    def look(name: str) -> object:
        question, value = CATALOGUE[name], answers.get(name)
        if question.when.holds(look) is False:
            return NOT_ASKED
        if value is None or value == "unknown" or isinstance(value, dict):
            return question.default
        return value

    return tuple(Picture(one.kind, one.label, one.hint, one.when.holds(look) is True) for one in LIST)


def told(answers: Mapping[str, Any], language: str = "en") -> list[dict[str, Any]]:
    """The same list as plain data: kind, label, hint, asked."""
    return [
        {"kind": one.kind, "label": one.label.of(language), "hint": one.hint.of(language), "asked": one.asked}
        for one in wanted(answers)
    ]


def label_of(kind: str, language: str = "en") -> str:
    """What a kind is called; a kind of another version, by its own name made readable."""
    return LABELS[kind].of(language) if kind in LABELS else kind.replace("_", " ").strip().capitalize()
