"""Invitations: a link of 192 random bits that makes one person, once, within seven days."""

import secrets
from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy import Row, insert, select, update

from heaterapp.archive import checking, faults, log, office_tables, tables
from heaterapp.archive.canonical import sha256
from heaterapp.archive.database import Database, stamp
from heaterapp.archive.errors import NotFound
from heaterapp.archive.people import governs, hashed, insert_person, read_person
from heaterapp.archive.shapes import ROLES, Person

TOKEN_BYTES = 24
LASTS = timedelta(days=7)
DEAD = "There is no invitation under this link."
_table = office_tables.invite
_inviter = tables.person
_with_inviter = select(
    _table, _inviter.c.role.label("inviter_role"), _inviter.c.disabled.label("inviter_disabled")
).join(_inviter, (_inviter.c.organisation == _table.c.organisation) & (_inviter.c.id == _table.c.created_by))


@dataclass(frozen=True)
class Invite:
    """An invitation. Its token is stored nowhere; `person` is who came of it."""

    id: int
    organisation: int
    name: str
    role: str
    licence: str
    created_at: str
    created_by: int
    expires_at: str
    used_at: str | None
    person: int | None
    revoked_at: str | None


class Invites:
    """Makes, closes and takes up invitations; each stands in the log without a name."""

    def __init__(self, database: Database):
        self._database = database

    def make(
        self, organisation: int, by: int, name: str, role: str, licence: str = "", now: datetime | None = None
    ) -> tuple[str, Invite]:
        """Return a new token, told only this once, and its invitation.

        Raises Invalid; NotFound where `by` is no owner.
        """
        token = secrets.token_urlsafe(TOKEN_BYTES)
        moment = self._database.moment(now)
        values = {
            "organisation": organisation,
            "token_hash": sha256(token),
            "name": checking.line("name", name, 200, empty=False),
            "role": checking.choice("role", role, ROLES),
            "licence": checking.line("licence", licence, 100),
            "created_at": stamp(moment),
            "created_by": by,
            "expires_at": stamp(moment + LASTS),
        }
        with self._database.write() as connection:
            log.lock(connection, organisation)
            if not governs(read_person(connection, organisation, by)):
                raise NotFound("No such owner.")
            made = connection.execute(insert(_table).values(values)).inserted_primary_key[0]
            body = {"invite": made, "what": "made", "role": values["role"]}
            log.append(connection, organisation, "invite", values["created_at"], by, None, body)
            row = connection.execute(select(_table).where(_table.c.id == made)).one()
        return token, _shape(row)

    def lookup(self, token: str, now: datetime | None = None) -> Invite | None:
        """Return the invitation a token opens; None when unknown, used, closed, late or of no owner now."""
        moment = self._database.now(now)
        with self._database.read() as connection:
            row = connection.execute(_by_token(token)).first()
        return _shape(row) if row and _is_live(row, moment) else None

    def waiting(self, organisation: int, now: datetime | None = None) -> list[Invite]:
        """Return the invitations that can still be taken up, newest first."""
        moment = self._database.now(now)
        query = _with_inviter.where(_table.c.organisation == organisation).order_by(_table.c.id.desc())
        with self._database.read() as connection:
            return [_shape(row) for row in connection.execute(query) if _is_live(row, moment)]

    def revoke(self, organisation: int, invite: int, by: int) -> None:
        """Close an invitation for good; harmless when it is closed already. Raises NotFound."""
        this = (_table.c.organisation == organisation, _table.c.id == invite)
        now = self._database.now()
        with self._database.write() as connection:
            log.lock(connection, organisation)
            read_person(connection, organisation, by)
            row = connection.execute(select(_table).where(*this)).first()
            if row is None:
                raise NotFound("No such invitation.")
            if row.revoked_at is None and row.used_at is None:
                connection.execute(update(_table).where(*this).values(revoked_at=now))
                body = {"invite": invite, "what": "revoked", "role": row.role}
                log.append(connection, organisation, "invite", now, by, None, body)

    def take(self, token: str, login: str, password: str, now: datetime | None = None) -> Person:
        """Make the invited person, once. Raises NotFound for a dead link, Invalid for name or password."""
        if self.lookup(token, now) is None:
            raise NotFound(DEAD)
        kept = {"login": checking.login(login), "password_hash": hashed(password)}
        moment = self._database.now(now)
        with self._database.write() as connection:
            row = connection.execute(_by_token(token)).first()
            if row is not None:
                log.lock(connection, row.organisation)
                # Another may have taken it up while this one waited for the lock.
                row = connection.execute(_by_token(token)).first()
            if row is None or not _is_live(row, moment):
                raise NotFound(DEAD)
            faults.at("invite_taken")
            kept |= {"name": row.name, "role": row.role, "licence": row.licence, "created_at": moment}
            person = insert_person(connection, row.organisation, kept)
            faults.at("invite_person_made")
            used = update(_table).where(_table.c.id == row.id)
            connection.execute(used.values(used_at=moment, person=person.id))
            body = {"invite": row.id, "what": "used", "person": person.id, "role": person.role}
            log.append(connection, row.organisation, "invite", moment, person.id, None, body)
            faults.at("invite_logged")
        return person


def _by_token(token: str):
    hashed_token = sha256(token[:100].encode("utf-8", "replace"))
    return _with_inviter.where(_table.c.token_hash == hashed_token)


def _is_live(row: Row, moment: str) -> bool:
    invited = row.inviter_role == "owner" and not row.inviter_disabled
    return invited and row.used_at is None and row.revoked_at is None and row.expires_at > moment


def _shape(row: Row) -> Invite:
    return Invite(**{name: getattr(row, name) for name in Invite.__dataclass_fields__})
