"""What is kept for ever: issued records, their log, and the working rows beside them.

    store = archive.open_store(url=None, data_dir="data")   # makes or upgrades the tables

Every call names an organisation and never sees another one's rows; a foreign id
and an unknown id both raise `NotFound`. Three doors open by a secret instead: a
session token, a share token, and a number with its printed check code. Roles
are the caller's business.

What holds, also across kill -9 at any moment and any number of processes:

- `issue` is one transaction with full synchronous commit: idempotency key, number
  from a counter row, content, ruleset (once per digest), search row, log entry.
  Numbers of each kind run 1, 2, 3 ... without gap or duplicate.
- A job that was issued is not issued again under any key until it is reopened, which
  moves its revision on (`JobIssued`). A correction list leaves it open.
- The same key with the same content gets the first answer, also when sent at
  once. Content is what a person decides: kind, job, person, answers, signature;
  the report and the ruleset follow from them and may differ on a retry.
- A number is acknowledged (`issue_and_finish`) only after its papers are stored.
  They are rendered outside any lock from the record alone; the first writer
  wins. `finish_pending` at start-up completes what a crash left. Until then it has its
  place in the line and replaces nothing: the paper before it stands.
- Nothing issued is updated or deleted: the database itself refuses (but for `erase`). A second
  issue of the same kind for a job supersedes the first; the line cannot fork, so
  a job has exactly one current certificate.
- The log is a chain of SHA-256, one per organisation. It holds salted digests
  only, so content can later be erased without breaking it. `verify` names every
  flipped bit of records, contents, papers, rulesets, search rows, keys and shares.
  Drafts, people and sessions are working rows and are not chained.

The parts of a store (`org` is the organisation's id, times are `YYYY-MM-DDTHH:MM:SSZ`;
`now` and `clock` are timezone-aware datetimes, for tests):

    store.organisations   default() -> Organisation
                          get(org) / by_slug(slug)
                          add(slug, name, licence="", phone="", address="", settings=None)
                          save(org, *, by=None, name=None, licence=None, phone=None, address=None)
                          save_settings(org, changes: dict, by=None)   merges; None removes a key
                          change(org, by, facts=None, settings=None, logo=None, seen=None)
                                                    all at once, logged by name    or SettingsConflict
                          logo(org) -> bytes | None / mail(org) -> dict with its password
    store.people          add(org, login, name, role, password, licence="") -> Person
                          get(org, person) / by_login(org, login) -> Person | None / all(org) -> list[Person]
                          save(org, person, *, name=None, role=None, licence=None, disabled=None, by=None)
                                                                   never the last owner away
                          set_password(org, person, password, by=None, keep=None, keep_passkeys=False)
                                                                   ends sessions but keep
                          knows_password(org, person, password, address) -> bool
                          sign_out(org, session, by)               a session of anybody, logged
                          sign_in(org, login, password, address, now=None) -> Person
                                                                   or WrongPassword, TooManyTries
    store.sessions        start(org, person, device="", lifetime_s=None, now=None, proof="")
                                                                   -> (token, Session)
                          find(token, now=None) -> Session | None  also None once disabled or expired
                          end(token) / end_by_id(org, session) / end_all(org, person)
                          end_own(org, person, session) / end_others(org, person, keep)
                          all_for(org, person) -> list[Session] / live(org, person=None, now=None)
    store.invites         make(org, by, name, role, licence="") -> (token, Invite) / waiting(org) / revoke
                          lookup(token) -> Invite | None / take(token, login, password) -> Person, once
    store.passkeys        add(org, person, credential, public_key, sign_count, name) / all_for / remove
                          by_credential(credential) -> (Passkey, Person) | None
                          used(org, passkey, before, after) -> bool / spend(org, challenge) -> bool, once
    store.throttle        attempt(org, [(kind, subject), ...], now=None)  counts, raises TooManyTries
                          succeeded(org, [(kind, subject), ...])
                          kinds: "login", "address", "check" (check page), "share", "invite",
                          "passkey" (an address), "credential" (one passkey)
    store.jobs            create(org, installer=None, answers=None, job_id=None) -> Job   harmless to repeat
                          get(org, job_id) -> Job
                          save_answers(org, job_id, changes: dict, revision=None) -> int  or AnswerConflict
                          save_signature(org, job_id, signature, revision=None) -> Job  or JobChanged
                          assign(org, job_id, installer) -> Job / reopen(org, job_id) -> Job
                          jobs_for(org, person, state=None, after=None, limit=50) -> list[Job]
                          all(org, state=None, after=None, limit=50) -> list[Job]  newest change first
                                                                   after = the last job of the page before
    store.issue(submission) -> Issued
    store.finish(org, record, render) -> dict[str, bytes]
    store.issue_and_finish(submission, render) -> Issued
    store.finish_pending(render) -> Finished                       all organisations; at start-up
    store.unmade(org, job_id=None) -> list[Unmade]                 numbered, no papers yet: replaces nothing
    store.records         get(org, record) -> Record / by_number(org, number) -> Record
                          hit(org, number) -> Hit                  of an erased one too
                          by_key(org, key) -> Issued | None        answers a retry before any work is done
                          status(org, record) -> Status
                          file(org, record, name) -> bytes / file_names(org, record) -> tuple[str, ...]
                          file_sizes(org, record) -> dict[str, int]
                          of_job(org, job_id) -> list[Hit] newest first
                          numbers(org, ids) -> dict[int, str]
                          numbers_of_jobs(org, job_ids) -> dict[str, list[str]]   finished ones
                          current(org, job_id, kind) -> Hit | None
                          present(org, job_id) -> Hit | None       the one paper of the job that stands
                          ruleset(org, digest) -> bytes
                          check(number, code) -> PublicRecord | None     public check page
    store.find(org, text="", *, kind=None, person=None, state=None, since=None, until=None,
               finished=False, after=None, limit=50) -> Page
                                                                   person: only records of this installer
    store.tidy_words() -> int        joins the pieces of SQLite's word index, while others write; at start
    store.shares          make(org, record, person=None, expires_at=None) -> (token, Share)
                          lookup(token, now=None) -> Share | None / revoke(org, share, person=None)
                          all_for(org, record) -> list[Share]
    store.mails           ask(org, record, person, address, language, key) -> Mail    or NotCurrent, NotMailed
                          again(org, mail, person, address=None) -> Mail / withdraw(org, mail, person)
                          get(org, mail) / of_records(org, ids) / in_state(org, state, limit=50) -> list[Mail]
                          count(org, state) / note_test(org, taken, said) / last_test(org) -> Tested | None
                          asked                                    an Event: something may be due
    store.mail_queue      due(limit=200) -> list[Mail] / take(mail) -> Mail | None     one try at a time
                          link(taken, token) just before the content goes, or Stopped / sent(taken, said)
                          failed(taken, said, for_good=False, perhaps=False) -> Mail
    store.log             head(org) -> str / entries(org, after=0, limit=100) -> list[LogEntry]
                          newest(org, *, before=None, act=None, actor=None, records=None, limit=50)
                          standing(head) -> list[LogEntry]         where a head that a paper carries stands
    store.amendments      save(org, person, stored, after=0) -> Version   the next, never an edit
                          withdraw(org, person, name, after) -> Version
                          current(org) -> list[Amendments] / versions(org, name) -> list, newest first
    store.uploads         hold(org, person, sha256, body, width, height) -> (width, height)   or HeldFull
                          held(org, digests) -> set / photos(org, digests) -> {digest: Photo}
                          let_go(org, digests) / sweep() -> int    what nothing took within 30 days
    store.arrivals        by_draft(org, draft) -> Arrived | None / of_record(org, record)
                          different(org, limit=100) -> list[Arrived] / last_of_each(org) -> {person: Arrived}
    store.corrections     open_again(org, record, person, changes, before, reason, key, installer=None) -> Job
                          take_back(org, job_id, person) -> Job    an opening by mistake
                          opened(org, job_id) -> Opened | None     what it was opened for, no paper yet
                                                                   (a slip in a name: issue with `correction`)
    store.void(org, record, person, reason)      NotFound, Invalid, AlreadyVoid, NotCurrent
    store.desk            get(org, job_id) -> DeskJob
                          open(org, person, job_id, answers, facts, installer=None) -> DeskJob
                          save(org, person, job_id, facts=, answers=, installer=, revision=, job_revision=,
                               reason="") -> DeskJob                or DeskConflict
                          failed_first_inspections(org, first_day, last_day) -> list[(Line, Inspection)]
                          permits_to_expire(org, on, within_days) -> list[Line]
                          waiting_for_inspection(org) -> list[Line]
                          archive.desk.forget(connection, org, job_id) empties its texts, for an erasure
    store.board           to_do(org, on, limit=20) -> {kind: Listed} / find(org, text="", on=, state=None,
                          installer=None, after=None, limit=50) -> (lines, next)
    store.waiting         only_void(org, job_ids) -> set / since(org, job_ids) -> {job: Since}
                          open_again(org, person, job_id): a job whose only paper is void
    store.inspections     of_job(org, job_id) / get(org, inspection) / book(org, person, job_id, day, facts)
                          move, tell (a result), mend (items), second_visit(org, person, inspection)
    store.backups         make(folder, secret=None, keep=None) -> Backup   verified, while others write
                          timetable                                who makes the next one, and when
    store.sweeps          find(org, sought: Sought, after=None, limit=50) -> (list[Swept], next)
                          at_desk(org, sought) -> list[Swept]      drafts that fit, of jobs without a paper
                          houses(org, sought, at_desk=, after=, limit=) -> (lists of Swept, next) / addresses
                          count(org, sought) / checks(org) / note(org, person, form, sought, count)
    store.rechecks        start(org, person, digest, version) -> Recheck   or RecheckOpen
                          get(org, run) / newest(org) -> list / unfinished(org) -> Recheck | None
                          batch(run, after, limit) -> list[Stored] / keep(run, to, looked, found) -> Recheck
                          finish(run) / counts(org, run) -> {change: how many} / turned(org, run, change)
    store.origins         of(org, record) -> Origin / unharmed(org, record, name, body) -> bool
                          finished(org, after=0, limit=200) -> list[int] / organisations() -> list[int]
    store.moving          leaving(org) -> context of a Leaving: records, pieces()   everything, as a ZIP
                          bring(file, in_place_of=None) -> Brought          or ImportRefused
    store.months          read(org, since, until, first_day, last_day) -> Month   the figures of a month
    store.exports         moment(org, Wanted) -> context of a Moment: count, records(), papers()
                          note(org, person, what, Wanted, count)   act `export`
    store.copies          give(org, record, person, what, asked_by, purpose, consent) -> int
                          given(org, record, key) -> Copy
    store.seals           make(org, person, certificate, key, replaces=None) -> Seal
                          distrust(org, person, fingerprint) -> Seal
                          current(org) -> Seal | None / all_of(org) -> list[Seal], retired ones too
                          with_key(org) -> (Seal, key) | None      None where the key stayed elsewhere
    store.holds           place(org, job_id, person, reason) -> Hold / lift(org, hold, person, reason) -> Hold
                          of_job(org, job_id) -> list[Hold]        lifted ones too, newest first
    store.erase(org, record, person, reason)                        content goes, the log still verifies
    store.erase_job(org, job_id, person, reason)                    on request: the whole job; UnderHold
    store.retire_job(org, job_id, person)                           by the rule; KeptLonger, NotByRule
    store.kept_until(org, job_id) -> str | None                     first day on which the rule lets it go
    store.verify() -> Verified                                     every organisation, every byte; by command
    archive.worded(error) -> StoreFull | StoreBusy | None           a full disk, another writer, no connection
    store.verify_recent(entries=100) -> Verified                   the end of every chain; at start
    store.sweep_blobs() -> int       bodies in the place for blobs that nothing names, none younger than a day
    store.close()
"""

