"""Correcting: a new revision that names the old one, or the job opened again to be signed anew."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, bindparam, select, update

from heaterapp.archive import bodies, checking, desk_line, faults, log, office_tables, said, tables
from heaterapp.archive.canonical import canonical
from heaterapp.archive.database import Database
from heaterapp.archive.errors import AnswerConflict, Erased, Invalid, NotCurrent, NotFound, SupersedeConflict
from heaterapp.archive.hits import present_of_job, read_hits, require_last_word
from heaterapp.archive.inspection_items import second_visit_words
from heaterapp.archive.job_rows import LARGEST_ANSWERS, read_job
from heaterapp.archive.people import read_person
from heaterapp.archive.shapes import Hit, Job, Submission

OPENED, TAKEN_BACK = "correct_opened", "correct_taken_back"
SECOND_VISIT = "second-visit-"
OF_FIRM = {"contractor_name": "name", "contractor_licence": "licence"}
"""Questions that a firm's settings answer on its papers, unless the office corrected them at the job."""
CORRECTED_FIRM = "corrected_firm"
_record = tables.record
_its_job = select(tables.payload).where(
    tables.payload.c.organisation == bindparam("firm"), tables.payload.c.record == bindparam("asked"),
    tables.payload.c.name == "job",
)  # fmt: skip
_its_context = select(tables.payload).where(
    tables.payload.c.organisation == bindparam("firm"), tables.payload.c.record == bindparam("asked"),
    tables.payload.c.name == "context",
)  # fmt: skip


@dataclass(frozen=True)
class Opened:
    """A correction that waits for the installer: why the job was opened again, by whom, and when."""

    record: int
    person: int | None
    at: str
    reason: str
    questions: tuple[str, ...] = ()
    """The questions whose answers were changed as the job was opened."""


class Correcting:
    """Opening a job again for what has to be signed anew; a slip goes through `issue`."""

    def __init__(self, database: Database):
        self._database = database

    def open_again(
        self,
        organisation: int,
        record: int,
        person: int,
        changes: Mapping[str, Any],
        before: Mapping[str, Any],
        reason: str,
        key: str,
        installer: int | None = None,
    ) -> Job:
        """Make the job of a current record a draft with the corrected answers, to be reviewed and signed.

        changes    question -> its right answer, None where there is none
        before     question -> what the record says; a draft that says a third thing is not written over
        reason     1 to 300 characters; the paper that comes of it says it, unless it has another
        key        the same one for every repetition of this wish, which changes nothing more
        installer  who is to sign, None leaves the job with whom it is

        Raises NotFound, Invalid, NotCurrent, AnswerConflict, Erased; then nothing was changed.
        """
        kept = checking.reason(reason)
        checking.key(key)
        if not changes:
            raise Invalid("changes", "at least one")
        now = self._database.now()
        with self._database.write() as connection:
            log.lock(connection, organisation)
            faults.at("correct_open_begun")
            read_person(connection, organisation, person)
            hits = read_hits(connection, organisation, [record])
            if not hits:
                raise NotFound("No such record.")
            if _opened_by(connection, organisation, record, key):
                return read_job(connection, organisation, hits[0].job_id)
            require_current(connection, hits[0], organisation)
            job = read_job(connection, organisation, hits[0].job_id)
            _refuse_third_values(job, changes, before)
            further: dict[str, Any] = {"state": "draft", "signature": None, "signature_revision": None}
            if installer is not None:
                further["installer"] = read_person(connection, organisation, installer).id
            _change(connection, now, job, changes, **further)
            faults.at("after_job_opened")
            body = {"key": key, "questions": sorted(changes), "installer": installer}
            log.append(connection, organisation, OPENED, now, person, record, body, {"reason": kept})
            faults.at("after_correct_open_log")
            answer = read_job(connection, organisation, job.id)
        faults.at("correct_open_committed")
        return answer

    def take_back(self, organisation: int, job_id: str, person: int) -> Job:
        """Undo an opening by mistake: the paper stands as before, and the job says again what it says.

        Raises NotFound, Invalid where no paper stands, nobody opened it or somebody changed it since; Erased.
        """
        now = self._database.now()
        with self._database.write() as connection:
            log.lock(connection, organisation)
            faults.at("take_back_begun")
            read_person(connection, organisation, person)
            job = read_job(connection, organisation, job_id)
            opened = read_opened(connection, organisation, job.id)
            paper = present_of_job(connection, organisation, job.id)
            if job.state != "draft" or opened is None or paper is None:
                raise Invalid("job", "one that was opened again while its paper stands")
            if not _untouched(connection, job, opened):
                raise Invalid("job", "one whose answers nobody has changed since it was opened again")
            asked = {"firm": organisation, "asked": paper.record}
            held = bodies.read(connection, connection.execute(_its_job, asked)).get("job")
            if held is None:
                raise Erased("The content was erased for privacy.")
            said = json.loads(held)
            # A list leaves its job open, to be mended and signed.
            state = "draft" if paper.kind == "correction_list" else "issued"
            _change(connection, now, job, {name: said.get(name) for name in opened.questions}, state=state)
            faults.at("after_job_taken_back")
            body = {"questions": sorted(opened.questions)}
            log.append(connection, organisation, TAKEN_BACK, now, person, paper.record, body)
            faults.at("after_take_back_log")
            return read_job(connection, organisation, job.id)

    def opened(self, organisation: int, job_id: str) -> Opened | None:
        """Return the correction that the job was opened for and that no paper has come of yet, or None."""
        with self._database.read() as connection:
            return read_opened(connection, organisation, job_id)


