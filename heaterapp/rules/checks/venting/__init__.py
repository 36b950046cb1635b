"""Vents, connectors, where they end, and draft."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from ...questions import as_read
from ...report import Result, Worked, authority, engineer, fails, meets, unanswered
from ...units import against_least, against_most

NO_LEAST = Worked(Decimal(0))
"""What stands for the least input of a draft hood, which has none."""
NOT_SURE = "A printed cell it rests on is not surely read and this is too near: look the table up in your code book."
_IN_A_LIST = {
    "type_b": "Type B", "masonry_lined": "lined chimney", "masonry_unlined": "unlined chimney",
}  # fmt: skip


def in_a_list(vent_kind: str) -> str:
    """A kind of vent beside others, shorter than its label."""
    return _IN_A_LIST.get(vent_kind) or as_read("vent_kind", vent_kind)


def within_table(
    input_btuh: Decimal, most: Worked | None, derated_btuh: Decimal | None, least: Worked | None,
    elevation_ft: Decimal | None, **more: Any,
) -> Result:  # fmt: skip
    """An input against what the tables allow at most, and, for a fan, at least by its derated input.

    elevation_ft  as it was answered; None where it was not
    """
    if most is None or not isinstance(most.value, Decimal):
        return _beyond(most)
    found, limit = against_most(input_btuh, most.value, 0)
    said = f"Input {found} Btu/h; the vent carries {limit} Btu/h at most."
    if abs(input_btuh - most.value) <= most.doubt and most.doubt:
        return authority(_unsure(said, most), input_btuh, most.value, "Btu/h", **more)
    if input_btuh > most.value:
        return fails(f"{said} {most.says}".strip(), input_btuh, most.value, "Btu/h", **more)
    if least is None or not isinstance(least.value, Decimal):
        return _beyond(least)
    burned = input_btuh if derated_btuh is None else derated_btuh
    found, limit = against_least(burned, least.value, 0, load=True)
    small = f"It burns {found} Btu/h here; the vent needs {limit} Btu/h at least, or it chills and drips."
    if least.doubt and abs(burned - least.value) <= least.doubt:
        return authority(_unsure(small, least), burned, least.value, "Btu/h", **more)
    if burned < least.value or least.barred:
        return fails(f"{small} {least.says}".strip(), burned, least.value, "Btu/h", **more)
    if elevation_ft is None and least is not NO_LEAST:
        # Higher up it burns less, and less than the vent needs.
        return unanswered(f"{said} To answer: the elevation, since it burns less higher up.", needs=("elevation_ft",), **more)
    return meets(said, input_btuh, most.value, "Btu/h", **more)


def open_to_cold(masonry: bool, chimney_exterior: bool | None, vent_exposed_outdoors: bool | None) -> Result | None:
    """What an area alone cannot settle: whether the vent runs outdoors, where that was not said."""
    name, told = ("chimney_exterior", chimney_exterior) if masonry else ("vent_exposed_outdoors", vent_exposed_outdoors)
    return unanswered("To answer: whether it faces the outdoors, where the area does not settle it.", needs=(name,)) if told is None else None


def _unsure(said: str, figure: Worked) -> str:
    if figure.barred:
        return f"{figure.says} The printed cell that says so is not surely read: look the table up in your code book."
    return f"{said} {NOT_SURE}"


def _beyond(figure: Worked | None) -> Result:
    if figure is None or figure.needs:
        return unanswered(f"To answer: {figure.says if figure else 'what the tables need of the vent'}.", needs=figure.needs if figure else ())
    return engineer(f"{figure.says[:1].upper()}{figure.says[1:]}: it needs a design.")
