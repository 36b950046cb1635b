"""Where a record's ruleset and papers come from, by what the log vouches for."""

import json
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, select

from heaterapp.archive import tables
from heaterapp.archive.canonical import salted, sha256
from heaterapp.archive.database import Database
from heaterapp.archive.errors import NotFound
from heaterapp.archive.organisations import IMPORTED, read_organisation
from heaterapp.archive.standing import is_finished

_record, _log = tables.record, tables.log


@dataclass(frozen=True)
class Origin:
    """What the log says of one record's ruleset and papers."""

    ruleset_in_log: bool
    """Whether the stored bytes of the ruleset are the very ones that were logged here under their digest;
    what an import brought was logged elsewhere."""
    renderer: str
    """The release of what made the papers; empty where the log does not say."""


class Origins:
    """Reads; changes nothing."""

    def __init__(self, database: Database):
        self._database = database

    def of(self, organisation: int, record: int) -> Origin:
        """Return what the log says of a record's ruleset and papers. Raises NotFound."""
        with self._database.read() as connection:
            query = select(_record.c.ruleset_digest).where(
                _record.c.organisation == organisation, _record.c.id == record
            )
            digest = connection.execute(query).scalar()
            if digest is None:
                raise NotFound("No such record.")
            said = _bodies(connection, organisation, "finish", record)
            renderer = str(said[0].get("renderer") or "") if said else ""
            return Origin(_logged(connection, organisation, digest), renderer)

    def unharmed(self, organisation: int, record: int, name: str, body: bytes) -> bool:
        """Return whether a stored paper is still the very one that was logged when it was made."""
        payload = tables.payload
        this = (payload.c.organisation == organisation, payload.c.record == record, payload.c.name == name)
        with self._database.read() as connection:
            salt = connection.execute(select(payload.c.salt).where(*this)).scalar()
            said = _bodies(connection, organisation, "finish", record)
        digests = said[0].get("payload") if said else None
        wanted = digests.get(name) if isinstance(digests, dict) else None
        return salt is not None and wanted is not None and salted(salt, name, body) == wanted

    def finished(self, organisation: int, after: int = 0, limit: int = 200) -> list[int]:
        """Return the ids of the records whose papers are stored, oldest first, behind `after`."""
        query = select(_record.c.id).where(
            _record.c.organisation == organisation, _record.c.id > after, is_finished()
        )
        with self._database.read() as connection:
            return list(connection.execute(query.order_by(_record.c.id).limit(limit)).scalars())

    def organisations(self) -> list[int]:
        """Return the id of every organisation of this archive, for commands."""
        firms = tables.organisation.c.organisation
        with self._database.read() as connection:
            return list(connection.execute(select(firms).order_by(firms)).scalars())


def _logged(connection: Connection, organisation: int, digest: str) -> bool:
    stored = tables.ruleset
    body = connection.execute(
        select(stored.c.body).where(stored.c.organisation == organisation, stored.c.digest == digest)
    ).scalar()
    if body is None:
        return False
    own = sha256(body)
    return any(
        one.get("digest") == digest and one.get("sha256") == own
        for one in _bodies(connection, organisation, "ruleset", after=_imported_to(connection, organisation))
    )


def _imported_to(connection: Connection, organisation: int) -> int:
    """The last entry of the log that an import brought: what stands up to it was not witnessed here."""
    upto = read_organisation(connection, organisation).settings.get(IMPORTED, {}).get("upto", 0)
    return int(upto)


def _bodies(
    connection: Connection, organisation: int, act: str, record: int | None = None, after: int = 0
) -> list[dict[str, Any]]:
    query = select(_log.c.body).where(
        _log.c.organisation == organisation, _log.c.act == act, _log.c.seq > after
    )
    if record is not None:
        query = query.where(_log.c.record == record)
    return [json.loads(body) for body in connection.execute(query.order_by(_log.c.seq)).scalars()]