def of_firm(connection: Connection, wish: Submission, last: int, opened: Opened | None) -> dict[str, str]:
    """Return what was corrected of a job's contractor and still stands, question -> answer.

    last    the record of the job before this one: what was corrected up to it goes along
    opened  the correction that this paper comes of, where it is no slip
    """
    asked = {"firm": wish.organisation, "asked": last}
    held = bodies.read(connection, connection.execute(_its_context, asked)).get("context")
    carried = json.loads(held)["context"].get(CORRECTED_FIRM, {}) if held else {}
    named = wish.correction.changes if wish.correction else opened.questions if opened else ()
    corrected = [name for name in OF_FIRM if name in named]
    if not carried and not corrected:
        return {}
    answers = json.loads(wish.job)
    told = {**carried, **{name: answers.get(name) for name in corrected}}
    # What the job says otherwise by now is the firm's to say again.
    return {name: said for name, said in told.items() if said and answers.get(name) == said}


def read_opened(connection: Connection, organisation: int, job_id: str) -> Opened | None:
    of_job = select(_record.c.id).where(_record.c.organisation == organisation, _record.c.job_id == job_id)
    ids = connection.execute(of_job).scalars().all()
    if not ids:
        return None
    table = tables.log
    entries = select(table).where(table.c.organisation == organisation, table.c.record.in_(ids))
    # Reckoned with, and the act looked at here, so that no planner walks the log for these few entries.
    for entry in connection.execute(entries.order_by((table.c.seq + 0).desc())):
        if entry.act not in ("issue", OPENED, TAKEN_BACK):
            continue
        if entry.act == TAKEN_BACK:
            return None
        body = json.loads(entry.body)
        if entry.act == OPENED:
            words = said.words_of(connection, [(organisation, entry.seq)]).get((organisation, entry.seq), {})
            typed = body.get("reason") or words.get("reason", "")
            reason = _second_visit(connection, organisation, body) or typed
            # Nobody opens without a reason: where none is left, it was erased.
            asked = tuple(body.get("questions") or ())
            return Opened(entry.record, entry.actor, entry.at, reason, asked) if reason else None
        if "corrects" not in body:
            return None
    return None


def _second_visit(connection: Connection, organisation: int, body: Mapping[str, Any]) -> str:
    """What the visit is for, with the inspector's words: they stand in the job's row, not in the log."""
    number = str(body.get("key", "")).removeprefix(SECOND_VISIT)
    if not number.isdecimal() or body["key"] == number:
        return ""
    table = office_tables.inspection
    this = (table.c.organisation == organisation, table.c.id == int(number))
    row = connection.execute(select(table).where(*this)).first()
    return second_visit_words(row, checking.LONGEST_REASON) if row is not None and row.result_on else ""


