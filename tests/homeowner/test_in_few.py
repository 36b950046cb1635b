"""What is one is said in the singular, and a place without a room has none said of it."""

from __future__ import annotations

import re

import pytest

from tests.homeowner.plain_text import as_text
from tests.homeowner.records import of_job, page, record

ONE = re.compile(r"(?<!\d )(?<![\d.,/])(?:1|\d/\d+) (?:pulgadas|galones|inches|gallons)\b")
OUTDOORS = "gas_tankless_outdoors_irc_2015"


@pytest.mark.parametrize(
    ("different", "english", "spanish"),
    [
        ({"relief_end": "outdoors", "relief_end_height_in": "1"}, "outdoors, 1 inch above", "a 1 pulgada del suelo."),
        ({"relief_end": "floor", "relief_end_height_in": "0.5"}, "ends 1/2 inch above", "a 1/2 pulgada del piso."),
        ({"relief_end": "receptor", "relief_end_height_in": "1.5"}, "1 1/2 inches above", "1 1/2 pulgadas por encima"),
        ({"strap_heights_in": ["1"], "tank_base_in": None}, "1 strap, at 1 inch from", "1 correa, a 1 pulgada del piso."),
        ({"strap_heights_in": ["1", "60"], "tank_base_in": None}, "at 1 and 60 inches from", "a 1 y 60 pulgadas del piso."),
        ({"storage_gal": "1"}, "holds 1 gallon.", "tiene 1 galón."),
        ({"expansion_tank_gal": "1", "expansion_acceptance_gal": None}, "tank of 1 gallon,", "de 1 galón, aire"),
    ],
)  # fmt: skip
def test_one_is_not_told_as_many(different: dict[str, object], english: str, spanish: str) -> None:
    made = record("gas_storage_us_ca", **different)
    for language, says in (("en", english), ("es", spanish)):
        text = as_text(page(made, language))
        assert says in text
        assert not ONE.search(text), ONE.search(text)
    assert ONE.search("a 1 pulgadas del suelo")


def test_a_heater_outdoors_has_its_shutoff_near_it_and_in_no_room() -> None:
    for language, near, room in (
        ("en", "The gas shutoff is near the heater, in reach.", "same room"),
        ("es", "La llave de gas está cerca del calentador, a la mano.", "mismo cuarto"),
    ):
        outdoors, inside = (as_text(page(of_job(name), language)) for name in (OUTDOORS, "gas_storage_us_ca"))
        assert near in outdoors
        assert room not in outdoors
        assert room in inside
