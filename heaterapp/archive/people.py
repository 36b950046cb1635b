"""People and how they prove who they are.

Passwords are kept as argon2id with 64 MiB and three passes (the OWASP password
storage guidance asks for at least 12 MiB at three), at most two at a time.
"""

import threading
from dataclasses import replace
from datetime import datetime
from typing import Any

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError
from sqlalchemy import Connection, RowMapping, bindparam, insert, select, update

from heaterapp.archive import checking, faults, log, tables
from heaterapp.archive.checking import LONGEST_PASSWORD, SHORTEST_PASSWORD
from heaterapp.archive.database import Database
from heaterapp.archive.errors import Invalid, NotFound, WrongPassword
from heaterapp.archive.sessions import Sessions, end_sessions, proof_of
from heaterapp.archive.shapes import ROLES, Person
from heaterapp.archive.throttle import Throttle
from heaterapp.archive.ways_in import close_invites, remove_passkeys

hasher = PasswordHasher(time_cost=3, memory_cost=65536, parallelism=1)
_two_at_a_time = threading.Semaphore(2)
_table = tables.person
_one_person = select(_table).where(
    _table.c.organisation == bindparam("firm"), _table.c.id == bindparam("person")
)


class People:
    """The people of an organisation."""

    def __init__(self, database: Database, throttle: Throttle, sessions: Sessions):
        self._database = database
        self._throttle = throttle
        self._sessions = sessions

    def add(
        self, organisation: int, login: str, name: str, role: str, password: str, licence: str = ""
    ) -> Person:
        """Make a person. Raises Invalid, also for a login name the organisation already has."""
        kept = {
            "login": checking.login(login),
            "name": checking.line("name", name, 200, empty=False),
            "role": checking.choice("role", role, ROLES),
            "licence": checking.line("licence", licence, 100),
            "password_hash": hashed(password),
            "created_at": self._database.now(),
        }
        known = select(tables.organisation).where(tables.organisation.c.organisation == organisation)
        with self._database.write() as connection:
            if not connection.execute(known).first():
                raise NotFound("No such organisation.")
            return insert_person(connection, organisation, kept)

    def get(self, organisation: int, person: int) -> Person:
        with self._database.read() as connection:
            return read_person(connection, organisation, person)

    def by_login(self, organisation: int, login: str) -> Person | None:
        with self._database.read() as connection:
            row = _by_login(connection, organisation, login[:300].strip().casefold())
        return _shape(row) if row else None

    def all(self, organisation: int) -> list[Person]:
        with self._database.read() as connection:
            rows = connection.execute(
                select(_table)
                .where(_table.c.organisation == organisation)
                .order_by(_table.c.name, _table.c.id)
            )
            return [_shape(row) for row in rows.mappings()]

    def save(
        self,
        organisation: int,
        person: int,
        *,
        name: str | None = None,
        role: str | None = None,
        licence: str | None = None,
        disabled: bool | None = None,
        by: int | None = None,
    ) -> Person:
        """Change a person; disabling or a new role ends the person's sessions and stands in the log.

        Who governs no more: the invitations that person made are closed with it.

        by  who does it

        Raises NotFound; Invalid, also where nobody would be left who is owner and may sign in.
        """
        changes: dict[str, object] = {}
        if name is not None:
            changes["name"] = checking.line("name", name, 200, empty=False)
        if role is not None:
            changes["role"] = checking.choice("role", role, ROLES)
        if licence is not None:
            changes["licence"] = checking.line("licence", licence, 100)
        if disabled is not None:
            changes["disabled"] = disabled
        now = self._database.now()
        with self._database.write() as connection:
            log.lock(connection, organisation)
            before = read_person(connection, organisation, person)
            if changes:
                connection.execute(_this(organisation, person).values(changes))
            after = read_person(connection, organisation, person)
            if governs(before) and not governs(after) and not _owners(connection, organisation):
                raise Invalid("role", "another owner who can sign in, before the last one goes")
            faults.at("person_changed")
            if after.disabled or after.role != before.role:
                end_sessions(connection, now, organisation, person)
            if not governs(after):
                close_invites(connection, organisation, now, by, person)
            for what in _acts(before, after):
                _log(connection, organisation, now, by, {"person": person, **what})
            faults.at("person_logged")
        return after

    def set_password(
        self,
        organisation: int,
        person: int,
        password: str,
        by: int | None = None,
        keep: int | None = None,
        keep_passkeys: bool = False,
    ) -> None:
        """Set a new password; every session of the person ends but `keep`, and the passkeys are removed."""
        fresh, now = hashed(password), self._database.now()
        with self._database.write() as connection:
            log.lock(connection, organisation)
            read_person(connection, organisation, person)
            connection.execute(_this(organisation, person).values(password_hash=fresh))
            faults.at("person_changed")
            end_sessions(connection, now, organisation, person, keep)
            if not keep_passkeys:
                remove_passkeys(connection, organisation, now, by, person)
            _log(connection, organisation, now, by, {"person": person, "what": "password"})
            faults.at("person_logged")

    def sign_out(self, organisation: int, session: int, by: int) -> None:
        """End one session of anybody, as an act of `by`. Raises NotFound."""
        now, table = self._database.now(), tables.session
        with self._database.write() as connection:
            log.lock(connection, organisation)
            this = select(table).where(table.c.organisation == organisation, table.c.id == session)
            row = connection.execute(this).first()
            if row is None:
                raise NotFound("No such session.")
            if row.ended_at is None:
                ended = update(table).where(table.c.organisation == organisation, table.c.id == session)
                connection.execute(ended.values(ended_at=now))
                _log(connection, organisation, now, by, {"person": row.person, "what": "signed_out"})

    def knows_password(self, organisation: int, person: int, password: str, address: str) -> bool:
        """Say whether this is the person's password. Guesses count as at the sign-in. Raises TooManyTries."""
        with self._database.read() as connection:
            this = select(_table).where(_table.c.organisation == organisation, _table.c.id == person)
            row = connection.execute(this).mappings().first()
        if row is None:
            raise NotFound("No such person.")
        subjects = [("login", row["login"]), ("address", address)]
        self._throttle.attempt(organisation, subjects)
        if not _verify(row["password_hash"], password):
            return False
        self._throttle.succeeded(organisation, subjects)
        return True

    def sign_in(
        self, organisation: int, login: str, password: str, address: str, now: datetime | None = None
    ) -> Person:
        """Return the person with the proof to start a session by.

        Raises WrongPassword or TooManyTries; both take equally long to guess.
        """
        name = login[:300].strip().casefold()
        subjects = [("login", name), ("address", address)]
        self._throttle.attempt(organisation, subjects, now)
        with self._database.read() as connection:
            row = _by_login(connection, organisation, name)
        right = _verify(row["password_hash"] if row else None, password)
        if not right or row is None or row["disabled"]:
            raise WrongPassword("Login name and password do not go together.")
        self._throttle.succeeded(organisation, subjects)
        verified = row["password_hash"]
        if hasher.check_needs_rehash(verified):
            verified = self._renewed(row, password)
        return replace(_shape(row), proof=proof_of(verified))

    def _renewed(self, row: RowMapping, password: str) -> str:
        """Keep the password at today's cost; return its hash, the old one where another was set meanwhile."""
        verified = row["password_hash"]
        # Outside the transaction: hashing is slow, and everybody who writes waits for it.
        fresh = hashed(password)
        unchanged = _this(row["organisation"], row["id"]).where(_table.c.password_hash == verified)
        with self._database.write() as connection:
            kept = connection.execute(unchanged.values(password_hash=fresh)).rowcount
        return fresh if kept else verified


