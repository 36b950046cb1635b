"""When the next backup is due, and whose it is to make: one among all processes and machines.

Three rows of `chore`, under the first organisation. `backup` is the claim: whoever changes it from
what it saw makes the backup, and renews its time while at work. `backup_good` and `backup_failed`
are the last of each.
"""

import secrets
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from sqlalchemy import Connection, Select, func, insert, select, update
from sqlalchemy.exc import IntegrityError

from heaterapp.archive.database import Database
from heaterapp.archive.office_tables import chore
from heaterapp.archive.tables import organisation

CLAIM, GOOD, FAILED = "backup", "backup_good", "backup_failed"
DEAD_AFTER = timedelta(minutes=15)
"""A claim not renewed for so long is taken over: its process was killed, or its machine is gone."""
AGAIN_AFTER_FAILURE = timedelta(hours=1)
OVERDUE = 2
LONGEST = 300


@dataclass(frozen=True)
class Told:
    """The last backup of its kind: when it ended, and its name or why it failed."""

    at: str
    said: str


@dataclass(frozen=True)
class Standing:
    """What is known of the backups; `running` is when the one being made gave its last sign, or None."""

    running: str | None
    good: Told | None
    failed: Told | None

    @property
    def failing(self) -> Told | None:
        """The last failure, unless a good backup came after it."""
        if self.failed and (self.good is None or self.failed.at > self.good.at):
            return self.failed
        return None

    def next_due(self, hours: int) -> datetime | None:
        """Return when the next one is due with one every `hours`; None means at once."""
        every = timedelta(hours=hours)
        due = moment(self.good.at) + every if self.good else None
        if self.failing:
            again = moment(self.failing.at) + min(AGAIN_AFTER_FAILURE, every)
            due = max(due, again) if due else again
        return due

    def overdue(self, hours: int, now: datetime) -> bool:
        """Say whether the last good one is older than twice the interval, or none was ever made."""
        if self.good is None:
            return self.failed is not None
        return now - moment(self.good.at) > OVERDUE * timedelta(hours=hours)


def moment(at: str) -> datetime:
    return datetime.strptime(at, "%Y-%m-%dT%H:%M:%SZ").replace(tzinfo=UTC)


class Timetable:
    """Reads and writes the three rows."""

    def __init__(self, database: Database):
        self._database = database

    def standing(self) -> Standing:
        with self._database.read() as connection:
            found = {row.name: row for row in connection.execute(_ours())}
        told = {name: Told(found[name].done_at, found[name].said) for name in (GOOD, FAILED) if name in found}
        claim = found.get(CLAIM)
        running = claim.begun_at if claim is not None and self._is_held(claim) else None
        return Standing(running, told.get(GOOD), told.get(FAILED))

    def is_due(self, hours: int) -> bool:
        due = self.standing().next_due(hours)
        return due is None or due <= self._database.moment()

    def is_overdue(self, hours: int) -> bool:
        return self.standing().overdue(hours, self._database.moment())

    def claim(self, hours: int | None = None) -> str | None:
        """Take the next backup on; return the token of the claim, or None when somebody else has it.

        hours  only when one is due with one every so many; None takes it on in any case
        """
        token, now = secrets.token_hex(16), self._database.now()
        with self._database.read() as connection:
            firm = connection.execute(select(func.min(organisation.c.organisation))).scalar()
            seen = connection.execute(_ours(CLAIM)).first()
        # Looked at after the claim was read: a backup that ends between the two changes the claim.
        if firm is None or (hours is not None and not self.is_due(hours)):
            return None
        fresh = {"begun_at": now, "done_at": None, "said": token}
        try:
            with self._database.write() as connection:
                if seen is None:
                    connection.execute(insert(chore).values(organisation=firm, name=CLAIM, **fresh))
                    return token
                if self._is_held(seen):
                    return None
                taken = connection.execute(
                    update(chore)
                    .where(
                        chore.c.organisation == firm,
                        chore.c.name == CLAIM,
                        chore.c.said == seen.said,
                        chore.c.begun_at == seen.begun_at,
                    )
                    .values(fresh)
                )
        except IntegrityError:
            return None
        return token if taken.rowcount == 1 else None

    def renew(self, token: str) -> bool:
        """Say that the work goes on; False when somebody took it over."""
        with self._database.write() as connection:
            return self._change(connection, token, {"begun_at": self._database.now()})

    def done(self, token: str, name: str) -> None:
        """Write down a good backup by its folder's name, and let the claim go."""
        self._end(token, GOOD, name)

    def failed(self, token: str, why: str) -> None:
        """Write down why there is no backup, and let the claim go."""
        self._end(token, FAILED, why)

    def note(self, name: str) -> None:
        """Write down a good backup that nobody had to claim."""
        with self._database.write() as connection:
            self._tell(connection, GOOD, name)

    def _end(self, token: str, kind: str, said: str) -> None:
        with self._database.write() as connection:
            self._change(connection, token, {"done_at": self._database.now()})
            self._tell(connection, kind, said)

    def _tell(self, connection: Connection, kind: str, said: str) -> None:
        now = self._database.now()
        fresh = {"begun_at": now, "done_at": now, "said": said[:LONGEST]}
        firm = connection.execute(select(func.min(organisation.c.organisation))).scalar()
        if firm is None:
            return
        this = (chore.c.organisation == firm, chore.c.name == kind)
        if connection.execute(update(chore).where(*this).values(fresh)).rowcount == 0:
            connection.execute(insert(chore).values(organisation=firm, name=kind, **fresh))

    def _change(self, connection: Connection, token: str, values: dict[str, str]) -> bool:
        ours = (chore.c.name == CLAIM, chore.c.said == token, chore.c.done_at.is_(None))
        return connection.execute(update(chore).where(*ours).values(values)).rowcount == 1

    def _is_held(self, claim: object) -> bool:
        if claim.done_at is not None:
            return False
        return self._database.moment() - moment(claim.begun_at) <= DEAD_AFTER


def _ours(*names: str) -> Select:
    firm = select(func.min(organisation.c.organisation)).scalar_subquery()
    return select(chore).where(chore.c.organisation == firm, chore.c.name.in_(names or (CLAIM, GOOD, FAILED)))
