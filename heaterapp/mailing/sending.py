"""What is due, sent once: each mail taken, written, handed over, and written down."""

from __future__ import annotations

import secrets
import ssl
import sys
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from functools import partial
from traceback import format_exception
from typing import Any

from heaterapp import firm_days, homeowner, sealed_papers
from heaterapp.archive import Record
from heaterapp.archive.errors import Erased, NotFound
from heaterapp.archive.mail_queue import Stopped
from heaterapp.archive.mail_shapes import PERHAPS, SENT, Mail
from heaterapp.archive.mails import NOT_SET_UP
from heaterapp.mailing import letter
from heaterapp.mailing.handing import Failed, Waits, hand_over
from heaterapp.mailing.links import NAMED_SO, token_of
from heaterapp.mailing.translation import LEFT_OUT, MOST_BYTES, Beside, Make, Making, NotMade

NO_ADDRESS = (
    "The link needs the address that homeowners reach these pages under, and none is named: whoever runs the"
    f" program starts it with one, such as {NAMED_SO}"
)

SPANISH_SEALED = "-sellado.pdf"
NOT_MADE = "Its translation could not be made yet ({why}). It is tried again"
GOES_WITHOUT = f"{NOT_MADE}; after the third time the mail goes with the English paper alone"
TOO_LARGE = "With its translation the mail would be too large"
BROKEN = "The program could not send it. Whoever runs it finds the reason in its log, under {reference}."


@dataclass(frozen=True)
class Post:
    """What every mail is sent with beside the settings of its firm."""

    public_url: str
    """The address that links carry, such as https://papers.example.com; empty where none is set."""
    secret: str | bytes
    """The key of the cookies, which tokens are made with."""
    translate: Make | None = None
    """Makes the paper in the language of a mail; without it none goes along."""
    context: ssl.SSLContext | None = None
    waits: Waits = field(default_factory=Waits)


@dataclass(frozen=True)
class Went:
    """How one try went."""

    mail: Mail
    number: str


def send_due(store: Any, post: Post, tell: Callable[[Went], object] = lambda went: None) -> list[Went]:
    """Try every mail that is due once; return what was tried, each as it stands afterwards.

    A server that is away is asked once a round for a firm: its other mails wait for the next.
    """
    tried: list[Went] = []
    away: set[int] = set()
    making = Making(post.translate)
    for due in store.mail_queue.due():
        if due.organisation in away:
            continue
        taken = store.mail_queue.take(due)
        if taken is None:
            now = store.mails.get(due.organisation, due.id)
            if not now.ended:
                continue
        elif not send(store, post, taken, making):
            away.add(due.organisation)
        found = store.mails.get(due.organisation, due.id)
        number = store.records.numbers(due.organisation, [due.record]).get(due.record, "")
        tried.append(Went(found, number))
        tell(tried[-1])
    return tried


def send(store: Any, post: Post, taken: Mail, making: Making) -> bool:
    """Try a mail that was taken, and write down how it went; False where the server itself is at fault."""
    queue = store.mail_queue
    settings = store.organisations.mail(taken.organisation)
    try:
        if not settings.get("host") or not settings.get("sender"):
            raise Failed(NOT_SET_UP, of_server=True)
        token, link = link_of(post, taken)
        ends, last = link_ends(store, taken)
        envelope = envelope_of(settings, taken.address, taken.message_id, taken.asked_at)
        record = store.records.get(taken.organisation, taken.record)
        told, paper = told_of(store, taken, record)
        beside = making.beside(taken, record, queue.carried(taken))
        write = partial(_written, told, envelope, taken.language, link, paper, last)
        try:
            body = write(beside)
            if beside.may_stay and len(body) > MOST_BYTES:
                raise Failed(TOO_LARGE, for_good=True, too_large=True)
            linked = partial(queue.link, taken, token, ends, beside.carried)
            said = hand_over(settings, envelope, body, linked, post.context, post.waits)
        except Failed as failed:
            if not (failed.too_large and beside.may_stay):
                raise
            linked = partial(queue.link, taken, token, ends, LEFT_OUT.carried)
            said = hand_over(settings, envelope, write(LEFT_OUT), linked, post.context, post.waits)
    except NotMade as why:
        # One that may have arrived with it never goes without.
        says = NOT_MADE if taken.state == PERHAPS else GOES_WITHOUT
        queue.failed(taken, says.format(why=why), begun=False)
        return True
    except Failed as failed:
        queue.failed(taken, str(failed), failed.for_good, failed.perhaps, failed.begun)
        return not failed.of_server
    except (Stopped, Erased, NotFound) as stopped:
        queue.failed(taken, str(stopped), for_good=True)
        return True
    except Exception as broken:
        # Whatever it is, the mail waits for its next try, and the page says so; what it was, the log.
        reference = secrets.token_hex(4)
        print(f"Mail, fault {reference}:", *format_exception(broken), sep="\n", file=sys.stderr)
        queue.failed(taken, BROKEN.format(reference=reference))
        raise
    queue.sent(taken, said)
    return True


