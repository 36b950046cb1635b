"""The queue of mails for who sends them: one try at a time, over all processes and machines.

A try is a claim on the row, taken by whoever changes it from what it saw, and let go after LEASE should its
process die. A mail whose content was handed over with no answer to it, because the connection broke or the
process died, may have arrived: it is `perhaps_sent`, and tried once more at most, under the same Message-ID,
with the same link and the same translation. So at most two copies go out by themselves; whoever sends one
again by hand is told.
"""

import secrets

from sqlalchemy import Connection, Row, func, or_, select, update

from heaterapp.archive import faults, log, shares, tables
from heaterapp.archive.canonical import sha256
from heaterapp.archive.carried import NOTHING, Carried, carried_of, note
from heaterapp.archive.database import Database, stamp
from heaterapp.archive.errors import ArchiveError, Erased, NotCurrent, NotMailed
from heaterapp.archive.mail_shapes import (
    GIVEN_UP,
    GOING,
    LEASE,
    NEVER,
    PAUSES,
    PERHAPS,
    PERHAPS_PAUSE,
    SENT,
    WAITING,
    Mail,
    one_line,
)
from heaterapp.archive.mail_tables import mail as _table
from heaterapp.archive.mails import ACT, close_link, read_mail, require_sendable
from heaterapp.archive.origins import brought_to

BROUGHT = "It came with a backup or an import and may have been sent since: send it again if it was not"
CLOSED = "The link that it carries was closed: ask for another mail"


class Stopped(ArchiveError):
    """This mail is not to go out, the text says why; nothing was handed over."""


