"""Erasing a whole job: every record of it and all that was kept beside them, in one transaction."""

import json

from sqlalchemy import Connection, and_, delete, func, select, update

from heaterapp import firm_days
from heaterapp.archive import arriving, bodies, checking, desk, faults, log, phone_tables, said, tables
from heaterapp.archive.database import Database
from heaterapp.archive.erasure import empty
from heaterapp.archive.errors import BlobsFailed, KeptLonger, NotByRule
from heaterapp.archive.holds import forget_reasons, lift_all, newest_record, refuse_held
from heaterapp.archive.jobs import read_job
from heaterapp.archive.organisations import read_organisation, zone_of
from heaterapp.archive.people import read_person
from heaterapp.archive.retention import kept_until, read_changes, years_for, years_of
from heaterapp.archive.shapes import Job

ACT = "erase_job"
_record = tables.record


class JobErasure:
    """On request before its time, or by the rule of keeping once that time is over."""

    def __init__(self, database: Database):
        self._database = database

    def erase_job(self, organisation: int, job_id: str, person: int, reason: str) -> None:
        """Erase a person's data on request: the job's records, answers, notes, links and held photos.

        reason  one line of 1 to 300 characters; it stays in the log, so it names nobody

        Numbers, dates and the chain stay and verify. Harmless to repeat. The bytes leave the file
        when it is next compacted. Raises NotFound, Invalid, UnderHold; then nothing was erased.
        """
        self._erase(organisation, job_id, person, reason, by_rule=False)

    def retire_job(self, organisation: int, job_id: str, person: int) -> None:
        """Erase a job that has been kept as long as the rule asks. Raises also KeptLonger, NotByRule."""
        self._erase(organisation, job_id, person, "kept as long as the rule asks", by_rule=True)

    def again(self, organisation: int, job_id: str, reason: str) -> None:
        """Erase after a restore, as the program, a job that the backup still has; its holds go first."""
        self._erase(organisation, job_id, None, reason, by_rule=False)

    def kept_until(self, organisation: int, job_id: str) -> str | None:
        """Return the first day on which the rule lets the job go; None where nothing of it is kept."""
        with self._database.read() as connection:
            return read_kept_until(connection, organisation, job_id)

    def _erase(
        self, organisation: int, job_id: str, person: int | None, reason: str, by_rule: bool
    ) -> None:
        kept = checking.reason(reason)
        now = self._database.now()
        with self._database.read() as connection:
            sent = _photos_of(connection, organisation, read_job(connection, organisation, job_id).id)
        with self._database.write() as connection:
            log.lock(connection, organisation)
            faults.at("erase_job_begun")
            if person is not None:
                read_person(connection, organisation, person)
            job = read_job(connection, organisation, job_id)
            if job.state == "erased":
                return
            if person is None:
                lift_all(connection, now, organisation, job.id, kept)
            refuse_held(connection, organisation, job.id)
            until = read_kept_until(connection, organisation, job.id)
            if by_rule and until is None:
                raise NotByRule("No paper was issued for this job, so the rule names no day for it")
            if by_rule and job.state == "draft":
                raise NotByRule("The job is open again, so its time is not over")
            if by_rule and until > _today(connection, organisation, now):
                raise KeptLonger(until)
            records = _records_of(connection, job)
            _let_photos_go(connection, organisation, sent)
            for record in records:
                empty(connection, now, organisation, record, person, kept)
            faults.at("after_records_erased")
            _close_links(connection, now, job, records, person)
            faults.at("after_links_closed")
            _empty_working_rows(connection, now, job)
            faults.at("after_job_emptied")
            body = {"job": job.id, "reason": kept, "by_rule": by_rule, "records": records}
            newest = newest_record(connection, organisation, job.id)
            log.append(connection, organisation, ACT, now, person, newest, body)
            said.forget(connection, organisation, records, job.id)
            forget_reasons(connection, organisation, job.id)
            faults.at("after_erase_job_log")
        faults.at("erase_job_committed")
        bodies.sweep_quietly(self._database)


def read_kept_until(connection: Connection, organisation: int, job_id: str) -> str | None:
    finding, entry = tables.finding, tables.log
    issue = (entry.c.organisation == organisation, entry.c.record == _record.c.id, entry.c.act == "issue")
    rows = connection.execute(
        select(_record.c.issued_at, finding.c.facts, func.coalesce(entry.c.seq, 0).label("entry"))
        .join(finding, finding.c.record == _record.c.id)
        .outerjoin(entry, and_(*issue))
        .where(_record.c.organisation == organisation, _record.c.job_id == job_id)
    ).all()
    if not rows:
        return None
    settings = read_organisation(connection, organisation).settings
    now, zone = years_of(settings), firm_days.zone_of(settings)
    changes = read_changes(connection, organisation)
    return max(
        kept_until(
            row.issued_at, json.loads(row.facts).get("work_date", ""),
            years_for(row.entry, now, changes), zone,
        )
        for row in rows
    )  # fmt: skip


def _today(connection: Connection, organisation: int, now: str) -> str:
    return firm_days.day_of(now, zone_of(connection, organisation)).isoformat()


def _records_of(connection: Connection, job: Job) -> list[int]:
    of_job = select(_record.c.id).where(
        _record.c.organisation == job.organisation, _record.c.job_id == job.id
    )
    return list(connection.execute(of_job.order_by(_record.c.id)).scalars())


def _photos_of(connection: Connection, organisation: int, job_id: str) -> set[str]:
    """The digests, as a phone names them, of the photos of a job's records; a lost list is passed over."""
    payload, found = tables.payload, set()
    of_job = select(payload).join(
        _record, (_record.c.id == payload.c.record) & (_record.c.organisation == payload.c.organisation)
    )
    mine = (_record.c.organisation == organisation, _record.c.job_id == job_id)
    for row in connection.execute(of_job.where(*mine, payload.c.name == arriving.PHOTOS)).all():
        try:
            listed = bodies.read(connection, [row])[row.name]
            found |= {told["sha256"] for told in json.loads(listed or "[]")}
        except (BlobsFailed, ValueError):
            continue
    return found


def _let_photos_go(connection: Connection, organisation: int, sent: set[str]) -> None:
    """Let go of held uploads of these records' photos: a phone may have sent them once more."""
    upload = phone_tables.upload
    held = (upload.c.organisation == organisation, upload.c.sha256.in_(sent))
    connection.execute(delete(upload).where(*held))


def _close_links(connection: Connection, now: str, job: Job, records: list[int], person: int | None) -> None:
    share = tables.share
    mine = (share.c.organisation == job.organisation, share.c.record.in_(records))
    open_ones = select(share).where(*mine, share.c.revoked_at.is_(None)).order_by(share.c.id)
    for row in connection.execute(open_ones).all():
        connection.execute(update(share).where(share.c.id == row.id).values(revoked_at=now))
        body = {"share": row.id, "revoked_at": now}
        log.append(connection, job.organisation, "share_revoked", now, person, row.record, body)


def _empty_working_rows(connection: Connection, now: str, job: Job) -> None:
    desk.forget(connection, job.organisation, job.id)
    connection.execute(
        update(tables.job)
        .where(tables.job.c.organisation == job.organisation, tables.job.c.id == job.id)
        .values(
            answers="{}", answer_revisions="{}", signature=None, signature_revision=None,
            state="erased", revision=job.revision + 1, updated_at=now,
        )
    )  # fmt: skip
