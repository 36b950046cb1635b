"""Where a record's ruleset and papers come from, by what the log vouches for.

What stood in the log when an import or a backup brought it was not witnessed here: it vouches for papers,
but its rules judge only where an owner has said so since (`trust`), or `releases.py` knows them.
"""

import json
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, insert, select

from heaterapp.archive import log, office_tables, tables
from heaterapp.archive.canonical import salted, sha256
from heaterapp.archive.database import Database
from heaterapp.archive.errors import Invalid, NotFound
from heaterapp.archive.kept_rules import digest_of
from heaterapp.archive.organisations import IMPORTED, read_organisation
from heaterapp.archive.standing import is_finished

_record, _log, _chore = tables.record, tables.log, office_tables.chore
RESTORED = "restored"
"""The chore that a restore leaves in each organisation; it says with which entry the log ended then."""
TRUST = "trust_rules"


@dataclass(frozen=True)
class Origin:
    """What the log says of one record's ruleset and papers."""

    ruleset_in_log: bool
    """Whether the stored bytes of the ruleset are the very ones that were logged here under their digest;
    what an import or a restored backup brought was logged elsewhere."""
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

    def finished(
        self, organisation: int, after: int = 0, limit: int = 200, since: str = "", before: str = ""
    ) -> list[int]:
        """Return the ids of the records whose papers are stored, oldest first, behind `after`.

        since, before  first day of issue, and the day before which it was, ISO dates by UTC; empty: any
        """
        query = select(_record.c.id).where(
            _record.c.organisation == organisation, _record.c.id > after, is_finished()
        )
        if since:
            query = query.where(_record.c.issued_at >= since)
        if before:
            query = query.where(_record.c.issued_at < before)
        with self._database.read() as connection:
            return list(connection.execute(query.order_by(_record.c.id).limit(limit)).scalars())

    def vouches(self, digest: str, body: bytes) -> bool:
        """Return whether any organisation keeps these very bytes under this digest, logged here."""
        stored = tables.ruleset
        with self._database.read() as connection:
            firms = connection.execute(
                select(stored.c.organisation).where(stored.c.digest == digest, stored.c.body == body)
            ).scalars()
            return any(_logged(connection, firm, digest) for firm in firms.all())

    def trust(self, digest: str) -> int:
        """Log, for every organisation that keeps these rules, that their owner knows them; return how many.

        digest  over the rules' files, as `release` prints it

        Raises NotFound; Invalid for rules that are kept under a digest that is not theirs.
        """
        stored, now, count = tables.ruleset, self._database.now(), 0
        with self._database.write() as connection:
            rows = connection.execute(select(stored).where(stored.c.digest == digest)).all()
            if not rows:
                raise NotFound("No such ruleset is kept here.")
            for row in rows:
                if digest_of(row.body) != digest:
                    raise Invalid("digest", "rules whose own files give it; those kept under it give another")
                if not _logged(connection, row.organisation, digest):
                    said = {"digest": digest, "version": row.version, "sha256": sha256(row.body)}
                    log.append(connection, row.organisation, TRUST, now, None, None, said)
                    count += 1
        return count

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
        for act in ("ruleset", TRUST)
        for one in _bodies(connection, organisation, act, after=brought_to(connection, organisation))
    )


def mark_restored(connection: Connection, now: str) -> None:
    """Note in each organisation, within the restore, up to which entry a backup brought its log."""
    for head in connection.execute(select(tables.log_head)).all():
        own = {"organisation": head.organisation, "name": RESTORED, "said": str(head.seq)}
        connection.execute(insert(_chore).values(**own, begun_at=now, done_at=now))


def brought_to(connection: Connection, organisation: int) -> int:
    """Return the last entry of the log that an import or a restore brought: none up to it was witnessed."""
    upto = read_organisation(connection, organisation).settings.get(IMPORTED, {}).get("upto", 0)
    mark = select(_chore.c.said).where(_chore.c.organisation == organisation, _chore.c.name == RESTORED)
    return max(int(upto), int(connection.execute(mark).scalar() or 0))


def _bodies(
    connection: Connection, organisation: int, act: str, record: int | None = None, after: int = 0
) -> list[dict[str, Any]]:
    query = select(_log.c.body).where(
        _log.c.organisation == organisation, _log.c.act == act, _log.c.seq > after
    )
    if record is not None:
        query = query.where(_log.c.record == record)
    return [json.loads(body) for body in connection.execute(query.order_by(_log.c.seq)).scalars()]