class MailQueue:
    """Takes due mails and writes down how each try went."""

    def __init__(self, database: Database):
        self._database = database

    def due(self, limit: int = 200) -> list[Mail]:
        """Return the mails of all organisations that may be tried now.

        The longest due of each come first, then the second of each: no firm's pile keeps another's mail.
        """
        now, pending = self._database.now(), tables.pending
        pressed = ~(
            select(pending.c.record)
            .where(pending.c.organisation == _table.c.organisation, pending.c.record == _table.c.record)
            .exists()
        )
        free = or_(_table.c.claim.is_(None), _table.c.claimed_until <= now)
        ready = (_table.c.state.in_(GOING), _table.c.next_at <= now, free, pressed)
        oldest = (_table.c.next_at, _table.c.id)
        turn = func.row_number().over(partition_by=_table.c.organisation, order_by=oldest).label("turn")
        query = select(_table, turn).where(*ready).order_by(turn, *oldest).limit(limit)
        with self._database.read() as connection:
            return [Mail.of(row) for row in connection.execute(query)]

    def take(self, mail: Mail) -> Mail | None:
        """Take a due mail on for one try; None where somebody else has it, or it is not to be sent any more.

        One whose paper is void, replaced or erased, or that a backup or an import brought, is given up
        with the reason.
        """
        now, claim = self._database.now(), secrets.token_hex(16)
        with self._database.write() as connection:
            log.lock(connection, mail.organisation)
            faults.at("mail_take_begun")
            row = read_mail(connection, mail.organisation, mail.id)
            held = row.claim is not None and row.claimed_until > now
            if row.state not in GOING or row.next_at > now or held:
                return None
            if why := self._amiss(connection, row):
                _end(connection, row, now, why)
                return None
            taken = {"claim": claim, "claimed_until": self._until(), "tried_at": now}
            # Whoever had it died, maybe with the content handed over.
            taken |= {"state": PERHAPS} if row.claim is not None and row.share is not None else {}
            as_seen = (
                _table.c.id == row.id,
                _table.c.state == row.state,
                _table.c.claim.is_not_distinct_from(row.claim),
            )
            if connection.execute(update(_table).where(*as_seen).values(taken)).rowcount != 1:
                return None
            faults.at("after_mail_taken")
            found = Mail.of(read_mail(connection, mail.organisation, mail.id))
        faults.at("mail_take_committed")
        return found

    def carried(self, mail: Mail) -> Carried:
        """Return what the content carried that may have arrived; nothing where none was handed over."""
        with self._database.read() as connection:
            return carried_of(connection, mail.organisation, [mail.record]).get(mail.id, NOTHING)

    def link(
        self, taken: Mail, token: str, until: str | None = None, carried: Carried = NOTHING
    ) -> None:
        """Make sure, just before the content is handed over, that it may go, and that its link opens.

        until    the stamp at which a link made now ends, None for never
        carried  what goes along with the paper: logged, where it is anything and another than before

        Of the link's token only the hash is kept. The link is made here and not before, and closed once the
        mail is given up: a mail that no server would take leaves none open. Raises Stopped.
        """
        now = self._database.now()
        with self._database.write() as connection:
            log.lock(connection, taken.organisation)
            faults.at("mail_link_begun")
            row = read_mail(connection, taken.organisation, taken.id)
            if row.claim != taken.claim or row.state not in GOING:
                raise Stopped("It was taken back, or somebody else sends it")
            if why := self._amiss(connection, row):
                raise Stopped(why)
            kept = {"share": self._share(connection, row, token, now, until), "claimed_until": self._until()}
            connection.execute(update(_table).where(_table.c.id == row.id).values(kept))
            faults.at("after_mail_linked")
            if carried != NOTHING:
                note(connection, row, carried, now)
            faults.at("after_mail_carried")
        faults.at("mail_link_committed")

    def sent(self, taken: Mail, said: str) -> None:
        """Write down that the mail server took it, and what it said; whoever has the claim by now."""
        now = self._database.now()
        with self._database.write() as connection:
            log.lock(connection, taken.organisation)
            faults.at("mail_sent_begun")
            row = read_mail(connection, taken.organisation, taken.id)
            if row.state == SENT:
                return
            kept = {
                "state": SENT,
                "sent_at": now,
                "tries": row.tries + 1,
                "claim": None,
                "claimed_until": None,
            }
            # What a server says may name the address, which an erasure has taken away meanwhile.
            kept |= {"said": one_line(said) if row.address else ""}
            connection.execute(update(_table).where(_table.c.id == row.id).values(kept))
            faults.at("after_mail_sent")
            body = {"mail": row.id, "what": "sent", "share": row.share}
            log.append(connection, row.organisation, ACT, now, None, row.record, body)
            faults.at("after_mail_sent_log")
        faults.at("mail_sent_committed")

    def failed(
        self, taken: Mail, said: str, for_good: bool = False, perhaps: bool = False, begun: bool = True
    ) -> Mail:
        """Write down a try that failed, and when the next one is; given up after the last, or `for_good`.

        perhaps  whether all of the content was handed over and no answer came: it may have arrived, and
                 there is one more try and no other
        begun    whether a mail server was asked at all: a try that was not is not that one more
        """
        moment = self._database.moment()
        now, why = stamp(moment), one_line(said)
        with self._database.write() as connection:
            log.lock(connection, taken.organisation)
            faults.at("mail_failed_begun")
            row = read_mail(connection, taken.organisation, taken.id)
            if row.claim == taken.claim and row.state in GOING:
                unsure = perhaps and row.state == WAITING
                last = for_good or row.tries >= len(PAUSES) or (row.state == PERHAPS and begun)
                if last and not unsure:
                    _end(connection, row, now, why, row.tries + 1)
                else:
                    pause = PERHAPS_PAUSE if unsure else PAUSES[row.tries]
                    kept = {"tries": row.tries + 1, "next_at": stamp(moment + pause), "said": why}
                    kept |= {"claim": None, "claimed_until": None, "state": PERHAPS if unsure else row.state}
                    connection.execute(update(_table).where(_table.c.id == row.id).values(kept))
                faults.at("after_mail_failed")
            found = Mail.of(read_mail(connection, taken.organisation, taken.id))
        faults.at("mail_failed_committed")
        return found

    def _until(self) -> str:
        return stamp(self._database.moment() + LEASE)

    def _amiss(self, connection: Connection, row: Row) -> str:
        """Why a mail is not to go out, empty where it may."""
        if row.entry <= brought_to(connection, row.organisation):
            return BROUGHT
        try:
            require_sendable(connection, row.organisation, row.record)
        except (Erased, NotCurrent) as refused:
            return str(refused)
        except NotMailed:
            # Settings can be put right: the try fails by itself and is made again.
            return ""
        return ""

    def _share(self, connection: Connection, row: Row, token: str, now: str, until: str | None) -> int:
        share = tables.share
        this = (share.c.organisation == row.organisation, share.c.id == row.share)
        stands = connection.execute(select(share).where(*this)).first() if row.share else None
        if stands is not None and (stands.revoked_at or (stands.expires_at and stands.expires_at <= now)):
            raise Stopped(CLOSED)
        if stands is not None and stands.token_hash == sha256(token):
            return int(stands.id)
        # The key that tokens are made with is another one since: an earlier mail may have arrived, so its
        # link stays.
        made = shares.keep(connection, row.organisation, row.record, token, now, row.asked_by, until)
        return made.id


def _end(connection: Connection, row: Row, now: str, why: str, tries: int | None = None) -> None:
    """Try no more: given up, its link closed; one that may have arrived stays that, and its link open."""
    arrived = row.state == PERHAPS
    kept = {"said": one_line(why), "claim": None, "claimed_until": None}
    kept |= {"next_at": NEVER} if arrived else {"state": GIVEN_UP}
    kept |= {} if tries is None else {"tries": tries}
    connection.execute(update(_table).where(_table.c.id == row.id).values(kept))
    what = "perhaps" if arrived else "given_up"
    body = {"mail": row.id, "what": what, "tries": row.tries if tries is None else tries}
    log.append(connection, row.organisation, ACT, now, None, row.record, body)
    # What came with a backup may have been sent where it came from.
    if not arrived and why != BROUGHT:
        close_link(connection, row, now, None)
