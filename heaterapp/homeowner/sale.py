"""What the place's law says when the house is sold, with the strap facts; it never signs for the seller."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from decimal import Decimal
from functools import cache
from importlib.resources import files
from typing import Any

from heaterapp.homeowner.known import Known
from heaterapp.homeowner.numbers import straps
from heaterapp.homeowner.said import Said, day_in_words, number_of

TITLE = Said("When the house is sold", "Cuando se venda la casa")
FOUND_ON = Said("On {day} this was found:", "El {day} se encontró esto:")
FOUND = Said("This was found:", "Se encontró esto:")
NOT_RECORDED = Said("No straps were recorded.", "No se anotaron correas.")
ANCHORS = {
    "lag_in_stud": Said(
        "Fixed to the studs with lag screws.", "Fijación a los montantes con tirafondos."
    ),
    "masonry_anchor": Said(
        "Fixed to concrete or masonry.", "Fijación a concreto o a mampostería."
    ),
    "drywall_only": Said("Fixed to the wallboard alone.", "Fijación solo al tablero de yeso."),
}


@cache
def laws() -> Mapping[str, Mapping[str, Any]]:
    """Return place -> what its law says of a sale, as `sale.toml` has it."""
    text = files(__package__).joinpath("sale.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def law_words(law: Mapping[str, Any]) -> Said:
    """Return a law's own sentence in both languages, with its source."""
    return Said(law["en"], law["es"], (law["source"],))


def sentences(known: Known, language: str) -> tuple[str, ...]:
    """Return what the place asks of a seller, and the strap facts; nothing where it asks nothing."""
    law = laws().get(known.place)
    return tuple(_said(known, law, language)) if law and _is_asked(known, law) else ()


def _is_asked(known: Known, law: Mapping[str, Any]) -> bool:
    gallons = number_of(known.answers.get("storage_gal"), "gal")
    small = not gallons or Decimal(gallons.replace(",", "")) <= law["largest_gal"]
    home = not law["homes"] or not known.says("building_kind", "business")
    return known.kind in law["about"] and small and home


def _said(known: Known, law: Mapping[str, Any], language: str) -> Iterator[str]:
    yield law_words(law).of(language)
    found = list(straps(known, language)) or [NOT_RECORDED.of(language)]
    anchor = ANCHORS.get(str(known.answers.get("strap_anchor")))
    if anchor and known.is_strapped and not known.as_usual("strap_anchor"):
        found.append(anchor.of(language))
    day = day_in_words(known.work_date, language)
    yield " ".join([(FOUND_ON if day else FOUND).of(language, day=day), *found])
