"""Photos that arrived before their job: held for a while, until a record takes them."""

from collections.abc import Collection
from datetime import datetime, timedelta

from sqlalchemy import delete, func, insert, select

from heaterapp.archive import checking, phone_tables
from heaterapp.archive.arriving import LARGEST_PHOTO
from heaterapp.archive.database import Database, stamp
from heaterapp.archive.errors import ArchiveError
from heaterapp.archive.people import read_person
from heaterapp.archive.wish import Photo

HELD_FOR = timedelta(days=30)
MOST_HELD, LARGEST_HELD = 4_000, 1_000_000_000
_table = phone_tables.upload


class HeldFull(ArchiveError):
    """The organisation holds as many photos without a job as it may; older ones go with time."""


class Uploads:
    """An organisation's held photos, each by the SHA-256 of the file that was sent."""

    def __init__(self, database: Database):
        self._database = database

    def hold(
        self, organisation: int, person: int, sha256: str, body: bytes, width: int, height: int
    ) -> tuple[int, int]:
        """Keep a photo as it was made anew here; return width and height of the one that is held.

        The first one kept under a digest stays. Raises NotFound, Invalid, HeldFull.
        """
        kept = checking.content("photo", body, LARGEST_PHOTO)
        with self._database.write() as connection:
            self._sweep(connection, self._database.moment())
            mine = (_table.c.organisation == organisation,)
            known = connection.execute(
                select(_table.c.width, _table.c.height).where(*mine, _table.c.sha256 == sha256)
            ).first()
            if known is not None:
                return known.width, known.height
            count, size = connection.execute(
                select(func.count(), func.coalesce(func.sum(_table.c.size), 0)).where(*mine)
            ).one()
            if count >= MOST_HELD or size + len(kept) > LARGEST_HELD:
                raise HeldFull("Too many photos wait here for their jobs. Send the jobs first.")
            connection.execute(
                insert(_table).values(
                    organisation=organisation,
                    sha256=sha256,
                    person=read_person(connection, organisation, person).id,
                    created_at=self._database.now(),
                    width=width,
                    height=height,
                    size=len(kept),
                    body=kept,
                )
            )
        return width, height

    def held(self, organisation: int, wanted: Collection[str]) -> set[str]:
        """Return which of these digests are held."""
        query = select(_table.c.sha256).where(
            _table.c.organisation == organisation, _table.c.sha256.in_(list(wanted))
        )
        with self._database.read() as connection:
            return set(connection.execute(query).scalars())

    def photos(self, organisation: int, wanted: Collection[str]) -> dict[str, Photo]:
        """Return digest -> the held photo, still without words, for those of these that are held."""
        query = select(_table).where(
            _table.c.organisation == organisation, _table.c.sha256.in_(list(wanted))
        )
        with self._database.read() as connection:
            return {
                row.sha256: Photo("", "", False, "", row.sha256, row.width, row.height, row.body)
                for row in connection.execute(query)
            }

    def let_go(self, organisation: int, taken: Collection[str]) -> None:
        """Let go of photos that a record has already; harmless to repeat."""
        gone = (_table.c.organisation == organisation, _table.c.sha256.in_(list(taken)))
        with self._database.write() as connection:
            connection.execute(delete(_table).where(*gone))

    def sweep(self, now: datetime | None = None) -> int:
        """Let go of what nothing took within 30 days, in every organisation; return how many."""
        with self._database.write() as connection:
            return self._sweep(connection, self._database.moment(now))

    def _sweep(self, connection, moment: datetime) -> int:
        old = delete(_table).where(_table.c.created_at < stamp(moment - HELD_FOR))
        return connection.execute(old).rowcount
