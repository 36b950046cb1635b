"""What was changed of a job at the desk, in words."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from heaterapp.archive.desk_shapes import Change
from heaterapp.rules import CATALOGUE
from heaterapp.web.days import shown_day
from heaterapp.web.desk_fields import EVERY, in_words
from heaterapp.web.desk_words import RESULTS


def lines_of(change: Change, names: Mapping[int | None, str]) -> list[tuple[str, str, str]]:
    """Return (label, what it is now, what it was) of one saving, each said once.

    names  of people, by id: who is given a job changes its answers as well, by the same name
    """
    lines: list[tuple[str, str, str]] = []
    for name, (old, new) in change.names.items():
        told = (label_of(name).replace("?", ""), told_of(name, new, names), told_of(name, old, names))
        same = next((at for at, one in enumerate(lines) if one[:2] == told[:2]), None)
        if same is None:
            lines.append(told)
        elif not lines[same][2]:
            lines[same] = told
    return lines


def label_of(name: str) -> str:
    """What a changed thing is called in the list of changes."""
    known = {"installer": "Installer", "result": "Inspection", "booked_for": "Inspection booked for",
             "open_items": "Items to mend", "state": "Job opened again", "opened": "Job opened"}  # fmt: skip
    question = CATALOGUE.get(name)
    held = EVERY.get(name)
    return known.get(name) or (held.label if held else question.label if question else name.replace("_", " "))


def told_of(name: str, said: Any, names: Mapping[int | None, str]) -> str:
    """What a thing was changed to or from, as it is read; nothing for nothing."""
    if said is None or said == "":
        return ""
    if name == "installer":
        return names.get(said, "somebody")
    if name == "booked_for":
        return shown_day(str(said))
    if name == "result":
        return RESULTS.get(str(said), str(said)).lower()
    if name == "state":
        return ""
    return in_words(name, said)
