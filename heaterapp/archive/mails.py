"""Mails with a paper: asked for, asked again, taken back, and how each stands. `mail_queue.py` sends."""

import json
import math
import re
import secrets
import threading
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy import Connection, Row, and_, delete, func, insert, select, update

from heaterapp.archive import checking, faults, log, office_tables, tables
from heaterapp.archive.canonical import canonical, sha256
from heaterapp.archive.carried import ACT, Carried, carried_of
from heaterapp.archive.correcting import require_current
from heaterapp.archive.database import Database
from heaterapp.archive.errors import Erased, NotFound, NotMailed
from heaterapp.archive.hits import read_hits
from heaterapp.archive.mail_shapes import (
    GIVEN_UP,
    LANGUAGES,
    LONGEST_ADDRESS,
    PERHAPS,
    SENT,
    UNSENT,
    WAITING,
    WITHDRAWN,
    Mail,
    one_line,
)
from heaterapp.archive.mail_tables import mail as _table
from heaterapp.archive.organisations import read_organisation
from heaterapp.archive.people import read_person
from heaterapp.archive.shapes import Hit
from heaterapp.archive.shares import close

MOST = 40
"""Mails of one record: nobody needs more, and nobody's box is filled from here."""
TEST, LONGEST_TEST = "mail_test", 140
NOT_SET_UP = "Mail is not set up: the owner names a mail server under Firm"
BUSY = "It is being sent just now: look again in a minute"
LEFT = "{busy}; if its try was broken off, it is free again in {minutes} minutes"
"""Of a claim: most tries take seconds, and one whose process died holds it to its end."""
_DOMAIN = re.compile(r"[A-Za-z0-9][A-Za-z0-9.-]{0,252}")


@dataclass(frozen=True)
class Tested:
    """How the last test mail went: when, whether the server took it, and what it said."""

    at: str
    taken: bool
    said: str


