"""What the tests of the desk read off its pages, and the days they reckon with."""

from __future__ import annotations

import html
import re
from datetime import date, timedelta
from typing import Any


def day(store: Any, ago: int) -> str:
    """The ISO date so many days before the archive's today."""
    return (date.fromisoformat(store.database.now()[:10]) - timedelta(days=ago)).isoformat()


def hidden(page: str, name: str) -> str:
    """The value of a field, as the page gave it."""
    found = re.search(rf'name="{name}"[^>]*? value="([^"]*)"', page)
    assert found, f"no field {name} on the page"
    return html.unescape(found.group(1))
