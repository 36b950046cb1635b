"""The papers of a record: rendered outside any lock, stored once, and only then is the number told."""

from collections.abc import Callable, Mapping
from dataclasses import replace

from sqlalchemy import Connection, delete, select

from heaterapp.archive import bodies, checking, faults, log, tables
from heaterapp.archive.arriving import is_from_phone
from heaterapp.archive.database import Database
from heaterapp.archive.errors import Invalid
from heaterapp.archive.records import read_record, stored_files
from heaterapp.archive.shapes import Finished, Issued, Render, Submission
from heaterapp.archive.unmade import Unmades, is_pending

LARGEST_PAPER = 50_000_000

class Papers:
    """Finishes what `issue` has numbered."""

    def __init__(self, database: Database, issue: Callable[[Submission], Issued]):
        self._database = database
        self._issue = issue
        self._unmade = Unmades(database)

    def finish(self, organisation: int, record: int, render: Render) -> dict[str, bytes]:
        """Render a record's papers, store them once, and return the stored ones.

        Outside any lock `render` is called with the record. When somebody else was
        first, theirs stay and are returned; a finished record is not rendered again.
        What `render.release()` says of itself, where it has one, stands in the log beside them.
        Raises NotFound, Invalid for papers that cannot be kept, or what `render` raises; the log
        keeps what broke, except where that says of itself that it `passes`.
        """
        with self._database.read() as connection:
            known = read_record(connection, organisation, record)
            if not is_pending(connection, organisation, record):
                return _papers(connection, organisation, record)
        faults.at("before_render")
        try:
            papers = _checked_papers(render(known))
        except Exception as error:
            if not getattr(error, "passes", False):
                self._unmade.note(organisation, record, error)
            raise
        release = getattr(render, "release", None)
        made_by = {"renderer": release()} if release else {}
        faults.at("after_render")
        placed = bodies.place(self._database, organisation, papers)
        stored = self._store(organisation, record, papers, placed, made_by)
        if stored is not papers:
            bodies.let_go(self._database, organisation, placed)
        return stored

    def _store(
        self,
        organisation: int,
        record: int,
        papers: dict[str, bytes],
        placed: bodies.Placed,
        made_by: dict[str, str],
    ) -> dict[str, bytes]:
        with self._database.write() as connection:
            log.lock(connection, organisation)
            faults.at("finish_begun")
            if not is_pending(connection, organisation, record):
                return _papers(connection, organisation, record)
            bodies.keep(connection, organisation, record, papers, placed)
            pending = tables.pending
            connection.execute(
                delete(pending).where(pending.c.organisation == organisation, pending.c.record == record)
            )
            faults.at("after_papers")
            now = self._database.now()
            told = {"payload": placed.digests, **made_by}
            log.append(connection, organisation, "finish", now, None, record, told)
            faults.at("after_finish_log")
        faults.at("finish_committed")
        return papers

    def issue_and_finish(self, submission: Submission, render: Render) -> Issued:
        """Issue, store the papers, and only then return the number.

        When rendering fails its error is raised and the number stays taken; sending
        the same submission again renders again and returns the same number.
        """
        answer = self._issue(submission)
        if not answer.finished:
            self.finish(submission.organisation, answer.record, render)
        return replace(answer, finished=True)

    def finish_pending(self, render: Render) -> Finished:
        """Finish every record that has no papers, oldest first; one that fails stops no other."""
        with self._database.read() as connection:
            waiting = connection.execute(select(tables.pending).order_by(tables.pending.c.record)).all()
        done, failed = [], []
        for organisation, record in waiting:
            try:
                self.finish(organisation, record, render)
                done.append(record)
            except Exception as error:
                failed.append((record, f"{type(error).__name__}: {error}"))
        return Finished(tuple(done), tuple(failed))


def _papers(connection: Connection, organisation: int, record: int) -> dict[str, bytes]:
    papers = stored_files(connection, organisation, record)
    return {name: body for name, body in papers.items() if body is not None}


def _checked_papers(papers: Mapping[str, bytes]) -> dict[str, bytes]:
    if not papers:
        raise Invalid("papers", "at least one file")
    if any(is_from_phone(name) for name in papers):
        raise Invalid("papers", "no name of what came from a phone")
    return {
        checking.file_name(name): checking.content(name, body, LARGEST_PAPER) for name, body in papers.items()
    }
