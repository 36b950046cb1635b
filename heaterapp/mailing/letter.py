"""One mail as bytes: text, the same as HTML, the paper, its translation; alike to the byte for every try."""

from __future__ import annotations

import hashlib
from base64 import b64encode
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from email.message import EmailMessage
from email.policy import SMTP
from email.utils import format_datetime
from html import escape

from heaterapp import homeowner
from heaterapp.archive.checking import JOINERS
from heaterapp.mailing import words
from heaterapp.mailing.addresses import needs_utf8

LONGEST_NAME, LONGEST_SUBJECT = 100, 150
LONGEST_PLAIN, ENCODED_AT_ONCE = 60, 42


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
    hazard: bool = False
    """Whether something was found for which the heater is to be left off."""


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


@dataclass(frozen=True)
class Attached:
    """The PDF that goes along, to the byte, and the name of its file."""

    body: bytes
    name: str


def written(
    told: Told, envelope: Envelope, language: str, link: str, paper: Attached, until: str = "",
    translation: Attached | None = None,
) -> bytes:  # fmt: skip
    """Return the whole mail, ready to be handed over.

    link         the homeowner's page
    until        the last day on which it opens, an ISO date; empty where it does not end
    translation  of the paper into the mail's language, where it goes along
    """
    message = EmailMessage(policy=SMTP)
    files = (paper.name, translation.name) if translation else ()
    lines = sentences(told, language, link, until, files)
    message.set_content("\n\n".join(lines) + "\n", cte="quoted-printable")
    message.add_alternative(_as_html(lines, language, link), subtype="html", cte="quoted-printable")
    for file, of in ((paper, "en"), (translation, language)) if translation else ((paper, ""),):
        spoken = [f"Content-Language: {of}"] if of else None
        message.add_attachment(
            file.body, "application", "pdf", filename=one_line(file.name), headers=spoken
        )
    message["Content-Language"] = language
    return _head(envelope, told.firm.get("name") or "", subject(told, language)) + _bytes(message, envelope)


def test_written(envelope: Envelope, firm: str) -> bytes:
    """Return the mail by which an owner tries the settings of a firm of this name."""
    message = EmailMessage(policy=SMTP)
    said = words.TEST.format(firm=one_line(firm) or "your firm")
    message.set_content(said, cte="quoted-printable")
    return _head(envelope, firm, words.TEST_SUBJECT) + _bytes(message, envelope)


def subject(told: Told, language: str) -> str:
    """Return the subject: what it is, and no address, for relays log it and locked screens show it."""
    whole = words.SUBJECTS[told.kind].of(language).format(number=one_line(told.number))
    return whole if len(whole) <= LONGEST_SUBJECT else f"{whole[: LONGEST_SUBJECT - 3].rstrip()}..."


def sentences(
    told: Told, language: str, link: str, until: str = "", files: Sequence[str] = ()
) -> list[str]:
    """Return the mail paragraph by paragraph; where a hazard was found, that first.

    files  the names of paper and translation, where both go along
    """

    def say(pair: words.Pair, **filled: str) -> str:
        return pair.of(language).format(**filled)

    firm = {name: one_line(told.firm.get(name) or "") for name in ("name", "licence", "phone")}
    number, address = one_line(told.number), one_line(told.address)
    facts = [homeowner.done(told.kind, told.heater_kind, firm["name"], told.work_date, language)]
    facts += [say(words.WHERE, address=address)] if address else []
    attached = [say(words.PAPER[told.kind], number=number)]
    if files:
        record, translation = map(one_line, files)
        both = "\n".join(say(one, record=record, translation=translation) for one in words.FILES.values())
        attached = [say(words.BOTH[told.kind], number=number), both]
    last = homeowner.day_in_words(until, language)
    ends = [say(words.ENDS, date=last)] if last else []
    page = [f"{say(words.PAGE[told.kind])}\n{link}", " ".join((say(words.PRIVATE), *ends))]
    ask = say(words.ASK_OR_CALL, phone=firm["phone"]) if firm["phone"] else say(words.ASK)
    licence = say(words.LICENCE, licence=firm["licence"]) if firm["licence"] else ""
    stop = [homeowner.STOP.of(language)] if told.hazard else []
    return [
        *stop, say(words.HELLO), "\n".join(facts), *attached, *page,
        say(words.WHAT_IT_IS[told.kind]), ask, "\n".join(filter(None, (firm["name"], licence))),
    ]  # fmt: skip


def one_line(text: object) -> str:
    """Return text as one line of printable characters: no header ends in it, no line begins."""
    plain = str(text).encode("utf-8", "replace").decode()
    return " ".join("".join(sign if sign.isprintable() or sign in JOINERS else " " for sign in plain).split())


def _head(envelope: Envelope, firm: str, about: str) -> bytes:
    # Written here to the letter: the standard library's own folding puts blanks into long names.
    date = format_datetime(datetime.fromisoformat(envelope.asked_at))
    lines = (
        f"From: {_phrase(one_line(firm)[:LONGEST_NAME])}<{one_line(envelope.sender)}>",
        f"Reply-To: {one_line(envelope.reply_to)}",
        f"To: {one_line(envelope.to)}",
        f"Date: {date}",
        f"Message-ID: {one_line(envelope.message_id)}",
        f"Subject: {_text(about)}",
    )
    return "".join(f"{line}\r\n" for line in lines).encode()


def _phrase(name: str) -> str:
    if not name:
        return ""
    plain = name.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{plain}" ' if _is_plain(name) else f"{_encoded(name)}\r\n "


def _text(line: str) -> str:
    return line if _is_plain(line) else _encoded(line)


def _is_plain(text: str) -> bool:
    return text.isascii() and "=?" not in text and len(text) <= LONGEST_PLAIN


def _encoded(text: str) -> str:
    """Return text as encoded words (RFC 2047), each of whole characters; blanks between them do not count."""
    words_of, held = [], b""
    for sign in text:
        more = sign.encode()
        if len(held) + len(more) > ENCODED_AT_ONCE:
            words_of.append(held)
            held = b""
        held += more
    return "\r\n ".join(f"=?utf-8?b?{b64encode(one).decode()}?=" for one in (*words_of, held))


LINK_BREAKS = "overflow-wrap:anywhere;word-break:break-all"


def _as_html(lines: list[str], language: str, link: str) -> str:
    def paragraph(text: str) -> str:
        drawn = "<br>\n".join(
            f'<span dir="auto">{escape(line)}</span>' for line in text.split("\n") if line != link
        )
        shown = ""
        if link in text.split("\n"):
            # A link has no place to break by itself, and is wider than a phone.
            shown = f'<br>\n<a style="{LINK_BREAKS}" href="{escape(link)}">{escape(link)}</a>'
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
