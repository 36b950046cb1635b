"""A day as people read it, in the language spoken now: on papers, on pages and on the phone alike."""

from __future__ import annotations

from datetime import date

from ..languages import say

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def day_words(day: str) -> str:
    """Say an ISO date, or the beginning of a stamp, as it is read; anything else as it is.

    >>> day_words("2026-11-26"), day_words("2026-03-01T10:00:00Z"), day_words("next week")
    ('26 Nov 2026', '1 Mar 2026', 'next week')
    """
    try:
        read = date.fromisoformat(day[:10])
    except ValueError:
        return day
    return f"{read.day} {say(MONTHS[read.month - 1])} {read.year}"
