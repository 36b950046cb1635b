"""One open archive: its parts side by side."""

from functools import partial
from pathlib import Path

from heaterapp.archive import bodies, desk_line
from heaterapp.archive.amendments import Amendments
from heaterapp.archive.arrivals import Arrivals
from heaterapp.archive.audit import Audit
from heaterapp.archive.audit_recent import Recent
from heaterapp.archive.backups.making import Backups
from heaterapp.archive.backups.rows import nowhere
from heaterapp.archive.blobs import Blobs
from heaterapp.archive.blobs import opened as blobs_opened
from heaterapp.archive.copies import Copies
from heaterapp.archive.correcting import Correcting
from heaterapp.archive.database import Clock, Database, utc_now
from heaterapp.archive.desk import Desk
from heaterapp.archive.desk_board import Board
from heaterapp.archive.erasing_jobs import JobErasure
from heaterapp.archive.erasure import Erasure
from heaterapp.archive.exporting import Exporting
from heaterapp.archive.find import Find
from heaterapp.archive.holds import Holds
from heaterapp.archive.indexes import tidy_words
from heaterapp.archive.inspections import Inspections
from heaterapp.archive.invites import Invites
from heaterapp.archive.issuing import Issuing
from heaterapp.archive.jobs import Jobs
from heaterapp.archive.log import Log
from heaterapp.archive.mail_queue import MailQueue
from heaterapp.archive.mails import Mails
from heaterapp.archive.months import Months
from heaterapp.archive.moving import Moving
from heaterapp.archive.organisations import Organisations
from heaterapp.archive.origins import Origins
from heaterapp.archive.papers import Papers
from heaterapp.archive.passkeys import Passkeys
from heaterapp.archive.people import People
from heaterapp.archive.rechecks import Rechecks
from heaterapp.archive.records import Records
from heaterapp.archive.seals import Seals
from heaterapp.archive.sessions import Sessions
from heaterapp.archive.shares import Shares
from heaterapp.archive.sweeps import Sweeps
from heaterapp.archive.throttle import Throttle
from heaterapp.archive.unmade import Unmades
from heaterapp.archive.uploads import Uploads
from heaterapp.archive.voiding import Voiding
from heaterapp.archive.waiting import Waiting

FILE_NAME = "archive.sqlite3"


class Store:
    """Everything the archive can do; the package's docstring lists it."""

    def __init__(self, database: Database):
        self.database = database
        self.organisations = Organisations(database)
        self.sessions = Sessions(database)
        self.throttle = Throttle(database)
        self.people = People(database, self.throttle, self.sessions)
        self.invites = Invites(database)
        self.passkeys = Passkeys(database)
        self.jobs = Jobs(database)
        self.records = Records(database)
        self.shares = Shares(database)
        self.mails = Mails(database)
        self.mail_queue = MailQueue(database)
        self.log = Log(database)
        self.amendments = Amendments(database)
        self.uploads = Uploads(database)
        self.arrivals = Arrivals(database)
        self.desk = Desk(database)
        self.board = Board(database)
        self.waiting = Waiting(database)
        self.inspections = Inspections(database)
        self.sweeps = Sweeps(database)
        self.rechecks = Rechecks(database)
        self.origins = Origins(database)
        self.issue = Issuing(database).issue
        papers = Papers(database, self.issue)
        self.finish = papers.finish
        self.issue_and_finish = papers.issue_and_finish
        self.finish_pending = papers.finish_pending
        self.unmade = Unmades(database).of
        self.months = Months(database)
        fetch = database.blobs.get if database.blobs is not None else nowhere
        self.moving = Moving(database, fetch)
        self.exports = Exporting(database)
        self.find = Find(database).find
        self.tidy_words = partial(tidy_words, database.engine)
        self.erase = Erasure(database).erase
        self.copies = Copies(database)
        self.holds = Holds(database)
        self.seals = Seals(database)
        jobs = JobErasure(database)
        self.erase_job, self.retire_job, self.kept_until = jobs.erase_job, jobs.retire_job, jobs.kept_until
        self.corrections = Correcting(database)
        self.void = Voiding(database).void
        self.verify = Audit(database).verify
        self.sweep_blobs = partial(bodies.sweep, database)
        self.backups = Backups(database, fetch)
        self.verify_recent = Recent(database).verify_recent

    def close(self) -> None:
        self.database.close()


def open_store(
    url: str | None = None,
    data_dir: str | Path | None = None,
    clock: Clock = utc_now,
    upgrade: bool = True,
    blobs: str | Blobs | None = None,
    blobs_endpoint: str | None = None,
) -> Store:
    """Open the archive at a database `url`, or the file `archive.sqlite3` in `data_dir`.

    Makes the folder, and makes or upgrades the tables unless `upgrade` is False. Safe
    when several processes start at once. Do not carry an open store across a fork.
    `blobs` names where bodies of 4 KB and more lie, as `s3://bucket/prefix` (at the address
    `blobs_endpoint`) or `file:///folder`; in the database without. Raises BlobsFailed.
    """
    where = blobs_opened(blobs, blobs_endpoint) if isinstance(blobs, str) else blobs
    if url is None:
        if data_dir is None:
            raise ValueError("the archive needs a database url or a data folder")
        folder = Path(data_dir).resolve()
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        url = f"sqlite:///{folder / FILE_NAME}"
    database = Database(url, clock, where)
    if upgrade and not database.is_current():
        database.upgrade()
        with database.write() as connection:
            desk_line.restage(connection)
    return Store(database)