from heaterapp.archive.errors import (
    AlreadyVoid,
    AnswerConflict,
    ArchiveError,
    BlobsFailed,
    Erased,
    Invalid,
    JobChanged,
    JobIssued,
    KeptLonger,
    KeyConflict,
    NotByRule,
    NotCurrent,
    NotFound,
    NotMailed,
    PapersWait,
    RulesetConflict,
    SettingsConflict,
    StoreBusy,
    StoreFull,
    SupersedeConflict,
    TooManyTries,
    UnderHold,
    WrongPassword,
)
from heaterapp.archive.export_shapes import Taken, Wanted
from heaterapp.archive.not_kept import worded
from heaterapp.archive.shapes import (
    KINDS,
    ROLES,
    Arrival,
    Correction,
    Facts,
    Fault,
    Finished,
    Hit,
    Issued,
    Job,
    LogEntry,
    Organisation,
    Page,
    Person,
    Photo,
    PublicRecord,
    Record,
    Render,
    Session,
    Share,
    Status,
    Submission,
    Unmade,
    Verified,
)
from heaterapp.archive.store import Store, open_store
from heaterapp.archive.uploads import HeldFull

__all__ = [
    "KINDS",
    "ROLES",
    "AlreadyVoid",
    "AnswerConflict",
    "ArchiveError",
    "Arrival",
    "BlobsFailed",
    "Correction",
    "Erased",
    "Facts",
    "Fault",
    "Finished",
    "HeldFull",
    "Hit",
    "Invalid",
    "Issued",
    "Job",
    "JobChanged",
    "JobIssued",
    "KeptLonger",
    "KeyConflict",
    "LogEntry",
    "NotByRule",
    "NotCurrent",
    "NotFound",
    "NotMailed",
    "Organisation",
    "Page",
    "PapersWait",
    "Person",
    "Photo",
    "PublicRecord",
    "Record",
    "Render",
    "RulesetConflict",
    "Session",
    "SettingsConflict",
    "Share",
    "Status",
    "Store",
    "StoreBusy",
    "StoreFull",
    "Submission",
    "SupersedeConflict",
    "Taken",
    "TooManyTries",
    "UnderHold",
    "Unmade",
    "Verified",
    "Wanted",
    "WrongPassword",
    "open_store",
    "worded",
]
