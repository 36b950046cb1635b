"""Reading what was issued."""

import hmac
import json
from collections.abc import Collection, Sequence
from typing import Any

from sqlalchemy import ColumnElement, Connection, Row, Select, and_, bindparam, func, not_, or_, select

from heaterapp.archive import arriving, bodies, checking, logos, office_tables, tables
from heaterapp.archive.answered import issued_by_key
from heaterapp.archive.canonical import read_code, read_number
from heaterapp.archive.database import Database
from heaterapp.archive.errors import Erased, Invalid, NotFound
from heaterapp.archive.hits import present_of_job, read_hits
from heaterapp.archive.public_record import public_of
from heaterapp.archive.reports import hazard_stands
from heaterapp.archive.shapes import Facts, Hit, Issued, PublicRecord, Record, Status
from heaterapp.archive.standing import is_finished

_record = tables.record
_payload = tables.payload
CONTENT = ("job", "report", "signature", "facts", "context")
_earlier = tables.record.alias("earlier")
# Asked for every paper: built once.
_one_record = (
    select(_record, _earlier.c.number.label("supersedes_number"))
    .select_from(
        _record.outerjoin(
            _earlier,
            (_earlier.c.organisation == _record.c.organisation) & (_earlier.c.id == _record.c.supersedes),
        )
    )
    .where(_record.c.organisation == bindparam("firm"), _record.c.id == bindparam("asked"))
)
_its_content = select(_payload).where(
    _payload.c.organisation == bindparam("firm"),
    _payload.c.record == bindparam("asked"),
    or_(_payload.c.name.in_(CONTENT), arriving.of_photos()),
)


class Records:
    """Issued records of an organisation; a foreign id raises NotFound like an unknown one."""

    def __init__(self, database: Database):
        self._database = database

    def get(self, organisation: int, record: int) -> Record:
        """Return a record with all its content. Raises NotFound, or Erased."""
        with self._database.read() as connection:
            return read_record(connection, organisation, record)

    def by_number(self, organisation: int, number: str) -> Record:
        with self._database.read() as connection:
            row = connection.execute(
                select(_record.c.id).where(
                    _record.c.organisation == organisation, _record.c.number == _tidy(number)
                )
            ).first()
            if row is None:
                raise NotFound("No record has this number.")
            return read_record(connection, organisation, row.id)

    def hit(self, organisation: int, number: str) -> Hit:
        """Return what stands of a record without its content, so of an erased one too. Raises NotFound."""
        query = select(_record.c.id).where(
            _record.c.organisation == organisation, _record.c.number == _tidy(number)
        )
        with self._database.read() as connection:
            hits = read_hits(connection, organisation, connection.execute(query).scalars().all())
        if not hits:
            raise NotFound("No record has this number.")
        return hits[0]

    def by_key(self, organisation: int, key: str) -> Issued | None:
        """Return the first answer to a submission's key, or None when it is new."""
        try:
            checking.key(key)
        except Invalid:
            return None
        with self._database.read() as connection:
            return issued_by_key(connection, organisation, key)

    def status(self, organisation: int, record: int) -> Status:
        with self._database.read() as connection:
            hits = read_hits(connection, organisation, [record])
        if not hits:
            raise NotFound("No such record.")
        hit = hits[0]
        return Status(
            record, hit.finished, hit.superseded_by, hit.superseded_by_number, hit.installer,
            hit.voided_at, hit.void_reason,
        )  # fmt: skip

    def file(self, organisation: int, record: int, name: str) -> bytes:
        """Return a stored paper, e.g. `certificate.pdf`. Raises NotFound, or Erased."""
        try:
            checking.file_name(name)
        except Invalid:
            raise NotFound("No such file.") from None
        with self._database.read() as connection:
            row = _payload_row(connection, organisation, record, name)
            body = bodies.read(connection, [row])[name] if row is not None else None
        if row is None:
            raise NotFound("No such file.")
        if body is None:
            raise Erased("The file was erased for privacy.")
        return body

    def file_names(self, organisation: int, record: int) -> tuple[str, ...]:
        """Return the names of the stored papers, none while the record is unfinished."""
        return tuple(self.file_sizes(organisation, record))

    def file_sizes(self, organisation: int, record: int) -> dict[str, int]:
        """Return name -> bytes of the stored papers (0 once erased), without reading them."""
        with self._database.read() as connection:
            if not read_hits(connection, organisation, [record]):
                raise NotFound("No such record.")
            size = func.length(_payload.c.body).label("size")
            return bodies.sizes(connection, connection.execute(_papers_of(organisation, record, size)))

    def of_job(self, organisation: int, job_id: str) -> list[Hit]:
        """Return everything issued for a job, newest first; none for an unknown job."""
        query = select(_record.c.id).where(_record.c.organisation == organisation, _record.c.job_id == job_id)
        with self._database.read() as connection:
            ids = connection.execute(query).scalars().all()
            return read_hits(connection, organisation, ids)

    def numbers(self, organisation: int, ids: Collection[int]) -> dict[int, str]:
        """Return id -> number of those of these records that the organisation has."""
        query = select(_record.c.id, _record.c.number).where(
            _record.c.organisation == organisation, _record.c.id.in_(list(ids))
        )
        with self._database.read() as connection:
            return {row.id: row.number for row in connection.execute(query)}

    def numbers_of_jobs(self, organisation: int, job_ids: Sequence[str]) -> dict[str, list[str]]:
        """Return job -> numbers of its finished papers, newest first, in one query for all of them."""
        query = (
            select(_record.c.job_id, _record.c.number)
            .where(_record.c.organisation == organisation, _record.c.job_id.in_(job_ids), is_finished())
            .order_by(_record.c.id.desc())
        )
        numbers: dict[str, list[str]] = {}
        with self._database.read() as connection:
            for job_id, number in connection.execute(query):
                numbers.setdefault(job_id, []).append(number)
        return numbers

    def void_of_jobs(self, organisation: int, job_ids: Sequence[str]) -> set[str]:
        """Return the numbers of these jobs' papers that are void, in one query for all of them."""
        void = office_tables.void
        same = (void.c.organisation == _record.c.organisation) & (void.c.record == _record.c.id)
        query = (
            select(_record.c.number)
            .join(void, same)
            .where(_record.c.organisation == organisation, _record.c.job_id.in_(job_ids))
        )
        with self._database.read() as connection:
            return set(connection.execute(query).scalars())

    def numbers_as_issued(
        self, organisation: int, job_ids: Sequence[str]
    ) -> dict[str, list[tuple[int, str]]]:
        """Return job -> (the entry of the log that issued it, number) of its papers, newest first."""
        entry = tables.log
        issued = (
            entry.c.organisation == organisation, entry.c.record == _record.c.id, entry.c.act == "issue",
        )  # fmt: skip
        query = (
            select(_record.c.job_id, entry.c.seq, _record.c.number)
            .join(entry, and_(*issued))
            .where(_record.c.organisation == organisation, _record.c.job_id.in_(job_ids), is_finished())
            .order_by(entry.c.seq.desc())
        )
        found: dict[str, list[tuple[int, str]]] = {}
        with self._database.read() as connection:
            for job_id, seq, number in connection.execute(query):
                found.setdefault(job_id, []).append((seq, number))
        return found

    def current(self, organisation: int, job_id: str, kind: str) -> Hit | None:
        """Return the job's one record of this kind that is neither replaced nor void."""
        hits = self.of_job(organisation, job_id)
        return next((hit for hit in hits if hit.kind == kind and hit.state == "current"), None)

    def present(self, organisation: int, job_id: str) -> Hit | None:
        """Return the job's one paper that stands, of whatever kind, or None."""
        with self._database.read() as connection:
            return present_of_job(connection, organisation, job_id)

    def hazard_stands(self, organisation: int, job_id: str) -> bool:
        """Say whether the job's paper that stands has a hazard; its report alone is read."""
        with self._database.read() as connection:
            return hazard_stands(connection, organisation, job_id)

    def ruleset(self, organisation: int, digest: str) -> bytes:
        with self._database.read() as connection:
            body = connection.execute(
                select(tables.ruleset.c.body).where(
                    tables.ruleset.c.organisation == organisation, tables.ruleset.c.digest == digest
                )
            ).scalar()
        if body is None:
            raise NotFound("No such ruleset.")
        return body

    def check(self, number: str, code: str) -> PublicRecord | None:
        """Return what the paper's holder may see; a wrong code and an unknown number both give None."""
        offered, meant = read_code(code), read_number(number) or (_tidy(number),)
        with self._database.read() as connection:
            rows = connection.execute(select(_record).where(_record.c.number.in_(meant))).all()
            for row in rows:
                if offered is not None and hmac.compare_digest(row.check_code, offered):
                    return public_of(connection, row, stored_files(connection, row.organisation, row.id))
        return None


