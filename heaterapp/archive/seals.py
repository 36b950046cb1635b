"""Keys of the seal: each firm's certificates, kept for ever, and the one private key that is in use.

What they are to sealing the archive does not know: a certificate and a key are bytes, made elsewhere. The
log vouches for both, for the key by its SHA-256: a key of P-256 holds 256 random bits, which no digest gives
away. A key that another one replaced is deleted: nothing will ever be sealed by it again. That a retired key
is no longer trusted stands in the log alone.
"""

import json
from dataclasses import dataclass, field, replace
from typing import Any

from sqlalchemy import Connection, Row, delete, insert, select, update

from heaterapp.archive import checking, faults, log, seal_tables, tables
from heaterapp.archive.canonical import sha256
from heaterapp.archive.database import Database
from heaterapp.archive.errors import Invalid, NotFound
from heaterapp.archive.one_firm import rows_of
from heaterapp.archive.organisations import IMPORTED
from heaterapp.archive.people import read_person
from heaterapp.archive.public_shapes import PublicKey
from heaterapp.archive.shapes import Fault

ACT, RETIRED, DISTRUSTED = "seal", "seal_retired", "seal_distrusted"
LARGEST = 4_000
"""Bytes of a certificate or a key: some hundred are usual."""
_seal, _key = seal_tables.seal, seal_tables.seal_key


@dataclass(frozen=True)
class Seal:
    """A key's certificate; `retired_at` is None while it is in use, `distrusted_at` while it is trusted."""

    organisation: int
    fingerprint: str
    certificate: bytes
    made_at: str
    retired_at: str | None
    distrusted_at: str | None = None

    @property
    def public(self) -> PublicKey:
        """What anyone who has a paper may learn of it."""
        ends = (at[:10] if at else None for at in (self.retired_at, self.distrusted_at))
        return PublicKey(self.fingerprint, *ends)


class Seals:
    """The only writer of seals; making, retiring and trusting no longer stand in the log."""

    def __init__(self, database: Database):
        self._database = database

    def make(
        self,
        organisation: int,
        person: int | None,
        certificate: bytes,
        key: bytes,
        replaces: str | None = None,
    ) -> Seal:
        """Keep a new key, in use from now on, and return its seal. Raises NotFound, Invalid.

        person       who makes it, None for the program
        certificate  DER, its key as bytes beside it: at most 4,000 bytes each
        replaces     fingerprint of the key in use that this one retires, None for none: where it is another
                     one that is in use by now, that one stays and is returned
        """
        checking.content("certificate", certificate, LARGEST)
        checking.content("key", key, LARGEST)
        now = self._database.now()
        made = {"fingerprint": sha256(certificate), "made_at": now}
        with self._database.write() as connection:
            log.lock(connection, organisation)
            faults.at("seal_begun")
            if person is not None:
                read_person(connection, organisation, person)
            standing = _current(connection, organisation)
            if standing is not None and standing.fingerprint != replaces:
                return standing
            if standing is not None:
                _retire(connection, standing, person, now)
            own = {"organisation": organisation, "fingerprint": made["fingerprint"]}
            connection.execute(insert(_seal).values(**own, certificate=certificate, made_at=now))
            connection.execute(insert(_key).values(**own, body=key))
            faults.at("after_seal_rows")
            log.append(connection, organisation, ACT, now, person, None, {**made, "key_sha256": sha256(key)})
            faults.at("after_seal_log")
        faults.at("seal_committed")
        return Seal(organisation, made["fingerprint"], certificate, now, None)

    def distrust(self, organisation: int, person: int | None, fingerprint: str) -> Seal:
        """Trust a retired key no longer: its seals count as a stranger's from now on, once and for ever.

        Returns its seal, the same where that was said before. Raises NotFound; Invalid for the key in use.
        """
        now = self._database.now()
        with self._database.write() as connection:
            log.lock(connection, organisation)
            faults.at("seal_distrust_begun")
            if person is not None:
                read_person(connection, organisation, person)
            found = [one for one in all_of(connection, organisation) if one.fingerprint == fingerprint]
            if not found:
                raise NotFound("No such key.")
            if found[0].distrusted_at is not None:
                return found[0]
            if found[0].retired_at is None:
                raise Invalid("fingerprint", "a key that another one has replaced")
            body = {"fingerprint": fingerprint, "distrusted_at": now}
            log.append(connection, organisation, DISTRUSTED, now, person, None, body)
            faults.at("after_seal_distrust")
        faults.at("seal_distrust_committed")
        return replace(found[0], distrusted_at=now)

    def current(self, organisation: int) -> Seal | None:
        """Return the seal in use, None without one."""
        with self._database.read() as connection:
            return _current(connection, organisation)

    def with_key(self, organisation: int) -> tuple[Seal, bytes] | None:
        """Return the seal in use and its private key; None without one, or where the key stayed elsewhere."""
        with self._database.read() as connection:
            standing = _current(connection, organisation)
            if standing is None:
                return None
            this = (_key.c.organisation == organisation, _key.c.fingerprint == standing.fingerprint)
            key = connection.execute(select(_key.c.body).where(*this)).scalar()
        return None if key is None else (standing, key)

    def all_of(self, organisation: int) -> list[Seal]:
        """Return every seal that the firm has or had, the one in use first, then the last retired."""
        with self._database.read() as connection:
            return all_of(connection, organisation)


