"""Sign-ins kept on the server, so that they end on the server."""

import secrets
from datetime import datetime, timedelta

from sqlalchemy import Connection, Row, bindparam, select, update
from sqlalchemy import insert as insert_into

from heaterapp.archive import tables
from heaterapp.archive.canonical import sha256
from heaterapp.archive.database import Database, stamp
from heaterapp.archive.errors import NotFound, WrongPassword
from heaterapp.archive.organisations import from_row, read_organisation
from heaterapp.archive.shapes import Organisation, Person, Session

TOKEN_BYTES = 32
OFFICE_HOURS, INSTALLER_DAYS = "office_session_hours", "installer_session_days"
LASTS = {OFFICE_HOURS: (12, 168), INSTALLER_DAYS: (30, 90)}
"""How long a sign-in lasts: setting -> what holds without it, and the most."""
SEEN_EVERY_S = 60
_table = tables.session
_person = tables.person
_firm = tables.organisation
_firm_names = tuple(column.name for column in _firm.c)
_joined = select(
    _table,
    _person.c.login,
    _person.c.name,
    _person.c.role,
    _person.c.licence,
    _person.c.disabled,
    *(column.label(f"firm_{column.name}") for column in _firm.c),
)
_joined = _joined.join(
    _person, (_person.c.organisation == _table.c.organisation) & (_person.c.id == _table.c.person)
).join(_firm, _firm.c.organisation == _table.c.organisation)
# Asked with every page: built once.
_by_token = _joined.where(_table.c.token_hash == bindparam("hashed"))


class Sessions:
    """Who is signed in where. Only the SHA-256 of each 256-bit token is stored."""

    def __init__(self, database: Database):
        self._database = database

    def start(
        self,
        organisation: int,
        person: int,
        device: str = "",
        lifetime_s: int | None = None,
        now: datetime | None = None,
        proof: str = "",
    ) -> tuple[str, Session]:
        """Return a new token, told only this once, and its session.

        Lasts as long as the organisation's settings say, else 30 days for an installer and
        12 hours for others; or `lifetime_s` seconds.

        proof  `Person.proof` of who was asked for a sign-in

        Raises NotFound; WrongPassword where another password was set since the proof was given.
        """
        token = secrets.token_urlsafe(TOKEN_BYTES)
        moment = self._database.moment(now)
        with self._database.write() as connection:
            this = select(_person).where(_person.c.organisation == organisation, _person.c.id == person)
            # Held against a change of the person: who ends sessions sees this one, or this sees the change.
            owner = connection.execute(this.with_for_update(key_share=True)).first()
            if owner is None or owner.disabled:
                raise NotFound("No such person.")
            if proof and proof != proof_of(owner.password_hash):
                raise WrongPassword("Another password was set meanwhile.")
            firm = read_organisation(connection, organisation)
            lifetime = lasts(owner.role, firm) if lifetime_s is None else timedelta(seconds=lifetime_s)
            made = connection.execute(
                insert_into(_table).values(
                    organisation=organisation,
                    person=person,
                    token_hash=sha256(token),
                    device="".join(c for c in device[:300] if c.isprintable()),
                    created_at=stamp(moment),
                    last_seen_at=stamp(moment),
                    expires_at=stamp(moment + lifetime),
                )
            )
            row = connection.execute(_joined.where(_table.c.id == made.inserted_primary_key[0])).one()
        return token, _shape(row)

    def find(self, token: str, now: datetime | None = None) -> Session | None:
        """Return the live session of a token and note that it was seen, at most once a minute."""
        hashed = sha256(token[:100].encode("utf-8", "replace"))
        moment = self._database.moment(now)
        with self._database.read() as connection:
            row = connection.execute(_by_token, {"hashed": hashed}).first()
        if row is None or row.ended_at or row.disabled or row.expires_at <= stamp(moment):
            return None
        if row.last_seen_at <= stamp(moment - timedelta(seconds=SEEN_EVERY_S)):
            with self._database.write() as connection:
                seen = update(_table).where(_table.c.id == row.id, _table.c.ended_at.is_(None))
                connection.execute(seen.values(last_seen_at=stamp(moment)))
        return _shape(row)

    def end(self, token: str) -> None:
        """End the token's session; harmless when it has none."""
        self._end(_table.c.token_hash == sha256(token[:100].encode("utf-8", "replace")))

    def end_by_id(self, organisation: int, session: int) -> None:
        """End one session, e.g. of a lost phone. Raises NotFound."""
        if not self._end(_table.c.organisation == organisation, _table.c.id == session):
            raise NotFound("No such session.")

    def end_all(self, organisation: int, person: int) -> None:
        self._end(_table.c.organisation == organisation, _table.c.person == person)

    def all_for(self, organisation: int, person: int) -> list[Session]:
        """Return a person's sessions, ended ones too, newest first."""
        mine = _joined.where(_table.c.organisation == organisation, _table.c.person == person)
        with self._database.read() as connection:
            return [_shape(row) for row in connection.execute(mine.order_by(_table.c.id.desc()))]

    def live(
        self, organisation: int, person: int | None = None, now: datetime | None = None
    ) -> list[Session]:
        """Return the sign-ins that have not ended, of one person or of all, last contact first."""
        open_ones = (
            _table.c.organisation == organisation, _table.c.ended_at.is_(None),
            _table.c.expires_at > self._database.now(now), _person.c.disabled.is_(False),
        )  # fmt: skip
        query = _joined.where(*open_ones).order_by(_table.c.last_seen_at.desc(), _table.c.id.desc())
        if person is not None:
            query = query.where(_table.c.person == person)
        with self._database.read() as connection:
            return [_shape(row) for row in connection.execute(query)]

    def end_own(self, organisation: int, person: int, session: int) -> None:
        """End one session of this person. Raises NotFound, also for another person's."""
        mine = (_table.c.organisation == organisation, _table.c.person == person, _table.c.id == session)
        if not self._end(*mine):
            raise NotFound("No such session.")

    def end_others(self, organisation: int, person: int, keep: int) -> None:
        """End every session of a person but the one that is kept."""
        with self._database.write() as connection:
            end_sessions(connection, self._database.now(), organisation, person, keep)

    def _end(self, *which) -> bool:
        with self._database.write() as connection:
            known = connection.execute(select(_table.c.id).where(*which)).first() is not None
            ended = update(_table).where(*which, _table.c.ended_at.is_(None))
            connection.execute(ended.values(ended_at=self._database.now()))
        return known


