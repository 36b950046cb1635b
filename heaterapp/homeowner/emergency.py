"""The emergency box: what to do first, at most 120 words, and no gas where nothing burns."""

from __future__ import annotations

from heaterapp.homeowner.known import Known
from heaterapp.homeowner.said import Said

TITLE = Said("In an emergency", "En una emergencia")
GAS_PHONE = Said("Gas company: {phone}.", "Compañía de gas: {phone}.")
SMELL = Said("You smell gas", "Huele a gas")
LEAVE = Said(
    "Leave now. Take everyone with you. Do not touch switches. Use no phone or flame inside.",
    "Salga ahora. Saque a todos. No toque interruptores. No use teléfono ni fuego adentro.",
)
CALL = {
    "natural": Said(
        "Call 911 and the gas company from far outside.",
        "Llame al 911 y a la compañía de gas desde lejos.",
        ("emergency_number",),
    ),
    "propane": Said(
        "Call 911 and your propane supplier from far outside.",
        "Llame al 911 y a su proveedor de propano desde lejos.",
        ("propane_leak",),
    ),
    "": Said(
        "Call 911 and your gas company or propane supplier from far outside.",
        "Llame al 911 y a su compañía de gas o proveedor de propano desde lejos.",
        ("emergency_number", "propane_leak"),
    ),
}
"""Whom to call, by the gas in the house; a utility is no supplier of propane."""
VALVE = Said(
    "Shut the valve on the propane tank only if you smell no gas there.",
    "Cierre la válvula del tanque de propano solo si allí no huele a gas.",
)
ALARM = (
    Said(
        "The carbon monoxide alarm sounds, or anyone feels sick",
        "Suena la alarma de monóxido de carbono, o alguien se siente mal",
    ),
    Said(
        "All go outside now. Call 911 from outside. Stay out until the fire service lets you in.",
        "Salgan todos ahora. Llame al 911 desde afuera. No entre hasta que los bomberos lo permitan.",
        ("emergency_number",),
    ),
)
RELIEF = (
    Said("Water comes from the relief pipe", "Sale agua del tubo de la válvula de alivio"),
    Said(
        "Stay clear: it can burn. Never plug or cap this pipe. Shut the heater off if you can stay dry."
        " Call a plumber.",
        "No se acerque: puede quemar. Nunca tape este tubo. Apague el calentador si no se moja."
        " Llame a un plomero.",
    ),
)
POWER = (
    Said("Sparks, smoke, or water on the wires", "Chispas, humo o agua en los cables"),
    Said(
        "Do not touch the heater. Shut off its breaker if your hands and feet are dry. Fire or smoke: go out,"
        " call 911.",
        "No toque el calentador. Con manos y pies secos, apague su disyuntor. Fuego o humo:"
        " salga y llame al 911.",
        ("emergency_number",),
    ),
)


def emergencies(known: Known, language: str) -> tuple[tuple[str, str], ...]:
    """Return (what happens, what to do), the gravest first."""
    chosen = [ALARM] if known.burns else []
    chosen += [POWER] if known.is_electric else []
    told = [(when.of(language), do.of(language)) for when, do in (*chosen, RELIEF)]
    if known.burns:
        do = [LEAVE.of(language), CALL[known.gas].of(language)]
        do += [GAS_PHONE.of(language, phone=known.utility_phone)] if known.utility_phone else []
        # A heater that nobody named has every caution: what only may help gives way to what is to be done.
        do += [VALVE.of(language)] if known.gas == "propane" and known.kind else []
        told.insert(0, (SMELL.of(language), " ".join(do)))
    return tuple(told)