class Mails:
    """What people ask of the queue; each act is logged, the address among the words that an erasure takes."""

    def __init__(self, database: Database):
        self._database = database
        self.asked = threading.Event()
        """Set when something may be due: a thread of this process that sends need not wait for its round."""

    def ask(self, organisation: int, record: int, person: int, address: str, language: str, key: str) -> Mail:
        """Put a mail with this record's paper in the queue; the same wish under the same key is one mail.

        address   one mail address; its form is the caller's business (`mailing.addresses`)
        language  en or es
        key       of the form it was asked by, 8 to 100 letters, digits or _ . : -

        Raises NotFound, Invalid, Erased; NotCurrent for a paper that is void or replaced; NotMailed.
        """
        address = checking.line("address", address, LONGEST_ADDRESS, empty=False)
        checking.choice("language", language, LANGUAGES)
        kept = sha256(canonical([checking.key(key), str(record), address, language]))
        now = self._database.now()
        with self._database.write() as connection:
            entry: int = log.lock(connection, organisation).seq + 1
            faults.at("mail_begun")
            read_person(connection, organisation, person)
            own = (_table.c.organisation == organisation, _table.c.key == kept)
            if row := connection.execute(select(_table).where(*own)).first():
                return Mail.of(row)
            require_sendable(connection, organisation, record)
            of_record = (_table.c.organisation == organisation, _table.c.record == record)
            count = select(func.count()).select_from(_table).where(*of_record)
            if connection.execute(count).scalar_one() >= MOST:
                raise NotMailed(f"{MOST} mails were asked for with this paper, and that is the most")
            made = connection.execute(insert(_table).values(
                organisation=organisation, record=record, key=kept, address=address, language=language,
                asked_by=person, asked_at=now, entry=entry, state=WAITING, tries=0, next_at=now, said="",
                message_id=_message_id(connection, organisation),
            ))  # fmt: skip
            faults.at("after_mail_row")
            found = read_mail(connection, organisation, made.inserted_primary_key[0])
            body = {"mail": found.id, "what": "asked", "language": language}
            log.append(connection, organisation, ACT, now, person, record, body, {"to": address})
            faults.at("after_mail_log")
        faults.at("mail_committed")
        self.asked.set()
        return Mail.of(found)

    def again(self, organisation: int, mail: int, person: int, address: str | None = None) -> Mail:
        """Begin the tries of a mail anew that is not known to be sent, to another address where one is given.

        To the same address it stays the same mail, under the same Message-ID with the same link: whoever has
        it already has it once; one that may have arrived is tried once. Where its link was closed, and so
        nobody has it, it is another mail. So is one to another address, which closes a link that the first
        may have got. Raises NotFound, Invalid, Erased, NotCurrent, NotMailed.
        """
        now = self._database.now()
        if address is not None:
            address = checking.line("address", address, LONGEST_ADDRESS, empty=False)
        with self._database.write() as connection:
            entry: int = log.lock(connection, organisation).seq + 1
            read_person(connection, organisation, person)
            row = self._unsent(connection, organisation, mail, now)
            require_sendable(connection, organisation, row.record)
            moved = address is not None and address != row.address
            values: dict[str, object] = {"state": WAITING, "tries": 0, "next_at": now, "entry": entry}
            if moved or not is_open(connection, organisation, row.share, now):
                values |= {"message_id": _message_id(connection, organisation), "share": None, "said": ""}
                values |= {"address": address} if moved else {}
            elif row.state == PERHAPS:
                values["state"] = PERHAPS
            connection.execute(update(_table).where(_table.c.id == row.id).values(values))
            faults.at("after_mail_row")
            body = {"mail": row.id, "what": "again"}
            words = {"to": str(address)} if moved else None
            log.append(connection, organisation, ACT, now, person, row.record, body, words)
            if moved:
                close_link(connection, row, now, person)
            faults.at("after_mail_log")
            found = Mail.of(read_mail(connection, organisation, row.id))
        faults.at("mail_committed")
        self.asked.set()
        return found

    def withdraw(self, organisation: int, mail: int, person: int) -> None:
        """Take a mail that was not sent for certain out of the queue for good, and close its link.

        Raises NotFound, NotMailed.
        """
        now = self._database.now()
        with self._database.write() as connection:
            log.lock(connection, organisation)
            read_person(connection, organisation, person)
            row = self._unsent(connection, organisation, mail, now)
            connection.execute(update(_table).where(_table.c.id == row.id).values(state=WITHDRAWN))
            faults.at("after_mail_row")
            body = {"mail": row.id, "what": "withdrawn"}
            log.append(connection, organisation, ACT, now, person, row.record, body)
            close_link(connection, row, now, person)
            faults.at("after_mail_log")
        faults.at("mail_committed")

    def _unsent(self, connection: Connection, organisation: int, mail: int, now: str) -> Row:
        row = read_mail(connection, organisation, mail)
        if row.state not in UNSENT:
            raise NotMailed("It was sent already" if row.state == SENT else "It was taken back")
        if row.claim is not None and row.claimed_until > now:
            left = datetime.fromisoformat(row.claimed_until) - datetime.fromisoformat(now)
            raise NotMailed(LEFT.format(busy=BUSY, minutes=math.ceil(left / timedelta(minutes=1))))
        return row

    def get(self, organisation: int, mail: int) -> Mail:
        """Return one mail. Raises NotFound."""
        with self._database.read() as connection:
            return Mail.of(read_mail(connection, organisation, mail))

    def of_records(self, organisation: int, records: Sequence[int]) -> list[Mail]:
        """Return the mails of these records, newest first."""
        these = (_table.c.organisation == organisation, _table.c.record.in_(list(records)))
        with self._database.read() as connection:
            rows = connection.execute(select(_table).where(*these).order_by(_table.c.id.desc()))
            return [Mail.of(row) for row in rows]

    def carried(self, organisation: int, records: Sequence[int]) -> dict[int, Carried]:
        """Return, by mail of these records, the translation that went along, or why none did."""
        with self._database.read() as connection:
            return carried_of(connection, organisation, records)

    def in_state(self, organisation: int, state: str, limit: int = 50) -> list[Mail]:
        """Return an organisation's mails of one state, newest first, at most `limit`, 1 to 1000."""
        these = (_table.c.organisation == organisation, _table.c.state == state)
        query = select(_table).where(*these).order_by(_table.c.id.desc()).limit(max(1, min(limit, 1000)))
        with self._database.read() as connection:
            return [Mail.of(row) for row in connection.execute(query)]

    def count(self, organisation: int, state: str) -> int:
        """Return how many of an organisation's mails are in this state."""
        these = (_table.c.organisation == organisation, _table.c.state == state)
        with self._database.read() as connection:
            query = select(func.count()).select_from(_table).where(*these)
            return connection.execute(query).scalar_one()

    def late_jobs(self, organisation: int, installer: int | None = None) -> list[str]:
        """Return the jobs with a mail that was given up or perhaps sent, of the newest 40 such mails.

        installer  whose jobs alone; None for everybody's
        """
        record, job = tables.record, tables.job
        of_record = (record.c.organisation == organisation, record.c.id == _table.c.record)
        of_job = (job.c.organisation == organisation, job.c.id == record.c.job_id)
        these = (_table.c.organisation == organisation, _table.c.state.in_((GIVEN_UP, PERHAPS)))
        mine = (job.c.installer == installer,) if installer is not None else ()
        joined = _table.join(record, and_(*of_record)).join(job, and_(*of_job))
        query = select(record.c.job_id).select_from(joined).where(*these, *mine)
        newest = query.order_by(_table.c.id.desc()).limit(MOST)
        with self._database.read() as connection:
            return list(dict.fromkeys(connection.execute(newest).scalars()))

    def note_test(self, organisation: int, taken: bool, said: str) -> None:
        """Write down how a test mail went; only the last is kept. Raises NotFound."""
        now, chore = self._database.now(), office_tables.chore
        own = {"organisation": organisation, "name": TEST}
        told = json.dumps([taken, one_line(said)[:LONGEST_TEST]], ensure_ascii=False)
        with self._database.write() as connection:
            log.lock(connection, organisation)
            this = (chore.c.organisation == organisation, chore.c.name == TEST)
            connection.execute(delete(chore).where(*this))
            connection.execute(insert(chore).values(**own, begun_at=now, done_at=now, said=told))

    def last_test(self, organisation: int) -> Tested | None:
        """Return how the last test mail went, None where none was sent."""
        chore = office_tables.chore
        this = (chore.c.organisation == organisation, chore.c.name == TEST)
        with self._database.read() as connection:
            row = connection.execute(select(chore).where(*this)).first()
        if row is None:
            return None
        taken, said = json.loads(row.said)
        return Tested(row.begun_at, taken, said)


