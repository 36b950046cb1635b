"""The address that passkeys are bound to."""

from __future__ import annotations

import ipaddress
from typing import NamedTuple
from urllib.parse import urlsplit

from flask import current_app, request


class Asked(NamedTuple):
    """The site as a browser knows it: `place` is the name that passkeys are bound to."""

    place: str
    origin: str


def asked() -> Asked:
    """The site that passkeys are for, by PUBLIC_URL or by the address that was asked for."""
    address = current_app.config["PUBLIC_URL"] or request.host_url.rstrip("/")
    return Asked(urlsplit(address).hostname or "", address)


def possible() -> bool:
    """Say whether passkeys can be used under this address: a name, with https or on this machine itself."""
    place, origin = asked()
    try:
        ipaddress.ip_address(place)
    except ValueError:
        return bool(place) and (origin.startswith("https:") or place == "localhost")
    return False
