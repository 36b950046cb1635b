"""A day or a moment as people read it, by a firm's own clocks and in the language spoken now."""

from __future__ import annotations

import re
from datetime import UTC, datetime

from heaterapp.languages import say
from heaterapp.sheet.days import MONTHS as MONTHS
from heaterapp.sheet.days import day_words as day_words

MOMENT = {
    True: "{day}, {hour}:{minute}\u00a0am {zone}", False: "{day}, {hour}:{minute}\u00a0pm {zone}",
}  # fmt: skip
"""Before noon, and from noon on."""
NOON = 12
_STAMP = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}(?:\.[0-9]{1,9})?(?:Z|\+00:00)")


def moment_words(there: datetime) -> str:
    """Say a moment by the clocks of its own zone, and which zone that is.

    >>> from zoneinfo import ZoneInfo
    >>> moment_words(datetime(2026, 11, 26, 16, 12, tzinfo=ZoneInfo("America/Los_Angeles")))
    '26 Nov 2026, 4:12\\xa0pm PST'
    >>> moment_words(datetime(2026, 7, 1, 0, 5, tzinfo=UTC))
    '1 Jul 2026, 12:05\\xa0am UTC'
    """
    hour = there.hour % NOON or NOON
    day, zone = day_words(there.date().isoformat()), zone_word(there)
    return say(MOMENT[there.hour < NOON], day=day, hour=hour, minute=f"{there.minute:02}", zone=zone)


def zone_word(there: datetime) -> str:
    """Say a time zone's short name at that moment.

    >>> from zoneinfo import ZoneInfo
    >>> summer = datetime(2026, 7, 1, tzinfo=ZoneInfo("America/Los_Angeles"))
    >>> zone_word(summer), zone_word(summer.replace(tzinfo=ZoneInfo("America/Sao_Paulo")))
    ('PDT', 'UTC-03')
    """
    name = there.strftime("%Z")
    return name if name[:1].isalpha() else f"UTC{name}"


def moment_of(stamp: str) -> datetime | None:
    """Read a UTC stamp; None for anything else.

    >>> moment_of("2026-03-14T09:26:53.123Z"), moment_of("2026-13-14T09:26:53Z")
    (datetime.datetime(2026, 3, 14, 9, 26, 53, 123000, tzinfo=datetime.timezone.utc), None)
    """
    try:
        return datetime.fromisoformat(stamp).astimezone(UTC) if _STAMP.fullmatch(stamp) else None
    except ValueError:
        return None
