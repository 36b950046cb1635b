"""Issuing: one transaction gives the number and keeps the content; the papers follow outside it."""

from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from sqlalchemy import Connection, RowMapping, bindparam, insert, select, update

from heaterapp.archive import arriving, bodies, checking, correcting, desk_line, faults, log, sweeping, tables
from heaterapp.archive.answered import issued, issued_by_key
from heaterapp.archive.canonical import canonical, check_code, salted, sha256
from heaterapp.archive.database import Database
from heaterapp.archive.errors import (
    ArchiveError,
    Erased,
    Invalid,
    JobChanged,
    JobIssued,
    KeyConflict,
    NotFound,
    SupersedeConflict,
)
from heaterapp.archive.find import words_of
from heaterapp.archive.inspection_items import note_met
from heaterapp.archive.job_rows import keep_arrived, read_job
from heaterapp.archive.kept_rules import keep_ruleset
from heaterapp.archive.organisations import on_paper, prefixes, read_organisation
from heaterapp.archive.people import read_person
from heaterapp.archive.shapes import KINDS, Facts, Issued, Job, Person, Submission

LARGEST = {"job": 2_000_000, "report": 20_000_000, "signature": 2_000_000}
_record = tables.record
_counter = tables.counter
# Asked in every issue: built once.
_of_kind = (_counter.c.organisation == bindparam("firm"), _counter.c.kind == bindparam("counted"))
_count = update(_counter).where(*_of_kind).values(last=_counter.c.last + 1)
_counted = select(_counter.c.last).where(*_of_kind)
_insert_record = insert(_record)
_one_record = select(_record).where(_record.c.id == bindparam("record"))
_newest_of_job = (
    select(_record.c.id, _record.c.revision)
    .where(
        _record.c.organisation == bindparam("firm"),
        _record.c.job_id == bindparam("job"),
        _record.c.kind == bindparam("asked"),
    )
    .order_by(_record.c.revision.desc())
    .limit(1)
)
# What a new paper makes not current, whatever its kind.
_last_of_job = (
    select(_record.c.id, _record.c.number)
    .where(_record.c.organisation == bindparam("firm"), _record.c.job_id == bindparam("job"))
    .order_by((_record.c.id + 0).desc())
    .limit(1)
)
_insert_key, _insert_pending, _insert_finding = (
    insert(table) for table in (tables.submission, tables.pending, tables.finding)
)


