"""People and how they prove who they are.

Passwords are kept as argon2id with 64 MiB and three passes (the OWASP password
storage guidance asks for at least 12 MiB at three), at most two at a time.
"""

import threading
from datetime import datetime

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError
from sqlalchemy import Connection, RowMapping, insert, select, update

from heaterapp.archive import checking, tables
from heaterapp.archive.checking import LONGEST_PASSWORD, SHORTEST_PASSWORD
from heaterapp.archive.database import Database
from heaterapp.archive.errors import Invalid, NotFound, WrongPassword
from heaterapp.archive.sessions import Sessions
from heaterapp.archive.shapes import ROLES, Person
from heaterapp.archive.throttle import Throttle

hasher = PasswordHasher(time_cost=3, memory_cost=65536, parallelism=1)
_two_at_a_time = threading.Semaphore(2)
_table = tables.person


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
            "organisation": organisation,
            "login": checking.login(login),
            "name": checking.line("name", name, 200, empty=False),
            "role": checking.choice("role", role, ROLES),
            "licence": checking.line("licence", licence, 100),
            "password_hash": _hash(password),
            "created_at": self._database.now(),
        }
        known = select(tables.organisation).where(tables.organisation.c.organisation == organisation)
        with self._database.write() as connection:
            if not connection.execute(known).first():
                raise NotFound("No such organisation.")
            if _by_login(connection, organisation, kept["login"]):
                raise Invalid("login", "a name nobody here has")
            made = connection.execute(insert(_table).values(kept))
            return read_person(connection, organisation, made.inserted_primary_key[0])

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
    ) -> Person:
        """Change a person; disabling or a new role ends the person's sessions."""
        changes: dict[str, object] = {}
        if name is not None:
            changes["name"] = checking.line("name", name, 200, empty=False)
        if role is not None:
            changes["role"] = checking.choice("role", role, ROLES)
        if licence is not None:
            changes["licence"] = checking.line("licence", licence, 100)
        if disabled is not None:
            changes["disabled"] = disabled
        with self._database.write() as connection:
            before = read_person(connection, organisation, person)
            if changes:
                connection.execute(_this(organisation, person).values(changes))
            after = read_person(connection, organisation, person)
        if after.disabled or after.role != before.role:
            self._sessions.end_all(organisation, person)
        return after

    def set_password(self, organisation: int, person: int, password: str) -> None:
        """Set a new password; every session of the person ends."""
        hashed = _hash(password)
        with self._database.write() as connection:
            read_person(connection, organisation, person)
            connection.execute(_this(organisation, person).values(password_hash=hashed))
        self._sessions.end_all(organisation, person)

    def sign_in(
        self, organisation: int, login: str, password: str, address: str, now: datetime | None = None
    ) -> Person:
        """Return the person, or raise WrongPassword or TooManyTries; both take equally long to guess."""
        name = login[:300].strip().casefold()
        subjects = [("login", name), ("address", address)]
        self._throttle.attempt(organisation, subjects, now)
        with self._database.read() as connection:
            row = _by_login(connection, organisation, name)
        right = _verify(row["password_hash"] if row else None, password)
        if not right or row is None or row["disabled"]:
            raise WrongPassword("Login name and password do not go together.")
        self._throttle.succeeded(organisation, subjects)
        if hasher.check_needs_rehash(row["password_hash"]):
            with self._database.write() as connection:
                connection.execute(_this(organisation, row["id"]).values(password_hash=_hash(password)))
        return _shape(row)


def read_person(connection: Connection, organisation: int, person: int) -> Person:
    row = (
        connection.execute(select(_table).where(_table.c.organisation == organisation, _table.c.id == person))
        .mappings()
        .first()
    )
    if row is None:
        raise NotFound("No such person.")
    return _shape(row)


def _by_login(connection: Connection, organisation: int, login: str) -> RowMapping | None:
    if "\0" in login or not login.isprintable():
        return None
    query = select(_table).where(_table.c.organisation == organisation, _table.c.login == login)
    return connection.execute(query).mappings().first()


def _this(organisation: int, person: int):
    return update(_table).where(_table.c.organisation == organisation, _table.c.id == person)


def _hash(password: str) -> str:
    if not isinstance(password, str) or not SHORTEST_PASSWORD <= len(password) <= LONGEST_PASSWORD:
        raise Invalid("password", f"{SHORTEST_PASSWORD} to {LONGEST_PASSWORD} characters")
    with _two_at_a_time:
        return hasher.hash(password.encode("utf-8", "surrogatepass"))


def _verify(hashed: str | None, password: str) -> bool:
    # A name nobody has costs the same work, so that the time tells nothing.
    offered = password[: LONGEST_PASSWORD + 1].encode("utf-8", "surrogatepass")
    with _two_at_a_time:
        if hashed is None:
            hasher.hash(offered)
            return False
        try:
            return hasher.verify(hashed, offered) and len(password) <= LONGEST_PASSWORD
        except (VerificationError, InvalidHashError):
            return False


def _shape(row: RowMapping) -> Person:
    names = ("id", "organisation", "login", "name", "role", "licence", "disabled")
    return Person(**{name: row[name] for name in names})