def read_mail(connection: Connection, organisation: int, mail: int) -> Row:
    this = (_table.c.organisation == organisation, _table.c.id == mail)
    row = connection.execute(select(_table).where(*this)).first()
    if row is None:
        raise NotFound("No such mail.")
    return row


def require_sendable(connection: Connection, organisation: int, record: int) -> Hit:
    """Return a record that may be mailed. Raises NotFound, Erased, NotCurrent, NotMailed."""
    hits = read_hits(connection, organisation, [record])
    if not hits:
        raise NotFound("No such record.")
    if hits[0].erased:
        raise Erased("The content was erased for privacy.")
    require_current(connection, hits[0], organisation)
    if not _sender(connection, organisation):
        raise NotMailed(NOT_SET_UP)
    return hits[0]


def close_link(connection: Connection, row: Row, now: str, person: int | None) -> None:
    """Close the link of a mail's own, which nobody else was given, unless another mail carries it."""
    if row.share is None:
        return
    others = (_table.c.organisation == row.organisation, _table.c.share == row.share, _table.c.id != row.id)
    if connection.execute(select(_table.c.id).where(*others)).first() is None:
        close(connection, row.organisation, row.share, now, person)


def is_open(connection: Connection, organisation: int, share: int | None, now: str) -> bool:
    """Whether a link still opens; one that was never made may be."""
    if share is None:
        return True
    held = tables.share.c
    this = (held.organisation == organisation, held.id == share)
    row = connection.execute(select(held.revoked_at, held.expires_at).where(*this)).one()
    return row.revoked_at is None and (row.expires_at is None or row.expires_at > now)


def forget(connection: Connection, organisation: int, record: int) -> None:
    """Take the addresses of a record's mails away, and what servers said of them; none of them goes out."""
    these = (_table.c.organisation == organisation, _table.c.record == record)
    emptied = {"address": "", "said": "", "claim": None, "claimed_until": None}
    connection.execute(
        update(_table).where(*these, _table.c.state.in_(UNSENT)).values(state=WITHDRAWN)
    )
    for row in connection.execute(select(_table.c.id).where(*these)).all():
        # The key is made of the address, among other things.
        erased = {**emptied, "key": f"erased-{row.id}"}
        connection.execute(update(_table).where(_table.c.id == row.id).values(erased))


def _sender(connection: Connection, organisation: int) -> str:
    held = read_organisation(connection, organisation).settings.get("mail")
    return str(held.get("sender") or "") if isinstance(held, dict) and held.get("host") else ""


def _message_id(connection: Connection, organisation: int) -> str:
    domain = _sender(connection, organisation).rpartition("@")[2]
    return f"<{secrets.token_hex(16)}@{domain if _DOMAIN.fullmatch(domain) else 'mail.invalid'}>"
