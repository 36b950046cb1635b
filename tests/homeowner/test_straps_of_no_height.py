"""Straps that are there are never told as missing because nobody could take their heights."""

from __future__ import annotations

from typing import Any

import pytest

from heaterapp.homeowner import LANGUAGES
from heaterapp.sheet.draw import straps_words
from tests.homeowner.records import answers_of, page, record

JOB = "gas_storage_us_ca"
EXCUSE = {"could_not_measure": "shelving in front of the tank"}
TOLD = {
    "unmeasured": (
        {"strap_heights_in": EXCUSE},
        "The tank is strapped. How high the straps are could not be measured.",
        "El tanque tiene correas. No se pudo medir a qué altura están las correas.",
        "Strapped; how high the straps are could not be measured.",
    ),
    "left out": (
        {"strap_heights_in": None},
        "The tank is strapped. How high the straps are was not written down.",
        "El tanque tiene correas. No se anotó a qué altura están las correas.",
        "Strapped; how high the straps are is not recorded.",
    ),
    "of no kind": (
        {"strap_heights_in": EXCUSE, "strap_kind": None},
        "How high the straps are could not be measured.",
        "No se pudo medir a qué altura están las correas.",
        "How high the straps are could not be measured.",
    ),
}


@pytest.mark.parametrize("case", TOLD)
def test_they_are_told_in_the_numbers_the_sale_the_care_and_the_drawing(case: str) -> None:
    different, english, spanish, drawn = TOLD[case]
    made = record(JOB, **different)
    fitted = "strap_kind" not in different
    for language, said, wall in zip(
        LANGUAGES, (english, spanish), ("Fixed to the studs", "Fijación a los montantes"), strict=True
    ):
        told = page(made, language)
        assert said in " ".join(one.sentence for one in told.numbers)
        assert said in told.sale[1]
        assert (wall in told.sale[1]) is fitted
        assert not [one for one in told.sale if "No straps" in one or "No se anotaron correas" in one]
    care = {what for what, _ in page(made).care}
    assert ("Look at the straps" in care) is fitted
    assert ("look at the tank, its straps, the vent" in page(made).leave_alone[-1]) is fitted
    assert drawn in drawing(different)
    assert "No straps recorded." not in drawing(different)


def drawing(different: dict[str, Any]) -> list[str]:
    """What the certificate's drawing says of these answers."""
    return straps_words({**answers_of(JOB), **different}, {"findings": [], "figures": {}})


def test_the_drawing_says_that_there_is_none_only_where_none_was_recorded() -> None:
    for different in (
        {"strap_kind": "none", "strap_heights_in": None},
        {"strap_kind": None, "strap_heights_in": None},
    ):
        assert "No straps recorded." in drawing(different), different
    assert "Straps found at 36, 68 in." in drawing({})
    high = drawing({"strap_heights_in": ["90"]})
    assert "The straps recorded are higher or lower than the tank; none is drawn." in high
