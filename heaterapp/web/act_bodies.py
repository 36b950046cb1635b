"""What an entry of the log says, read whatever stands in it: what an import brought was written elsewhere."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from typing import Any

from heaterapp.archive import LogEntry

Body = Mapping[str, Any]
JOB = re.compile(r"[A-Za-z0-9-]{1,64}")


def body_of(entry: LogEntry) -> Body:
    """Return what an entry says, nothing where that cannot be read."""
    try:
        body = json.loads(entry.body)
    except (ValueError, RecursionError):
        return {}
    return {**body, **entry.said} if isinstance(body, dict) else {}


def text(body: Body, name: str, otherwise: str = "") -> str:
    """Return a word or a whole number under a name, `otherwise` where none stands there."""
    value = body.get(name)
    return str(value) if value and isinstance(value, (str, int)) else otherwise


def count(body: Body, name: str) -> int:
    """Return how many there were, 0 where that is not said."""
    value = body.get(name)
    return value if isinstance(value, int) else 0


def words(body: Body, name: str) -> list[str]:
    """Return the words of a list under a name; what is no word is passed over."""
    value = body.get(name)
    return [one for one in value if isinstance(one, str)] if isinstance(value, list) else []


def named(body: Body, name: str) -> Body:
    """Return what stands name by name under a name, nothing where it is something else."""
    value = body.get(name)
    return value if isinstance(value, Mapping) else {}


def changes(body: Body, name: str) -> dict[str, tuple[Any, Any]]:
    """Return key -> (before, after); what is no such pair is passed over."""
    pairs = named(body, name)
    return {key: (one[0], one[1]) for key, one in pairs.items() if isinstance(one, list) and len(one) == 2}


def job_of(body: Body) -> str:
    """Return the job that an entry names, "" where it names none."""
    job = text(body, "job")
    return job if JOB.fullmatch(job) else ""


def printable(said: str) -> str:
    """Return a sentence as a page can carry it: JSON may hold halves of characters."""
    return said.encode("utf-8", "replace").decode()
