"""The words a report is told in, English and Spanish side by side.

Standard library only: the same words serve the form, the certificate's screen and
the homeowner's page, on the server and on the phone.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any, NamedTuple

from ..languages import spoken
from ..languages.typeset import units_in
from ..rules import writing


class Words(NamedTuple):
    """One thing in both languages."""

    en: str
    es: str

    def of(self, language: str) -> str:
        """The words in `language` ("en" or "es")."""
        return self.es if language == "es" else self.en

    @property
    def here(self) -> str:
        """The words in the language that is spoken now."""
        return self.of(spoken())


VERDICTS: dict[str, Words] = {
    "meets": Words("Meets", "Cumple"),
    "fails": Words("Fix", "Corregir"),
    "authority": Words("Authority decides", "Decide la autoridad"),
    "engineer": Words("Needs a design", "Requiere diseño"),
    "unanswered": Words("To answer", "Por responder"),
    "silent": Words("Code silent", "El código no lo dice"),
    "not_applicable": Words("Not here", "No aplica"),
    "error": Words("Broken check", "No se pudo evaluar"),
}
ADVICE = Words("Advice", "Consejo")
ACCEPTED = Words("Accepted by the authority", "Aceptado por la autoridad")

SECTIONS: dict[str, Words] = {
    "job": Words("Job", "Trabajo"),
    "old": Words("Old heater", "Calentador anterior"),
    "plate": Words("Data plate", "Placa de datos"),
    "water": Words("Water and expansion", "Agua y expansión"),
    "relief": Words("Relief and pan", "Válvula de alivio y bandeja"),
    "gas": Words("Gas", "Gas"),
    "vent": Words("Vent and air", "Tubo de escape y aire"),
    "electric": Words("Electric", "Electricidad"),
    "place": Words("Place and straps", "Lugar y correas"),
    "alarms": Words("Alarms and start-up", "Alarmas y arranque"),
}


def unit_shown(unit: str) -> str:
    """A unit as it is read in the language spoken now.

    >>> unit_shown("psi"), unit_shown("in2"), unit_shown("count")
    ('psi', 'sq in', '')
    """
    return units_in(spoken(), writing.unit_shown(unit))


_BARE_UNIT = re.compile(r"\d+-?[A-Za-z]?|[A-Za-z]-?\d*", re.ASCII)


def unit_named(unit: str) -> str:
    """An address's unit as it is read: a bare number or letter gets the word before it.

    >>> [unit_named(said) for said in ("3", "B2", "Apt 3", "#3", "Unit B", "")]
    ['Unit 3', 'Unit B2', 'Apt 3', '#3', 'Unit B', '']
    """
    return f"Unit {unit}" if _BARE_UNIT.fullmatch(unit) else unit


TOPICS: dict[str, Words] = {
    "heater": Words("Heater", "Calentador"),
    "supply": Words("Water supply", "Suministro de agua"),
    "expansion": Words("Thermal expansion", "Expansión térmica"),
    "relief": Words("Relief valve", "Válvula de alivio"),
    "pan": Words("Pan", "Bandeja"),
    "temperature": Words("Hot water temperature", "Temperatura del agua caliente"),
    "gas": Words("Gas", "Gas"),
    "venting": Words("Vent", "Tubo de escape"),
    "air": Words("Air for burning", "Aire para la combustión"),
    "electric": Words("Electric", "Electricidad"),
    "place": Words("Place", "Lugar"),
    "seismic": Words("Earthquake straps", "Correas sísmicas"),
    "alarms": Words("Alarms", "Alarmas"),
    "paperwork": Words("Papers", "Documentos"),
}

HOME_SECTION: dict[str, str] = {
    "heater": "plate", "supply": "water", "expansion": "water", "relief": "relief", "pan": "relief",
    "temperature": "plate", "gas": "gas", "venting": "vent", "air": "vent", "electric": "electric",
    "place": "place", "seismic": "place", "alarms": "alarms", "paperwork": "job",
}  # fmt: skip
"""The section in which a topic's findings stand."""

