"""Passkeys: the public keys that sign people in, and the challenges that were answered once."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy import Row, delete, insert, select, update
from sqlalchemy.exc import IntegrityError

from heaterapp.archive import checking, log, office_tables
from heaterapp.archive.canonical import sha256
from heaterapp.archive.columns import LARGEST_WHOLE
from heaterapp.archive.database import Database, stamp
from heaterapp.archive.errors import Invalid, NotFound
from heaterapp.archive.people import read_person
from heaterapp.archive.shapes import Person

MOST = 10
CHALLENGE_LASTS = timedelta(minutes=5)
_table = office_tables.passkey
_spent = office_tables.challenge


@dataclass(frozen=True)
class Passkey:
    """One passkey: `credential` is its id in base64url as the browser gives it, `public_key` COSE bytes."""

    id: int
    organisation: int
    person: int
    credential: str
    public_key: bytes
    sign_count: int
    name: str
    created_at: str
    last_used_at: str | None


class Passkeys:
    """Keeps, finds and removes passkeys; what they answer is judged by the caller."""

    def __init__(self, database: Database):
        self._database = database

    def add(
        self, organisation: int, person: int, credential: str, public_key: bytes, sign_count: int, name: str
    ) -> Passkey:
        """Keep a person's new passkey. Raises Invalid for one that anybody has, or for the eleventh."""
        if not 0 <= sign_count <= LARGEST_WHOLE:
            raise Invalid("passkey", "one that counts its uses from the beginning")
        now = self._database.now()
        values = {
            "organisation": organisation,
            "person": person,
            "credential": checking.line("passkey", credential, 1400, empty=False),
            "public_key": checking.content("passkey", public_key, 4000),
            "sign_count": sign_count,
            "name": checking.line("passkey_name", name, 100, empty=False),
            "created_at": now,
        }
        with self._database.write() as connection:
            log.lock(connection, organisation)
            owner = read_person(connection, organisation, person)
            if owner.disabled:
                raise NotFound("No such person.")
            if connection.execute(select(_table.c.id).where(_table.c.credential == credential)).first():
                raise Invalid("passkey", "one that is not kept here yet")
            mine = _table.c.organisation == organisation, _table.c.person == person
            if len(connection.execute(select(_table.c.id).where(*mine)).all()) >= MOST:
                raise Invalid("passkey", f"at most {MOST} passkeys a person: remove one first")
            made = connection.execute(insert(_table).values(values)).inserted_primary_key[0]
            _log(connection, organisation, now, person, made, "added")
            return _shape(connection.execute(select(_table).where(_table.c.id == made)).one())

    def all_for(self, organisation: int, person: int) -> list[Passkey]:
        """Return a person's passkeys, oldest first."""
        query = select(_table).where(_table.c.organisation == organisation, _table.c.person == person)
        with self._database.read() as connection:
            return [_shape(row) for row in connection.execute(query.order_by(_table.c.id))]

    def by_credential(self, credential: str) -> tuple[Passkey, Person] | None:
        """Return a passkey and its person with proof, None when unknown or the person may not sign in."""
        with self._database.read() as connection:
            row = connection.execute(select(_table).where(_table.c.credential == credential[:1400])).first()
            if row is None:
                return None
            person = read_person(connection, row.organisation, row.person, proving=True)
        return None if person.disabled else (_shape(row), person)

    def used(self, organisation: int, passkey: int, before: int, after: int) -> bool:
        """Note a use and its sign count; False when the count moved meanwhile, or did not grow.

        before, after  the count the answer was judged against, and the one it carries; an
                       authenticator that keeps no count always says 0
        """
        if after <= before and (before, after) != (0, 0):
            return False
        this = (_table.c.organisation == organisation, _table.c.id == passkey, _table.c.sign_count == before)
        with self._database.write() as connection:
            changed = update(_table).where(*this).values(sign_count=after, last_used_at=self._database.now())
            return connection.execute(changed).rowcount == 1

    def remove(self, organisation: int, person: int, passkey: int, by: int) -> None:
        """Remove a person's passkey for good. Raises NotFound, also for another person's."""
        this = (_table.c.organisation == organisation, _table.c.person == person, _table.c.id == passkey)
        now = self._database.now()
        with self._database.write() as connection:
            log.lock(connection, organisation)
            if not connection.execute(delete(_table).where(*this)).rowcount:
                raise NotFound("No such passkey.")
            _log(connection, organisation, now, by, passkey, "removed", person)

    def remove_by_id(self, organisation: int, passkey: int) -> None:
        """Remove a passkey as the program, after a restore. Raises NotFound."""
        this = (_table.c.organisation == organisation, _table.c.id == passkey)
        now = self._database.now()
        with self._database.write() as connection:
            log.lock(connection, organisation)
            person = connection.execute(select(_table.c.person).where(*this)).scalar()
            if person is None:
                raise NotFound("No such passkey.")
            connection.execute(delete(_table).where(*this))
            _log(connection, organisation, now, None, passkey, "removed", person)

    def spend(self, organisation: int, challenge: bytes, now: datetime | None = None) -> bool:
        """Note that a challenge was answered; False when it was before. Kept for longer than it counts."""
        moment = self._database.moment(now)
        values = {"organisation": organisation, "challenge_hash": sha256(challenge)}
        try:
            with self._database.write() as connection:
                connection.execute(delete(_spent).where(_spent.c.expires_at <= stamp(moment)))
                until = stamp(moment + 2 * CHALLENGE_LASTS)
                connection.execute(insert(_spent).values(expires_at=until, **values))
        except IntegrityError:
            return False
        return True


def _log(
    connection, organisation: int, now: str, by: int | None, passkey: int, what: str, person: int = 0
) -> None:
    body = {"passkey": passkey, "what": what, "person": person or by}
    log.append(connection, organisation, "passkey", now, by, None, body)


def _shape(row: Row) -> Passkey:
    return Passkey(**{name: getattr(row, name) for name in Passkey.__dataclass_fields__})
