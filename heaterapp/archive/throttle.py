"""Slow-down on guessing: a growing delay after failures, then a stop for a while.

Every try is counted before it is judged and taken back when it succeeds, so that
many guesses sent at once cannot slip past the count.
"""

import ipaddress
from collections.abc import Sequence
from datetime import datetime
from typing import NamedTuple

from sqlalchemy import Connection, delete, insert, select, update

from heaterapp.archive import tables
from heaterapp.archive.canonical import sha256
from heaterapp.archive.database import Database
from heaterapp.archive.errors import Invalid, TooManyTries

WINDOW_S = 15 * 60
STOP_S = 15 * 60
LONGEST_DELAY_S = 64
FORGET_S = 24 * 3600


class Limit(NamedTuple):
    free: int
    """Failures that cost nothing yet; the next one waits 1 s, then 2, 4 ..."""
    stop: int
    """At this many failures nothing more is tried for 15 minutes."""


LIMITS = {
    "login": Limit(3, 10),
    # An office shares one address, so it may fail more often than one person.
    "address": Limit(10, 40),
    "check": Limit(10, 30),
    "share": Limit(10, 30),
    # No guess: a paper in another language or sealed, each made anew for who has a link.
    "translated": Limit(10, 30),
    # No guess either: a file that the office has looked at.
    "file": Limit(10, 30),
    "invite": Limit(10, 30),
    "passkey": Limit(10, 30),
    # One passkey, tried from wherever.
    "credential": Limit(3, 10),
}
OF_ONE = ("login", "credential")
"""Kinds whose subject is one account; of any other kind it is an address, which many may share."""
_table = tables.throttle


class Throttle:
    """Counts failures per kind and subject (a login name, an internet address)."""

    def __init__(self, database: Database):
        self._database = database

    def attempt(
        self, organisation: int, subjects: Sequence[tuple[str, str]], now: datetime | None = None
    ) -> None:
        """Count one try for each (kind, subject), or raise TooManyTries and count nothing."""
        at = int(self._database.moment(now).timestamp())
        keys = [_key(kind, subject) for kind, subject in subjects]
        with self._database.write() as connection:
            rows = [_row(connection, organisation, *key) for key in keys]
            wait = max((row.blocked_until - at for row in rows if row), default=0)
            if wait > 0:
                raise TooManyTries(wait)
            connection.execute(delete(_table).where(_table.c.last_at < at - FORGET_S))
            for (kind, subject), row in zip(keys, rows, strict=True):
                past = row.failures if row and row.last_at > at - WINDOW_S else 0
                _put(connection, organisation, kind, subject, past + 1, at)

    def succeeded(self, organisation: int, subjects: Sequence[tuple[str, str]]) -> None:
        """Forget a login's or a passkey's failures; take back one try of an address."""
        with self._database.write() as connection:
            for kind, subject in [_key(*pair) for pair in subjects]:
                row = _row(connection, organisation, kind, subject)
                if row is None:
                    continue
                kept = 0 if kind in OF_ONE else row.failures - 1
                _put(connection, organisation, kind, subject, max(kept, 0), row.last_at)


def delay_s(kind: str, failures: int) -> int:
    """Return the seconds to wait after so many failures of this kind.

    >>> [delay_s("login", n) for n in (3, 4, 5, 9, 10)]
    [0, 1, 2, 32, 900]
    """
    limit = LIMITS[kind]
    if failures >= limit.stop:
        return STOP_S
    return min(2 ** (failures - limit.free - 1), LONGEST_DELAY_S) if failures > limit.free else 0


def _key(kind: str, subject: str) -> tuple[str, str]:
    if kind not in LIMITS:
        raise Invalid("kind", "one of " + ", ".join(LIMITS))
    if kind not in OF_ONE:
        subject = _network(subject)
    return kind, sha256(subject[:300].casefold().encode("utf-8", "replace"))


def _network(address: str) -> str:
    # One household holds a whole /64 of the newer addresses and can use a fresh one for each guess.
    try:
        read = ipaddress.ip_address(address)
    except ValueError:
        return address
    return str(ipaddress.ip_network((address, 64), strict=False)) if read.version == 6 else str(read)


def _row(connection: Connection, organisation: int, kind: str, subject: str):
    return connection.execute(
        select(_table).where(
            _table.c.organisation == organisation, _table.c.kind == kind, _table.c.subject_hash == subject
        )
    ).first()


def _put(connection: Connection, organisation: int, kind: str, subject: str, failures: int, at: int) -> None:
    values = {"failures": failures, "last_at": at, "blocked_until": at + delay_s(kind, failures)}
    changed = connection.execute(
        update(_table)
        .where(_table.c.organisation == organisation, _table.c.kind == kind, _table.c.subject_hash == subject)
        .values(values)
    )
    if not changed.rowcount:
        connection.execute(
            insert(_table).values(organisation=organisation, kind=kind, subject_hash=subject, **values)
        )
