"""The places that come with the program, by their titles."""

from __future__ import annotations

from functools import cache

from heaterapp import rules


@cache
def place_titles() -> dict[str, str]:
    """Place name -> its title, for a choice; the invented example towns last."""
    every = [rules.place(name) for name in sorted(set(rules.place_names().values()))]
    return {one.name: one.title for one in sorted(every, key=lambda one: one.about.get("example", False))}


def place_title(name: str) -> str:
    """Return what a place is called; its own name when this program no longer has it."""
    try:
        return rules.place(name).title
    except rules.UnknownPlace:
        return name