class Issuing:
    """The only writer of records."""

    def __init__(self, database: Database):
        self._database = database

    def issue(self, submission: Submission) -> Issued:
        """Give the submission its number, or its first answer again.

        Raises Invalid, NotFound, KeyConflict, JobChanged, JobIssued, SupersedeConflict or
        RulesetConflict; then nothing was written and no number is used up.
        """
        content = _content(submission)
        # Read before the lock is taken: a report is long.
        sought = sweeping.marks_of(submission.job), sweeping.amiss_of(submission.report)
        placed = self._placed(submission, content)
        try:
            with self._database.write() as connection:
                log.lock(connection, submission.organisation)
                faults.at("issue_begun")
                answer = issued_by_key(connection, submission.organisation, submission.key)
                if answer is not None:
                    _refuse_other_content(connection, submission, answer)
                else:
                    answer = self._issue(connection, submission, content, placed)
                    sweeping.keep(connection, submission.organisation, answer.record, *sought)
        except ArchiveError:
            bodies.let_go(self._database, submission.organisation, placed)
            raise
        if answer.repeated:
            bodies.let_go(self._database, submission.organisation, placed)
            return answer
        faults.at("issue_committed")
        return answer

    def _placed(self, wish: Submission, content: dict[str, bytes]) -> bodies.Placed:
        if self._database.blobs is not None:
            with self._database.read() as connection:
                if issued_by_key(connection, wish.organisation, wish.key) is not None:
                    return bodies.Placed()
        return bodies.place(self._database, wish.organisation, content)

    def _issue(
        self, connection: Connection, wish: Submission, content: dict[str, bytes], placed: bodies.Placed
    ) -> Issued:
        now = self._database.now()
        if wish.arrival is not None:
            person_id = read_person(connection, wish.organisation, wish.person).id
            keep_arrived(connection, now, wish.organisation, wish.job_id, person_id, wish.arrival)
            faults.at("after_arrived_job")
        person, job = _allowed(connection, wish)
        old = correcting.corrected(connection, now, wish)
        zip_digest = keep_ruleset(connection, wish, now)
        faults.at("after_ruleset")
        content["context"] = _snapshot(connection, wish, person)
        placed.add("context", content["context"])
        row = self._numbered(connection, wish, now, placed.digests)
        bodies.keep(connection, wish.organisation, row["id"], content, placed)
        faults.at("after_payloads")
        own = {"organisation": wish.organisation, "record": row["id"]}
        connection.execute(_insert_key, {"key": wish.key, **own})
        connection.execute(_insert_pending, own)
        faults.at("after_key")
        arriving.keep(connection, wish, row["id"], now)
        installer = job.installer if job.installer is not None else wish.person
        installer = old.installer if old is not None else installer
        words = words_of(row, _tidied(wish.facts), installer)
        found_by = {"installer": installer, "facts": content["facts"].decode(), "words": words}
        connection.execute(_insert_finding, {**found_by, **own})
        if wish.kind != "correction_list" and old is None:
            this_job = (tables.job.c.organisation == wish.organisation, tables.job.c.id == job.id)
            connection.execute(update(tables.job).where(*this_job).values(state="issued", updated_at=now))
            desk_line.keep(connection, wish.organisation, job.id, state="issued")
        if old is None:
            # A slip changes a spelling, not the house.
            note_met(connection, wish.organisation, job.id, row["id"], wish.report)
        faults.at("after_search_row")
        body = {
            "record": dict(row),
            "key": wish.key,
            "installer": installer,
            "payload": placed.digests,
            "ruleset": zip_digest,
        } | ({"corrects": old.record} if old is not None else {})
        body |= arriving.vouched(wish, placed.salts)
        log.append(connection, wish.organisation, "issue", now, wish.person, row["id"], body)
        faults.at("after_issue_log")
        correcting.note(connection, now, wish, old, row["id"], row["number"])
        return issued(_Attributes(row), repeated=False, finished=False)

    def _numbered(
        self, connection: Connection, wish: Submission, now: str, digests: dict[str, str]
    ) -> RowMapping:
        earlier = _current(connection, wish)
        serial, number = _next_number(connection, wish)
        faults.at("after_number")
        values = {
            "organisation": wish.organisation,
            "number": number,
            "kind": wish.kind,
            "serial": serial,
            "job_id": checking.job_id(wish.job_id),
            "revision": earlier.revision + 1 if earlier else 1,
            "supersedes": earlier.id if earlier else None,
            "issued_at": now,
            "issued_by": wish.person,
            "ruleset_digest": wish.ruleset_digest,
            "ruleset_version": wish.ruleset_version,
            "previous_head": log.lock(connection, wish.organisation).digest,
        }
        values["content_digest"] = sha256(canonical({**values, "payload": digests}))
        values["check_code"] = check_code(values["content_digest"])
        made = connection.execute(_insert_record, values)
        faults.at("after_record_insert")
        return connection.execute(_one_record, {"record": made.inserted_primary_key[0]}).mappings().one()


class _Attributes:
    def __init__(self, row: Mapping[str, Any]):
        self.__dict__.update(row)


def _content(wish: Submission) -> dict[str, bytes]:
    checking.key(wish.key)
    checking.choice("kind", wish.kind, KINDS)
    checking.line("ruleset_digest", wish.ruleset_digest, 100, empty=False)
    checking.line("ruleset_version", wish.ruleset_version, 100, empty=False)
    checking.line("reason", wish.reason, 2000)
    if wish.signature is None and wish.kind == "certificate":
        raise Invalid("signature", "a certificate is signed")
    checking.iso_date("work_date", wish.facts.work_date)
    content = {
        name: checking.content(name, getattr(wish, name), LARGEST[name])
        for name in ("job", "report", "signature")
        if getattr(wish, name) is not None
    }
    try:
        canonical(dict(wish.context))
    except (TypeError, ValueError):
        raise Invalid("context", "values that JSON can hold") from None
    facts = {"facts": canonical(asdict(_tidied(wish.facts))).encode()}
    return {**content, **facts, **arriving.content(wish)}


