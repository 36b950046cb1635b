"""One mail as bytes: text, the same as HTML, and the paper; alike to the byte for every try."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from email.headerregistry import Address
from email.message import EmailMessage
from email.policy import SMTP, SMTPUTF8
from email.utils import format_datetime
from html import escape

from heaterapp.mailing import words
from heaterapp.mailing.addresses import needs_utf8

LONGEST_NAME, LONGEST_SUBJECT = 100, 150


@dataclass(frozen=True)
class Told:
    """What a mail says of a paper; texts as they are stored, whatever stands in them."""

    kind: str
    """certificate, correction_list, findings_report"""
    number: str
    heater_kind: str
    address: str
    work_date: str
    """ISO date, or empty."""
    firm: Mapping[str, str]
    """name, licence, phone"""


@dataclass(frozen=True)
class Envelope:
    """From whom, to whom and under which name a mail goes."""

    sender: str
    reply_to: str
    to: str
    message_id: str
    asked_at: str
    """`2026-03-14T09:26:53Z`: its date, whenever it goes."""

    @property
    def utf8(self) -> bool:
        """Whether only servers that take letters beyond ASCII in addresses can carry it."""
        return any(map(needs_utf8, (self.sender, self.reply_to, self.to)))


def written(told: Told, envelope: Envelope, language: str, link: str, paper: bytes) -> bytes:
    """Return the whole mail, ready to be handed over.

    link   the homeowner's page; empty where there is none, as for a correction list
    paper  the PDF, attached to the byte under its number
    """
    message = EmailMessage(policy=SMTPUTF8 if envelope.utf8 else SMTP)
    _address(message, envelope, told.firm)
    message["Subject"] = subject(told, language)
    lines = sentences(told, language, link)
    plain = "\n\n".join(lines) + "\n"
    _body(message, plain, _as_html(lines, language, link), language)
    message.add_attachment(paper, "application", "pdf", filename=f"{one_line(told.number)}.pdf")
    return _bytes(message, envelope)


def test_written(envelope: Envelope, firm: Mapping[str, str]) -> bytes:
    """Return the mail by which an owner tries the settings."""
    message = EmailMessage(policy=SMTPUTF8 if envelope.utf8 else SMTP)
    _address(message, envelope, firm)
    message["Subject"] = words.TEST_SUBJECT
    message.set_content(
        words.TEST.format(firm=one_line(firm.get("name") or "your firm")), cte="quoted-printable"
    )
    return _bytes(message, envelope)


def subject(told: Told, language: str) -> str:
    """Return the subject: what it is first, then where, cut where that is very long."""
    bare = words.SUBJECTS[told.kind].of(language).format(number=one_line(told.number))
    address = one_line(told.address)
    whole = words.AT.of(language).format(subject=bare, address=address) if address else bare
    return whole if len(whole) <= LONGEST_SUBJECT else f"{whole[: LONGEST_SUBJECT - 3].rstrip()}..."


def sentences(told: Told, language: str, link: str) -> list[str]:
    """Return the mail paragraph by paragraph."""

    def say(pair: words.Pair, **filled: str) -> str:
        return pair.of(language).format(**filled)

    firm = {name: one_line(told.firm.get(name) or "") for name in ("name", "licence", "phone")}
    number, address = one_line(told.number), one_line(told.address)
    heater = say(words.HEATERS.get(told.heater_kind, words.HEATERS[""]))
    facts = [say(words.DONE[told.kind], firm=firm["name"] or say(words.NO_FIRM), heater=heater)]
    facts += [say(words.WHERE, address=address)] if address else []
    date = words.day(told.work_date, language)
    facts += [say(words.WHEN, date=date)] if date else []
    page = [f"{say(words.PAGE)}\n{link}", say(words.PRIVATE)] if link else []
    ask = say(words.ASK_OR_CALL, phone=firm["phone"]) if firm["phone"] else say(words.ASK)
    licence = say(words.LICENCE, licence=firm["licence"]) if firm["licence"] else ""
    return [
        say(words.HELLO), "\n".join(facts), say(words.PAPER[told.kind], number=number), *page,
        say(words.WHAT_IT_IS[told.kind]), ask, "\n".join(filter(None, (firm["name"], licence))),
    ]  # fmt: skip


def one_line(text: object) -> str:
    """Return text as one line of printable characters: no header ends in it, no line begins."""
    plain = str(text).encode("utf-8", "replace").decode()
    return " ".join("".join(sign if sign.isprintable() else " " for sign in plain).split())


def _address(message: EmailMessage, envelope: Envelope, firm: Mapping[str, str]) -> None:
    name = one_line(firm.get("name") or "")[:LONGEST_NAME]
    message["From"] = _known(envelope.sender, name)
    message["Reply-To"] = _known(envelope.reply_to)
    message["To"] = _known(envelope.to)
    message["Date"] = format_datetime(datetime.fromisoformat(envelope.asked_at))
    message["Message-ID"] = envelope.message_id


def _known(address: str, name: str = "") -> Address:
    local, _, domain = address.rpartition("@")
    return Address(name, local, domain)


def _body(message: EmailMessage, plain: str, html: str, language: str) -> None:
    message.set_content(plain, cte="quoted-printable")
    message.add_alternative(html, subtype="html", cte="quoted-printable")
    message["Content-Language"] = language


def _as_html(lines: list[str], language: str, link: str) -> str:
    def paragraph(text: str) -> str:
        drawn = "<br>\n".join(
            f'<span dir="auto">{escape(line)}</span>' for line in text.split("\n") if line != link
        )
        shown = (
            f'<br>\n<a href="{escape(link)}">{escape(link)}</a>' if link and link in text.split("\n") else ""
        )
        return f'<p style="margin:0 0 1em">{drawn}{shown}</p>'

    return (
        f'<!doctype html>\n<html lang="{language}">\n<head><meta charset="utf-8"></head>\n'
        '<body style="font-family:sans-serif;font-size:16px;line-height:1.5;max-width:36em">\n'
        + "\n".join(map(paragraph, lines))
        + "\n</body>\n</html>\n"
    )


def _bytes(message: EmailMessage, envelope: Envelope) -> bytes:
    # Boundaries are drawn by chance otherwise, and a mail that is tried again would be another one.
    seed = hashlib.sha256(envelope.message_id.encode()).hexdigest()[:24]
    for turn, part in enumerate(part for part in message.walk() if part.is_multipart()):
        part.set_boundary(f"{turn}-{seed}")
    return message.as_bytes()