CONFIDENCE: dict[str, Words] = {
    "carried": Words("read in another edition: confirm", "leído en otra edición: confirmar"),
    "memory": Words("from memory: read it in the adopted book", "de memoria: consulte el código adoptado"),
    "practice": Words("common practice", "práctica común"),
}
"""What is said beside a section that was not read in the adopted edition itself."""

_WATER, _PLACE, _VENT, _GAS, _ELECTRIC, _PLATE = "water", "place", "vent", "gas", "electric", "plate"

FIGURES: dict[str, tuple[str, Words]] = {
    "precharge_target_psi": (_WATER, Words("Tank air needed", "Aire necesario en el tanque")),
    "precharge_at_air_f_psi": (_WATER, Words("Tank air to set", "Aire del tanque a fijar")),
    "precharge_installed_psi": (
        _WATER,
        Words("Air charge where the tank hangs", "Carga de aire donde cuelga el tanque"),
    ),
    "thermal_expansion_gal": (_WATER, Words("Water that expansion adds", "Agua que añade la expansión")),
    "closed_system": (_WATER, Words("Closed system", "Sistema cerrado")),
    "expansion_tank_needed_gal": (_WATER, Words("Expansion tank needed", "Tanque de expansión necesario")),
    "peak_pressure_psi": (
        _WATER,
        Words("Pressure when hot, tank as set", "Presión en caliente, con el tanque como está"),
    ),
    "peak_pressure_as_recommended_psi": (
        _WATER,
        Words(
            "Pressure when hot, tank charged to the house pressure",
            "Presión en caliente, con el tanque cargado a la presión de la casa",
        ),
    ),
    "acceptance_used_gal": (
        _WATER,
        Words("Water in the expansion tank when hot", "Agua en el tanque de expansión en caliente"),
    ),
    "local_atmosphere_psia": (
        _WATER,
        Words("Air pressure at this elevation", "Presión del aire a esta altitud"),
    ),
    "operating_weight_lb": (_PLACE, Words("Weight when full", "Peso lleno")),
    "structural_force_later_lb": (
        _PLACE,
        Words("Force by the later standard", "Fuerza según la norma posterior"),
    ),
    "strap_force_lb": (_PLACE, Words("Sideways force on the straps", "Fuerza lateral sobre las correas")),
    "structural_force_lb": (
        _PLACE,
        Words("Sideways force by the structural standard", "Fuerza lateral según la norma estructural"),
    ),
    "lower_strap_band_in": (_PLACE, Words("Lower strap, from the floor", "Correa inferior, desde el piso")),
    "upper_strap_band_in": (_PLACE, Words("Upper strap, from the floor", "Correa superior, desde el piso")),
    "strap_controls_clearance_in": (
        _PLACE,
        Words("Lower strap to the controls", "De la correa inferior a los controles"),
    ),
    "strap_reactions_lb": (
        _PLACE,
        Words("Load on each strap, lowest first", "Carga en cada correa, la inferior primero"),
    ),
    "strap_leg_tension_lb": (_PLACE, Words("Pull in a strap leg", "Tensión en un ramal de la correa")),
    "lag_withdrawal_lb": (
        _PLACE,
        Words(
            "Pull on each lag, lowest strap first", "Tracción en cada tirafondo, la correa inferior primero"
        ),
    ),
    "lag_allowable_lb": (_PLACE, Words("A lag may carry", "Un tirafondo resiste")),
    "lag_slant_allowable_lb": (
        _PLACE,
        Words(
            "A lag may carry, out and along the wall",
            "Un tirafondo resiste, hacia fuera y a lo largo de la pared",
        ),
    ),
    "strut_allowable_lb": (_PLACE, Words("A strut may carry", "Un puntal resiste")),
    "strap_allowable_lb": (_PLACE, Words("A strap may carry", "Una correa resiste")),
    "strap_splay_deg": (_PLACE, Words("Angle of the strap legs", "Ángulo de los ramales")),
    "strut_force_lb": (_PLACE, Words("Force in a strut", "Fuerza en un puntal")),
    "bracing_required": (_PLACE, Words("Straps required here", "Correas obligatorias aquí")),
    "tipping_ratio": (
        _PLACE,
        Words("Height of mass over base radius", "Altura de la masa entre el radio de la base"),
    ),
    "vent_capacity_btuh": (_VENT, Words("The vent carries", "El tubo admite")),
    "shared_vent_capacity_btuh": (_VENT, Words("The common vent carries", "El tubo común admite")),
    "vent_area_ratio": (_VENT, Words("Vent area over outlet area", "Área del tubo entre el área de salida")),
    "vent_end_needed_in": (_VENT, Words("Vent end needed above the roof", "Altura necesaria sobre el techo")),
    "chimney_end_needed_in": (
        _VENT,
        Words("Chimney or pipe end needed above the roof", "Altura necesaria de la chimenea sobre el techo"),
    ),
    "connector_rise_needed_in": (_VENT, Words("Connector must rise", "El conector debe subir")),
    "connector_length_allowed_ft": (
        _VENT,
        Words("Connector may be as long as", "Longitud máxima del conector"),
    ),
    "vent_least_input_btuh": (
        _VENT,
        Words("The vent needs at least", "El tubo de escape necesita al menos"),
    ),
    "common_vent_capacity_btuh": (
        _VENT,
        Words("The shared vent carries", "El tubo de escape común admite"),
    ),
    "other_connector_capacity_btuh": (_VENT, Words("The other connector carries", "El otro conector admite")),
    "other_least_input_btuh": (
        _VENT,
        Words("The other connector needs at least", "El otro conector necesita al menos"),
    ),
    "air_counted_btuh": (
        _VENT,
        Words("Burners that take air from the room", "Quemadores que toman aire del cuarto"),
    ),
    "air_volume_there_ft3": (_VENT, Words("Volume there is", "Volumen que hay")),
    "air_volume_needed_ft3": (_VENT, Words("Room volume needed", "Volumen de cuarto necesario")),
    "air_opening_needed_in2": (
        _VENT,
        Words("Each opening needs, free area", "Cada abertura necesita, área libre"),
    ),
    "air_opening_there_in2": (_VENT, Words("Free area there is", "Área libre que hay")),
    "air_mechanical_needed_cfm": (_VENT, Words("Air needed from a fan", "Aire necesario de un ventilador")),
    "gas_pipe_capacity_btuh": (_GAS, Words("The gas pipe carries", "La tubería de gas admite")),
    "rated_input_at_elevation_btuh": (_GAS, Words("Input at this elevation", "Potencia a esta altitud")),
    "heater_amps": (_ELECTRIC, Words("The heater draws", "El calentador consume")),
    "circuit_needed_a": (_ELECTRIC, Words("Circuit needed", "Circuito necesario")),
    "breaker_min_a": (_ELECTRIC, Words("Smallest breaker", "Disyuntor mínimo")),
    "breaker_max_a": (_ELECTRIC, Words("Largest breaker", "Disyuntor máximo")),
    "conductor_ampacity_a": (_ELECTRIC, Words("The wire may carry", "El cable admite")),
    "first_hour_needed_gal": (
        _PLATE,
        Words("First-hour rating needed", "Capacidad de primera hora necesaria"),
    ),
    "scald_seconds": (_PLATE, Words("A burn takes at least", "Una quemadura tarda al menos")),
}
"""Figure -> the section it stands in, and its words."""

AS_USUAL = Words("Accepted as usual, not measured", "Aceptado como habitual, sin medir")
STOP = Words("Stop. Do not leave this heater running.", "Alto. No deje este calentador en marcha.")
WHAT_WAS_DONE = Words("Say what was done about it", "Diga qué se hizo al respecto")


def figure_words(name: str) -> Words:
    """A figure's words; a figure that has none yet is called by its own name."""
    known = FIGURES.get(name)
    if known:
        return known[1]
    plain = name.rpartition("_")[0].replace("_", " ").capitalize() or name
    return Words(plain, plain)


def figure_section(name: str) -> str:
    """The section in which a figure stands."""
    known = FIGURES.get(name)
    return known[0] if known else "plate"


def book_beside(finding: Mapping[str, Any]) -> str:
    """The book that is named beside a finding's section; nothing where the section is another standard's own.

    >>> [book_beside({"section": one, "book": "UPC 2021"}) for one in ("507.2", "NFPA 54 11.6")]
    ['UPC 2021', '']
    """
    return "" if str(finding["section"]).startswith("NFPA ") else str(finding["book"])
