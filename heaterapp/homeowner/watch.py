"""What to watch for, and what to leave alone."""

from __future__ import annotations

from heaterapp.homeowner.known import GAS, Known
from heaterapp.homeowner.said import Said

TITLE = Said("Watch for these, and call", "Esté atento a esto, y llame")
LEAK = {
    "yes": Said("Water on the floor or in the pan.", "Agua en el piso o en la bandeja."),
    "no": Said("Water on the floor.", "Agua en el piso."),
    "": Said(
        "Water on the floor, or in a pan if there is one.", "Agua en el piso, o en la bandeja si la hay."
    ),
}
"""By whether a pan was recorded."""
DRIP = Said(
    "A drip from the relief pipe. Never plug it.", "Goteo del tubo de la válvula de alivio. Nunca lo tape."
)
RUST = Said("Rusty water, rust on the heater.", "Agua con óxido, óxido en el calentador.")
NOISE = Said("Rumbling or popping sounds.", "Ruidos o golpes en el tanque.")
COLD = Said("No hot water, or water that is too hot.", "No hay agua caliente, o sale demasiado caliente.")
FLAME = Said("A yellow flame, or soot.", "Llama amarilla, u hollín.")
VENT = Said(
    "A loose vent pipe, or damp marks where it starts.",
    "El tubo de escape suelto, o manchas de humedad donde empieza.",
)
SICK = Said(
    "A headache, or feeling tired, dizzy or sick at home, like flu with no fever. It may be carbon monoxide:"
    " go outside and call 911.",
    "Dolor de cabeza, cansancio, mareo o náusea en casa, como gripe sin fiebre. Puede ser monóxido de"
    " carbono: salga y llame al 911.",
    ("emergency_number",),
)
BREAKER = Said(
    "The breaker trips again after you reset it. Leave it off, and call.",
    "El disyuntor se dispara otra vez después de subirlo. Déjelo apagado, y llame.",
)
KEEP_CLEAR = Said(
    "Do not store gasoline, paint or thinner near the heater. Do not block its air openings.",
    "No guarde gasolina, pintura ni solvente cerca del calentador. No tape sus entradas de aire.",
)
EMPTY = Said(
    "Never turn the power on while the tank is empty.",
    "Nunca encienda la corriente con el tanque vacío.",
)
KEEP_AIR = Said(
    "Keep the air grille free, and room around the heater.",
    "Deje libre la rejilla de aire y espacio alrededor del calentador.",
)
QUAKE_GAS = Said(
    "After an earthquake, look at the tank, {straps}the vent and the pipes from a distance. If"
    " you smell or hear gas, leave. If you shut the gas off, let a trained person turn it on. A tank that"
    " stands holds water you may need.",
    "Después de un terremoto, mire de lejos el tanque, {straps}el tubo de escape y los tubos."
    " Si huele u oye gas, salga. Si cerró el gas, deje que lo abra una persona capacitada. Un tanque"
    " en pie guarda agua que puede hacerle falta.",
)
QUAKE = Said(
    "After an earthquake, look at the tank, {straps}the wires and the pipes from a distance."
    " A tank that stands holds water you may need.",
    "Después de un terremoto, mire de lejos el tanque, {straps}los cables y los tubos. Un"
    " tanque en pie guarda agua que puede hacerle falta.",
)

STRAPPED = {
    "one": Said("its strap, ", "su correa, "),
    "many": Said("its straps, ", "sus correas, "),
    "unknown": Said("its straps if any, ", "sus correas si las hay, "),
}


def signs(known: Known, language: str) -> tuple[str, ...]:
    """Return what to look out for, one sign a line."""
    pan = LEAK["yes" if known.says("pan_fitted", "yes") else "no" if known.says("pan_fitted", "no") else ""]
    chosen = [pan, DRIP, RUST, *([NOISE] if known.is_tank else []), COLD]
    chosen += [FLAME, VENT] if known.kind in GAS or not known.kind else []
    chosen += [SICK] if known.burns else []
    chosen += [BREAKER] if known.is_electric else []
    return tuple(one.of(language) for one in chosen)


def leave_alone(known: Known, language: str) -> tuple[str, ...]:
    """Return what never to do, and what to do after an earthquake where there is a tank."""
    chosen = [KEEP_CLEAR.of(language)] if known.burns else []
    if known.is_electric and known.is_tank:
        chosen.append(EMPTY.of(language))
    if known.kind == "heat_pump_storage":
        chosen.append(KEEP_AIR.of(language))
    if known.is_tank:
        words = QUAKE_GAS if known.burns else QUAKE
        chosen.append(words.of(language, straps=_straps(known, language)))
    return tuple(chosen)


def _straps(known: Known, language: str) -> str:
    """Return the straps as they were recorded, nothing where there are none."""
    if known.says("strap_kind", "none"):
        return ""
    many = known.is_strapped and known.straps != 1
    return STRAPPED["many" if many else "one" if known.straps else "unknown"].of(language)
