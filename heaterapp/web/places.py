"""The places that come with the program, by their titles."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Any

from heaterapp import rules


@cache
def place_titles() -> dict[str, str]:
    """Place name -> its title, for a choice; the invented example towns last."""
    every = [rules.place(name) for name in sorted(set(rules.place_names().values()))]
    return {one.name: one.title for one in sorted(every, key=lambda one: one.about.get("example", False))}


def served(settings: Mapping[str, Any]) -> dict[str, str]:
    """Place name -> title of those that installers of a firm may choose, its own default first.

    settings  the firm's; without `places_served` every place is served
    """
    named, first = settings.get("places_served"), settings.get("place")
    held = {name: title for name, title in place_titles().items() if named is None or name in named}
    held = held or place_titles()
    return {first: held[first], **held} if first in held else dict(held)


def place_title(name: str) -> str:
    """Return what a place is called; its own name when this program no longer has it."""
    try:
        return rules.place(name).title
    except rules.UnknownPlace:
        return name