def read_person(connection: Connection, organisation: int, person: int, proving: bool = False) -> Person:
    """Return a person; with the proof to start a session by where asked for. Raises NotFound."""
    row = connection.execute(_one_person, {"firm": organisation, "person": person}).mappings().first()
    if row is None:
        raise NotFound("No such person.")
    found = _shape(row)
    return replace(found, proof=proof_of(row["password_hash"])) if proving else found


def insert_person(connection: Connection, organisation: int, kept: dict[str, object]) -> Person:
    """Add a person of checked columns in the caller's transaction. Raises Invalid for a login taken."""
    if _by_login(connection, organisation, str(kept["login"])):
        raise Invalid("login", "a name nobody here has")
    made = connection.execute(insert(_table).values(organisation=organisation, **kept))
    return read_person(connection, organisation, made.inserted_primary_key[0])


def governs(person: Person) -> bool:
    """Say whether the person is an owner who can sign in."""
    return person.role == "owner" and not person.disabled


def _owners(connection: Connection, organisation: int) -> bool:
    query = select(_table.c.id).where(
        _table.c.organisation == organisation, _table.c.role == "owner", _table.c.disabled.is_(False)
    )
    return connection.execute(query.limit(1)).first() is not None


def _acts(before: Person, after: Person) -> list[dict[str, str]]:
    acts = []
    if after.role != before.role:
        acts.append({"what": "role", "from": before.role, "to": after.role})
    if after.disabled != before.disabled:
        acts.append({"what": "closed" if after.disabled else "opened"})
    if (after.name, after.licence) != (before.name, before.licence):
        acts.append({"what": "facts"})
    return acts


def _log(connection: Connection, organisation: int, now: str, by: int | None, body: dict[str, Any]) -> None:
    log.append(connection, organisation, "person", now, by, None, body)


def _by_login(connection: Connection, organisation: int, login: str) -> RowMapping | None:
    if "\0" in login or not login.isprintable():
        return None
    query = select(_table).where(_table.c.organisation == organisation, _table.c.login == login)
    return connection.execute(query).mappings().first()


def _this(organisation: int, person: int):
    return update(_table).where(_table.c.organisation == organisation, _table.c.id == person)


def hashed(password: str) -> str:
    """Return a password as it is kept. Raises Invalid for its length."""
    if not isinstance(password, str) or not SHORTEST_PASSWORD <= len(password) <= LONGEST_PASSWORD:
        raise Invalid("password", f"{SHORTEST_PASSWORD} to {LONGEST_PASSWORD} characters")
    with _two_at_a_time:
        return hasher.hash(password.encode("utf-8", "surrogatepass"))


def _verify(hashed: str | None, password: str) -> bool:
    # A name nobody has costs the same work, so that the time tells nothing.
    offered = password[: LONGEST_PASSWORD + 1].encode("utf-8", "surrogatepass")
    with _two_at_a_time:
        if not hashed:
            hasher.hash(offered)
            return False
        try:
            return hasher.verify(hashed, offered) and len(password) <= LONGEST_PASSWORD
        except (VerificationError, InvalidHashError):
            return False


def _shape(row: RowMapping) -> Person:
    names = ("id", "organisation", "login", "name", "role", "licence", "disabled")
    return Person(**{name: row[name] for name in names})