def proof_of(password_hash: str) -> str:
    """Return what stands for a kept password outside the archive: nothing can be guessed by it."""
    return sha256(password_hash)


def lasts(role: str, firm: Organisation) -> timedelta:
    """How long a sign-in of this role lasts in this organisation."""
    name = INSTALLER_DAYS if role == "installer" else OFFICE_HOURS
    usual, most = LASTS[name]
    said = firm.settings.get(name)
    fits = isinstance(said, int) and not isinstance(said, bool) and 1 <= said <= most
    count = said if fits else usual
    return timedelta(days=count) if name == INSTALLER_DAYS else timedelta(hours=count)


def end_sessions(
    connection: Connection, now: str, organisation: int, person: int, keep: int | None = None
) -> None:
    """End a person's sessions in the caller's transaction, but for the one that is kept."""
    theirs = [_table.c.organisation == organisation, _table.c.person == person, _table.c.ended_at.is_(None)]
    if keep is not None:
        theirs.append(_table.c.id != keep)
    connection.execute(update(_table).where(*theirs).values(ended_at=now))


def _shape(row: Row) -> Session:
    firm = dict(zip(_firm_names, row[-len(_firm_names) :], strict=True))
    person = Person(row.person, row.organisation, row.login, row.name, row.role, row.licence, row.disabled)
    return Session(
        id=row.id,
        organisation=row.organisation,
        person=person,
        firm=from_row(firm),
        device=row.device,
        created_at=row.created_at,
        last_seen_at=row.last_seen_at,
        ended_at=row.ended_at,
        expires_at=row.expires_at,
    )
