"""The emergency box: what to do first, at most 120 words, and no gas where nothing burns."""

from __future__ import annotations

from heaterapp.homeowner.known import Known
from heaterapp.homeowner.said import Said

TITLE = Said("In an emergency", "En una emergencia")
GAS_PHONE = Said("Gas company: {phone}.", "Compañía de gas: {phone}.")
GAS_SMELL = (
    Said("You smell gas", "Huele a gas"),
    Said(
        "Leave now. Take everyone with you. Do not touch switches. Use no phone or flame inside. Call 911 and"
        " the gas company from far outside.",
        "Salga ahora. Saque a todos. No toque interruptores. No use teléfono ni fuego adentro."
        " Llame al 911 y a la compañía de gas desde lejos.",
        ("emergency_number",),
    ),
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
    chosen = [GAS_SMELL, ALARM] if known.burns else []
    chosen += [POWER] if known.is_electric else []
    told = [(when.of(language), do.of(language)) for when, do in (*chosen, RELIEF)]
    if known.burns and known.gas_phone:
        when, do = told[0]
        told[0] = when, f"{do} {GAS_PHONE.of(language, phone=known.gas_phone)}"
    return tuple(told)