def link_of(post: Post, mail: Mail) -> tuple[str, str]:
    """Return the token of a mail's link and the address it makes. Raises Failed without a public address."""
    if not post.public_url:
        raise Failed(NO_ADDRESS, of_server=True)
    token = token_of(post.secret, mail)
    return token, f"{post.public_url}/s/{token}" + ("?lang=es" if mail.language == "es" else "")


def link_ends(store: Any, mail: Mail) -> tuple[str | None, str]:
    """Return the stamp at which a mail's link ends, and its last day; None and nothing where it does not.

    A link that an earlier try may have brought ends as it was made, another by the firm's setting.
    """
    settings = store.organisations.get(mail.organisation).settings
    zone, days = firm_days.zone_of(settings), settings.get(firm_days.LINK_DAYS)
    made = [one for one in store.shares.all_for(mail.organisation, mail.record) if one.id == mail.share]
    ends = firm_days.days_after(store.database.now(), int(days), zone) if days else None
    ends = made[0].expires_at if made else ends
    return ends, firm_days.last_day(ends, zone).isoformat() if ends else ""


def envelope_of(settings: Mapping[str, Any], to: str, message_id: str, asked_at: str) -> letter.Envelope:
    """Return from whom, to whom and under which name, by a firm's settings."""
    sender = str(settings["sender"])
    return letter.Envelope(sender, str(settings.get("reply_to") or sender), to, message_id, asked_at)


def _written(
    told: letter.Told, envelope: letter.Envelope, language: str, link: str, paper: letter.Attached,
    last: str, beside: Beside,
) -> bytes:  # fmt: skip
    if beside.body is None:
        return letter.written(told, envelope, language, link, paper, last)
    named = letter.Attached(paper.body, spanish_name(paper.name, told.number))
    translation = letter.Attached(beside.body, f"{told.number}-espanol-traduccion{sealed_papers.PAPER}")
    return letter.written(told, envelope, language, link, named, last, translation)


def spanish_name(name: str, number: str) -> str:
    """Return what the English paper is called in a Spanish mail, all of it in Spanish.

    >>> spanish_name("C-000008-sealed.pdf", "C-000008"), spanish_name("C-000008.pdf", "C-000008")
    ('C-000008-ingles-sellado.pdf', 'C-000008-ingles.pdf')
    """
    return f"{number}-ingles{name.removeprefix(number).replace(sealed_papers.SEALED, SPANISH_SEALED)}"


def told_of(store: Any, mail: Mail, record: Record) -> tuple[letter.Told, letter.Attached]:
    """Return what a mail says of its record, and the paper as it is handed out. Raises NotFound, Erased.

    A seal carries the time at which the mail was asked for, so that every try has the same file.
    """
    names = store.records.file_names(mail.organisation, mail.record)
    papers = [name for name in names if name.endswith(sealed_papers.PAPER)]
    if not papers:
        raise NotFound("The paper is not there.")
    known = homeowner.Known.of(record)
    told = letter.Told(
        known.paper, known.number, known.kind, known.address, known.work_date, known.firm,
        homeowner.has_hazard(known),
    )  # fmt: skip
    asked_at = datetime.fromisoformat(mail.asked_at)
    # The archival twin has the longer name; a person wants the plain one.
    body, name = sealed_papers.handed_out(store, record, min(papers, key=len), _not_sealed, asked_at)
    end = sealed_papers.SEALED if name.endswith(sealed_papers.SEALED) else sealed_papers.PAPER
    return told, letter.Attached(body, record.number + end)


def _not_sealed(why: str) -> None:
    print(f"Mail: {why}", file=sys.stderr)


def account(tried: list[Went]) -> tuple[int, int, int]:
    """Return how many were sent, put off and given up."""
    states = [went.mail.state for went in tried]
    sent, given_up = states.count(SENT), sum(went.mail.ended for went in tried)
    return sent, len(states) - sent - given_up, given_up