def all_of(connection: Connection, organisation: int) -> list[Seal]:
    """Return every seal that the firm has or had, the one in use first, then the last retired."""
    found = list(connection.execute(select(_seal).where(_seal.c.organisation == organisation)))
    found.sort(key=lambda row: (row.retired_at or "9", row.made_at, row.fingerprint), reverse=True)
    since = _distrusted(connection, organisation) if found else {}
    return [replace(_shape(row), distrusted_at=since.get(row.fingerprint)) for row in found]


def _distrusted(connection: Connection, organisation: int) -> dict[str, str]:
    """Fingerprint -> since when it is not trusted, by the log."""
    entry = tables.log.c
    this = (entry.organisation == organisation, entry.act == DISTRUSTED)
    rows = connection.execute(select(entry.body).where(*this).order_by(entry.seq.desc())).scalars()
    said = [json.loads(body) for body in rows]
    return {str(one.get("fingerprint")): str(one.get("distrusted_at")) for one in said}


def _current(connection: Connection, organisation: int) -> Seal | None:
    this = (_seal.c.organisation == organisation, _seal.c.retired_at.is_(None))
    row = connection.execute(select(_seal).where(*this)).first()
    return None if row is None else _shape(row)


def _retire(connection: Connection, standing: Seal, person: int | None, now: str) -> None:
    own = standing.organisation, standing.fingerprint
    this = (_seal.c.organisation == own[0], _seal.c.fingerprint == own[1])
    connection.execute(update(_seal).where(*this).values(retired_at=now))
    connection.execute(delete(_key).where(_key.c.organisation == own[0], _key.c.fingerprint == own[1]))
    faults.at("after_seal_retired")
    body = {"fingerprint": own[1], "retired_at": now}
    log.append(connection, own[0], RETIRED, now, person, None, body)


def _shape(row: Row) -> Seal:
    return Seal(row.organisation, row.fingerprint, row.certificate, row.made_at, row.retired_at)


@dataclass
class Vouched:
    """What the log says of every seal, for `verify`."""

    made: dict[tuple[int, Any], dict[str, Any]] = field(default_factory=dict)
    retired: dict[tuple[int, Any], Any] = field(default_factory=dict)

    def note(self, entry: Row, body: dict[str, Any]) -> None:
        key = (entry.organisation, body.get("fingerprint"))
        if entry.act == ACT:
            self.made[key] = {**body, "seq": entry.seq}
        elif entry.act == RETIRED:
            self.retired[key] = body.get("retired_at")

    def check(self, connection: Connection, found: list[Fault], only: int | None = None) -> None:
        """Hold every certificate and every key against the log."""
        seen = set()
        for row in connection.execute(rows_of(_seal, only)):
            key = (row.organisation, row.fingerprint)
            said = self.made.get(key)
            if said is None:
                found.append(_fault(_seal.name, key, "fingerprint", "is not in the log"))
                continue
            seen.add(key)
            if sha256(row.certificate) != row.fingerprint:
                found.append(_fault(_seal.name, key, "certificate", "does not match its fingerprint"))
            if row.made_at != said.get("made_at"):
                found.append(_fault(_seal.name, key, "made_at", "differs from the log"))
            if row.retired_at != self.retired.get(key):
                found.append(_fault(_seal.name, key, "retired_at", "differs from the log"))
        gone = sorted(self.made.keys() - seen, key=str)
        found += [_fault(_seal.name, key, "fingerprint", "missing") for key in gone]
        self._check_keys(connection, found, only)

    def _check_keys(self, connection: Connection, found: list[Fault], only: int | None) -> None:
        in_use = {key: said for key, said in self.made.items() if key not in self.retired}
        held = set()
        for row in connection.execute(rows_of(_key, only)):
            key = (row.organisation, row.fingerprint)
            held.add(key)
            if key not in in_use:
                found.append(_fault(_key.name, key, "fingerprint", "is no key in use by the log"))
            elif sha256(row.body) != in_use[key].get("key_sha256"):
                found.append(_fault(_key.name, key, "body", "does not match its digest in the log"))
        for key in sorted(in_use.keys() - held, key=str):
            # A key that an import named stayed where it came from.
            if in_use[key]["seq"] > _brought_to(connection, key[0]):
                found.append(_fault(_key.name, key, "fingerprint", "missing"))


def _brought_to(connection: Connection, organisation: int) -> int:
    this = tables.organisation.c.organisation == organisation
    settings = connection.execute(select(tables.organisation.c.settings).where(this)).scalar()
    try:
        return int(json.loads(settings or "{}")[IMPORTED]["upto"])
    except (ValueError, KeyError, TypeError):
        return 0


def _fault(table: str, key: tuple[int, Any], name: str, what: str) -> Fault:
    return Fault(table, f"organisation {key[0]} {key[1]}", name, what)
