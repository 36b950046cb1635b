"""Sign-ins as a person knows them: the device in plain words, times in the firm's own time zone."""

from __future__ import annotations

from datetime import datetime
from typing import NamedTuple

from heaterapp.archive import Organisation, Session
from heaterapp.firm_clock import moment_words
from heaterapp.firm_days import zone_of
from heaterapp.languages import say

BROWSERS = (
    ("Edg", "Edge"),
    ("OPR/", "Opera"),
    ("SamsungBrowser", "Samsung Internet"),
    ("Firefox", "Firefox"),
    ("FxiOS", "Firefox"),
    ("CriOS", "Chrome"),
    ("Chrome", "Chrome"),
    ("Safari", "Safari"),
)
SYSTEMS = (
    ("iPhone", "iPhone"),
    ("iPad", "iPad"),
    ("Android", "Android"),
    ("Windows", "Windows"),
    ("CrOS", "Chromebook"),
    ("Macintosh", "Mac"),
    ("Linux", "Linux"),
)


class Device(NamedTuple):
    """A sign-in as it is listed."""

    id: int
    words: str
    here: bool
    seen: str
    began: str
    ends: str


def device_words(agent: str) -> str:
    """What a browser calls itself, in the words of who uses it.

    >>> device_words("Mozilla/5.0 (iPhone; CPU iPhone OS 18_1 like Mac OS X) Version/18.1 Safari/604.1")
    'Safari on iPhone'
    >>> device_words("Mozilla/5.0 (X11; Linux x86_64) AppleWebKit/537.36 Chrome/140.0.0.0 Safari/537.36")
    'Chrome on Linux'
    >>> device_words("")
    'Unknown browser'
    """
    browser = next((name for mark, name in BROWSERS if mark in agent), "")
    system = next((name for mark, name in SYSTEMS if mark in agent), "")
    if browser and system:
        return f"{browser} on {system}"
    return browser or (f"Browser on {system}" if system else "Unknown browser")


def local(moment: str, firm: Organisation) -> str:
    """A stored time in the firm's time zone, with the zone's own short name.

    moment  `YYYY-MM-DDTHH:MM:SSZ`, or empty
    """
    if not moment:
        return ""
    return moment_words(datetime.fromisoformat(moment).astimezone(zone_of(firm.settings)))


def _shown(words: str) -> str:
    browser, on, system = words.partition(" on ")
    return say("{browser} on {system}", browser=say(browser), system=system) if on else say(words)


def device(session: Session, firm: Organisation, here: int | None = None) -> Device:
    """A sign-in as it is listed; `here` is the one that asks."""
    return Device(
        session.id,
        _shown(device_words(session.device)),
        session.id == here,
        local(session.last_seen_at, firm),
        local(session.created_at, firm),
        local(session.expires_at, firm),
    )