def _tidied(facts: Facts) -> Facts:
    longest = checking.LONGEST_FACT
    return Facts(**{name: checking.line(name, text, longest) for name, text in asdict(facts).items()})


def _allowed(connection: Connection, wish: Submission) -> tuple[Person, Job]:
    person = read_person(connection, wish.organisation, wish.person)
    if person.disabled:
        raise NotFound("No such person.")
    job = read_job(connection, wish.organisation, wish.job_id)
    if job.state == "erased":
        raise Erased("The job was erased for privacy.")
    if job.state == "issued" and wish.correction is None:
        raise JobIssued("This job has been issued. Reopen it to correct it.")
    # What arrives whole was held against the revision as it was saved, a moment ago.
    if wish.arrival is None and wish.job_revision not in (None, job.revision):
        raise JobChanged(wish.job_revision, job.revision)
    return person, job


def _refuse_other_content(connection: Connection, wish: Submission, first: Issued) -> None:
    payload = tables.payload
    stored = {
        row.name: row
        for row in connection.execute(
            select(payload).where(
                payload.c.organisation == wish.organisation, payload.c.record == first.record
            )
        )
    }
    issuer = connection.execute(select(_record.c.issued_by).where(_record.c.id == first.record)).scalar()
    differs = [] if first.kind == wish.kind else ["kind"]
    differs += [] if first.job_id == checking.job_id(wish.job_id) else ["job_id"]
    differs += [] if issuer == wish.person else ["person"]
    # A parcel holds the answers and the signatures: its own bytes decide.
    decided = {"job": wish.job, "signature": wish.signature}
    for name, body in (decided if wish.parcel is None else {arriving.PARCEL: wish.parcel}).items():
        kept = stored.get(name)
        same = (
            body is None
            if kept is None
            else bool(body is not None and kept.salt and salted(kept.salt, name, body) == kept.digest)
        )
        differs += [] if same else [name]
    if differs:
        raise KeyConflict(wish.key, tuple(differs), first)


def _snapshot(connection: Connection, wish: Submission, person: Person) -> bytes:
    organisation = asdict(read_organisation(connection, wish.organisation))
    organisation["settings"] = on_paper(organisation["settings"])
    asked = {"firm": wish.organisation, "job": checking.job_id(wish.job_id)}
    last = connection.execute(_last_of_job, asked).first()
    opened = correcting.read_opened(connection, wish.organisation, asked["job"]) if last else None
    contractor = correcting.of_firm(connection, wish, last.id, opened) if last else {}
    organisation |= {correcting.OF_FIRM[name]: said for name, said in contractor.items()}
    context = {name: value for name, value in wish.context.items() if name != correcting.CORRECTED_FIRM}
    return canonical(
        {
            "organisation": {name: value for name, value in organisation.items() if name != "id"},
            "issued_by": {name: getattr(person, name) for name in ("id", "name", "role", "licence")},
            "context": context | ({correcting.CORRECTED_FIRM: contractor} if contractor else {}),
            "replaces": last.number if last else None,
            "reason": wish.reason.strip() or (opened.reason if opened else ""),
        }
    ).encode()


def _current(connection: Connection, wish: Submission):
    asked = {"firm": wish.organisation, "job": checking.job_id(wish.job_id), "asked": wish.kind}
    current = connection.execute(_newest_of_job, asked).first()
    if wish.supersedes is not None and (current is None or current.id != wish.supersedes):
        raise SupersedeConflict(wish.supersedes, current.id if current else None)
    return current


def _next_number(connection: Connection, wish: Submission) -> tuple[int, str]:
    this = {"firm": wish.organisation, "counted": wish.kind}
    connection.execute(_count, this)
    serial = connection.execute(_counted, this).scalar_one()
    settings = read_organisation(connection, wish.organisation).settings
    return serial, f"{prefixes(settings)[wish.kind]}-{serial:06d}"
