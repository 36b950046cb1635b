"""Every question, declared once, in the order in which a job is measured.

One module a form section; the order of the questions in it is the order on the
form, and the order of the findings that rest on them.
"""

from __future__ import annotations

from dataclasses import replace

from ..question import Question
from . import air, alarms, electric, gas, job, old, place, plate, relief, straps, vent, water

SECTIONS: dict[str, str] = {
    "job": "Job",
    "old": "Old heater",
    "plate": "Data plate",
    "water": "Water and expansion",
    "relief": "Relief and pan",
    "gas": "Gas",
    "vent": "Vent and air",
    "electric": "Electric",
    "place": "Place and straps",
    "alarms": "Alarms and start-up",
}

_MODULES = (
    ("job", job), ("old", old), ("plate", plate), ("water", water), ("relief", relief), ("gas", gas),
    ("vent", vent), ("vent", air), ("electric", electric), ("place", place), ("place", straps),
    ("alarms", alarms),
)  # fmt: skip

CATALOGUE: dict[str, Question] = {
    q.name: replace(q, section=section) for section, module in _MODULES for q in module.QUESTIONS
}
ORDER: dict[str, int] = {name: index for index, name in enumerate(CATALOGUE)}


def as_read(name: str, value: str) -> str:
    """A choice by the label of its question, as it stands inside a sentence.

    >>> as_read("relief_end", "pan"), as_read("connector_kind", "type_b"), as_read("relief_pipe_material", "pex")
    ('in the pan', 'Type B, double wall', 'PEX')
    """
    label = CATALOGUE[name].choices.get(value, value.replace("_", " "))
    kept = (label[:2].isupper() and label[:2].isalpha()) or label.startswith("Type ")
    return label if kept else label[:1].lower() + label[1:]
