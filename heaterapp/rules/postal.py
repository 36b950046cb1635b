"""The parts of a US address that have one way to be written: the ZIP code and the state."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from .questions import CATALOGUE

_ZIP = re.compile(r"\d{5}(-\d{4})?", re.ASCII)
STATES = {
    "AL": "Alabama", "AK": "Alaska", "AZ": "Arizona", "AR": "Arkansas", "CA": "California", "CO": "Colorado",
    "CT": "Connecticut", "DE": "Delaware", "DC": "District of Columbia", "FL": "Florida", "GA": "Georgia",
    "HI": "Hawaii", "ID": "Idaho", "IL": "Illinois", "IN": "Indiana", "IA": "Iowa", "KS": "Kansas",
    "KY": "Kentucky", "LA": "Louisiana", "ME": "Maine", "MD": "Maryland", "MA": "Massachusetts",
    "MI": "Michigan", "MN": "Minnesota", "MS": "Mississippi", "MO": "Missouri", "MT": "Montana",
    "NE": "Nebraska", "NV": "Nevada", "NH": "New Hampshire", "NJ": "New Jersey", "NM": "New Mexico",
    "NY": "New York", "NC": "North Carolina", "ND": "North Dakota", "OH": "Ohio", "OK": "Oklahoma",
    "OR": "Oregon", "PA": "Pennsylvania", "RI": "Rhode Island", "SC": "South Carolina", "SD": "South Dakota",
    "TN": "Tennessee", "TX": "Texas", "UT": "Utah", "VT": "Vermont", "VA": "Virginia", "WA": "Washington",
    "WV": "West Virginia", "WI": "Wisconsin", "WY": "Wyoming", "AS": "American Samoa", "GU": "Guam",
    "MP": "Northern Mariana Islands", "PR": "Puerto Rico", "VI": "US Virgin Islands",
}  # fmt: skip
"""Two letters -> the name, with the district and the territories."""
_LETTERS = {name.casefold(): letters for letters, name in STATES.items()} | {
    letters.casefold(): letters for letters in STATES
}
EXPECTED = {
    "zip": "5 digits, or 5 and 4, such as 95991 or 95991-0142",
    "state": "a US state's two letters, such as CA, or its name",
}


def written(kind: str, text: str) -> str | None:
    """Return a part of an address as it is written, None for what is none.

    kind  "zip" or "state"

    >>> [written("state", text) for text in ("ca", "New  york", "Cal")], written("zip", "95991-0142")
    (['CA', 'NY', None], '95991-0142')
    """
    if kind == "zip":
        return text if _ZIP.fullmatch(text) else None
    return _LETTERS.get(" ".join(text.replace(".", "").split()).casefold())


def badly_written(answers: Mapping[str, Any]) -> dict[str, str]:
    """Return question -> what was expected, for stored parts of an address that are written as none is."""
    found = {}
    for name, value in answers.items():
        kind = CATALOGUE[name].written if name in CATALOGUE else ""
        if kind and isinstance(value, str) and value and written(kind, value) is None:
            found[name] = EXPECTED[kind]
    return found