def read_record(connection: Connection, organisation: int, record: int) -> Record:
    this = {"firm": organisation, "asked": record}
    row = connection.execute(_one_record, this).first()
    if row is None:
        raise NotFound("No such record.")
    content = bodies.read(connection, connection.execute(_its_content, this))
    if any(body is None for body in content.values()):
        raise Erased("The content was erased for privacy.")
    kept: dict[str, Any] = json.loads(content["context"])
    return Record(
        id=row.id,
        organisation=row.organisation,
        number=row.number,
        kind=row.kind,
        job_id=row.job_id,
        revision=row.revision,
        supersedes=row.supersedes,
        supersedes_number=row.supersedes_number,
        replaces_number=kept.get("replaces", row.supersedes_number),
        issued_at=row.issued_at,
        issued_by=kept["issued_by"],
        organisation_snapshot=kept["organisation"],
        job=content["job"],
        report=content["report"],
        signature=content.get("signature"),
        facts=Facts(**json.loads(content["facts"])),
        context=kept["context"],
        reason=kept["reason"],
        ruleset_digest=row.ruleset_digest,
        ruleset_version=row.ruleset_version,
        previous_head=row.previous_head,
        content_digest=row.content_digest,
        check_code=row.check_code,
        photos=arriving.read_photos(content),
        logo=logos.read(connection, organisation, kept["organisation"].get("settings", {}).get("logo")),
    )


def stored_files(connection: Connection, organisation: int, record: int) -> dict[str, bytes | None]:
    return bodies.read(connection, connection.execute(_papers_of(organisation, record, _payload.c.body)))


def _papers_of(organisation: int, record: int, what: ColumnElement) -> Select:
    papers = (
        _payload.c.organisation == organisation,
        _payload.c.record == record,
        _payload.c.name.not_in(CONTENT),
        not_(arriving.from_phone()),
    )
    told = (_payload.c.name, _payload.c.salt, _payload.c.digest, what)
    return select(*told).where(*papers).order_by(_payload.c.name)


def _payload_row(connection: Connection, organisation: int, record: int, name: str) -> Row | None:
    return connection.execute(
        select(_payload).where(
            _payload.c.organisation == organisation, _payload.c.record == record, _payload.c.name == name
        )
    ).first()


def _tidy(number: str) -> str:
    return "".join(c for c in number[:64].strip().upper() if c.isprintable())
