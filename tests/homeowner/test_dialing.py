"""A tap calls the number that was meant, or there is nothing to tap."""

from __future__ import annotations

import pytest

from heaterapp.homeowner.dialing import dial_of, numbers_in, pieces
from heaterapp.web.firm_settings import LINES, Wrong


@pytest.mark.parametrize(
    ("line", "dialed"),
    [
        ("24/7 555-010-0142", ["5550100142"]),
        ("800-555-0111 (24/7)", ["8005550111"]),
        ("800-555-0111 (24 h)", ["8005550111"]),
        ("555-0142, 24 hours a day", ["5550142"]),
        ("555-0142 / 555-0143", ["5550142", "5550143"]),
        ("555-0142/555-0143", ["5550142", "5550143"]),
        ("555-0142 - 555-0143", ["5550142", "5550143"]),
        ("555-0142 555-0143", ["5550142", "5550143"]),
        ("555-0142 (555) 010-0143", ["5550142", "5550100143"]),
        ("(555) 010-0142 ext. 7 or 555/010-0143", ["5550100142;ext=7", "5550100143"]),
        ("1-800-555-0111; +1 (800) 555.0112x3", ["18005550111", "+18005550112;ext=3"]),
        ("800\u2013555\u20130111", ["8005550111"]),
        ("15550100142", ["15550100142"]),
        ("+44 20 7946 0000 / +44 20 7946 0001", ["+442079460000", "+442079460001"]),
        ("911", ["911"]),
    ],
)
def test_a_number_is_dialed_as_it_is_written(line: str, dialed: list[str]) -> None:
    assert [dial_of(one) for one in numbers_in(line)] == dialed
    told = pieces(f"Gas company: {line}.", numbers_in(line))
    assert [one.dial for one in told if one.dial] == dialed
    assert "".join(one.words for one in told) == f"Gas company: {line}."


IN_DOUBT = (
    "25550100142", "555-0142/43", "555-0142 24", "1 555-0142", "1555-0142", "44 555 010 0142", "555-010-01422",
    "55501425550143", "123-456-789-0123", "1-888-GAS-5550142", "1-800-GASLEAK", "800\u00b7555-0111", "555-0142-GAS",
    "+555-0142", "2026-11-27", "day and night", "\u0665\u0665\u0665-\u0660\u0661\u0664\u0662",
)  # fmt: skip


@pytest.mark.parametrize("line", IN_DOUBT)
def test_digits_in_doubt_are_no_number_and_no_emergency_phone(line: str) -> None:
    assert numbers_in(line) == ()
    with pytest.raises(Wrong, match="a phone number of 7 or 10 digits, such as 555-0142"):
        LINES["gas_emergency_phone"].read(line)