def require_current(connection: Connection, hit: Hit, organisation: int) -> None:
    """Raise NotCurrent for a record that is replaced or void."""
    if hit.state in ("current", "unfinished"):
        return
    last = hit
    while last.superseded_by is not None:
        last = read_hits(connection, organisation, [last.superseded_by])[0]
    raise NotCurrent(hit.number, hit.state, last.number if last.state == "current" else None)


def corrected(connection: Connection, now: str, wish: Submission) -> Hit | None:
    """Put the job's answers right for a submission that corrects; the record corrected, or None for others.

    Inside the issuing. An answer that has changed in the job since stays as it is there.
    """
    if wish.correction is None:
        return None
    hits = read_hits(connection, wish.organisation, [wish.correction.record])
    if not hits:
        raise NotFound("No such record.")
    old = hits[0]
    if wish.supersedes != old.record or wish.job_id != old.job_id or wish.kind != old.kind:
        raise SupersedeConflict(wish.correction.record, wish.supersedes)
    checking.reason(wish.reason)
    require_current(connection, old, wish.organisation)
    require_last_word(connection, old, wish.organisation)
    job = read_job(connection, wish.organisation, old.job_id)
    changes, before = wish.correction.changes, wish.correction.before
    known = {name: value for name, value in changes.items() if _same(job.answers.get(name), before.get(name))}
    if known:
        _change(connection, now, job, known)
    faults.at("after_job_corrected")
    return old


def note(connection: Connection, now: str, wish: Submission, old: Hit | None, new: int, number: str) -> None:
    """Say at the corrected record, in the log, what corrects it. Inside the issuing."""
    if old is None or wish.correction is None:
        return
    body = {"by": new, "number": number, "questions": sorted(wish.correction.changes)}
    words = {"reason": wish.reason}
    log.append(connection, wish.organisation, "correct", now, wish.person, old.record, body, words)
    faults.at("after_correct_log")


def _untouched(connection: Connection, job: Job, opened: Opened) -> bool:
    """Whether the opening was the last thing that was done to the job's answers."""
    table = tables.job
    this = (table.c.organisation == job.organisation, table.c.id == job.id)
    revisions = json.loads(connection.execute(select(table.c.answer_revisions).where(*this)).scalar_one())
    if job.signature is not None:
        return False
    if not opened.questions:
        return max(revisions.values(), default=0) < job.revision
    return all(revisions.get(name) == job.revision for name in opened.questions)


def _opened_by(connection: Connection, organisation: int, record: int, key: str) -> bool:
    table = tables.log
    entries = select(table.c.body).where(
        table.c.organisation == organisation, table.c.record == record, table.c.act == OPENED
    )
    return any(json.loads(body).get("key") == key for body in connection.execute(entries).scalars())


def _refuse_third_values(job: Job, changes: Mapping[str, Any], before: Mapping[str, Any]) -> None:
    if job.state == "erased":
        raise Erased("The job was erased for privacy.")
    conflicts = {
        name: (job.answers.get(name), value)
        for name, value in changes.items()
        if not _same(job.answers.get(name), value) and not _same(job.answers.get(name), before.get(name))
    }
    if conflicts and job.state == "draft":
        raise AnswerConflict(conflicts, job.revision)


def _change(connection: Connection, now: str, job: Job, changes: Mapping[str, Any], **further: Any) -> None:
    table = tables.job
    this = (table.c.organisation == job.organisation, table.c.id == job.id)
    revision = job.revision + 1
    revisions = json.loads(connection.execute(select(table.c.answer_revisions).where(*this)).scalar_one())
    merged = {name: value for name, value in {**job.answers, **changes}.items() if value is not None}
    try:
        text = canonical(merged)
    except (TypeError, ValueError, RecursionError):
        raise Invalid("answers", "values that JSON can hold") from None
    if len(text) > LARGEST_ANSWERS:
        raise Invalid("answers", f"at most {LARGEST_ANSWERS} characters in all")
    kept = {"answers": text, "answer_revisions": canonical({**revisions, **dict.fromkeys(changes, revision)})}
    connection.execute(
        update(table).where(*this).values(revision=revision, updated_at=now, **kept, **further)
    )
    desk_line.keep(connection, job.organisation, job.id, answers=merged, **further)


def _same(stored: Any, offered: Any) -> bool:
    return canonical(stored) == canonical(offered)
