"""What the place's law says when the house is sold, with the strap facts; it never signs for the seller.

The box may be read alone: where the bracing is not as the code asks, it says so itself.
"""

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
BRACING = "seismic."
FAILS = Said(
    "The bracing is not as the code asks. It is still to be put right.",
    "La sujeción no está como pide el código. Todavía hay que arreglarla.",
)
FAILED = Said(
    "The bracing was not as the code asks. It had to be put right.",
    "La sujeción no estaba como pide el código. Había que arreglarla.",
)
OPEN = Said("Not all of the bracing was checked.", "No se revisó toda la sujeción.")
UNDECIDED = Said(
    "Part of the bracing was left to be decided.", "Una parte de la sujeción quedó por decidir."
)
BARRED = ((FAILS, ("fails",)), (OPEN, ("unanswered", "error")), (UNDECIDED, ("engineer", "authority")))
"""What is said of bracing that the paper does not vouch for, the gravest first, by how it was judged."""


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
    if barred := _barred(known):
        stood = FAILED if barred is FAILS and not known.standing.is_current else barred
        found.append(stood.of(language))
    day = day_in_words(known.work_date, language)
    yield " ".join([(FOUND_ON if day else FOUND).of(language, day=day), *found])


def _barred(known: Known) -> Said | None:
    """Return why the facts are no proof that the heater is braced; None where nothing is open."""
    judged = {
        one["verdict"]
        for one in known.report["findings"]
        if one["kind"] == "rule" and one["check"].startswith(BRACING) and not one.get("accepted")
    }
    return next((words for words, verdicts in BARRED if judged.intersection(verdicts)), None)
