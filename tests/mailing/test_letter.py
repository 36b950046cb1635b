"""What a mail says, part by part: read back as a mail program reads it, whatever stands in a record."""

from __future__ import annotations

import email
import re
import string
from dataclasses import replace
from email.header import decode_header, make_header
from email.message import EmailMessage
from email.policy import SMTP, default
from email.utils import unquote
from typing import Any

import pytest
from bs4 import BeautifulSoup

from heaterapp.homeowner import STOP, page_of
from heaterapp.mailing import addresses, letter, words
from heaterapp.mailing.letter import Attached, Envelope, Told, written
from tests.homeowner.records import known, of_kind

PAPER = b"%PDF-1.7\r\n.\r\n..\nFrom here\n" + bytes(range(256))
ATTACHED = Attached(PAPER, "C-000001.pdf")
LINK = "https://papers.harbor.example/s/AbC-_123?lang=es"
FIRM = {"name": "Harborlight Plumbing", "licence": "C36 0001", "phone": "555-0100"}
ENVELOPE = Envelope(
    "papers@harbor.example", "office@harbor.example", "mina@example.com", "<0123456789abcdef@harbor.example>",
    "2026-03-14T12:00:00Z",
)  # fmt: skip
NEVER = re.compile(r"\b(safe|safely|guarante\w*|approv\w*|pass(es|ed)?|segur[oa]s?|garanti\w*|aprob\w*)\b", re.I)
ARABIC, HEBREW = "شارع النخيل ١٢", "רחוב האלון 7"


def told(**different: Any) -> Told:
    usual = {"kind": "certificate", "number": "C-000001", "heater_kind": "gas_storage", "address": "12 N. Oak Ave",
             "work_date": "2026-03-13", "firm": FIRM}  # fmt: skip
    return Told(**{**usual, **different})


def read(body: bytes) -> EmailMessage:
    return email.message_from_bytes(body, policy=default)  # type: ignore[return-value]


def parts(message: EmailMessage) -> tuple[str, str, bytes]:
    texts = [message.get_body((kind,)).get_content() for kind in ("plain", "html")]
    attached = list(message.iter_attachments())
    assert len(attached) == 1
    return texts[0], texts[1], attached[0].get_payload(decode=True)


def test_the_parts_are_what_a_mail_program_expects() -> None:
    message = read(written(told(), ENVELOPE, "en", LINK, ATTACHED))
    assert message.get_content_type() == "multipart/mixed"
    assert [part.get_content_type() for part in message.iter_parts()] == ["multipart/alternative", "application/pdf"]
    plain, html, paper = parts(message)
    assert paper == PAPER
    assert next(message.iter_attachments()).get_filename() == "C-000001.pdf"
    assert message["From"] == "Harborlight Plumbing <papers@harbor.example>"
    assert (message["Reply-To"], message["To"]) == ("office@harbor.example", "mina@example.com")
    assert message["Message-ID"] == ENVELOPE.message_id
    assert message["Date"].datetime.isoformat() == "2026-03-14T12:00:00+00:00"
    assert message["Subject"] == "Water heater certificate C-000001", "no address: relays log it"
    assert "Address: 12 N. Oak Ave" in plain
    assert not [name for name in message if name.startswith("List-") or name in ("Bcc", "Cc")]
    for said in ("installed a gas water heater on March 13, 2026.", LINK, "not a permit", "555-0100", "C36 0001"):
        assert said in plain
    link = BeautifulSoup(html, "html.parser").a
    assert link["href"] == LINK
    assert "overflow-wrap:anywhere" in link["style"], "a phone is narrower than the link"
    shown = [line.strip() for line in BeautifulSoup(html, "html.parser").body.get_text().splitlines() if line.strip()]
    assert shown == [line for line in plain.splitlines() if line], "both parts say the same"


def test_every_try_makes_the_same_bytes_in_short_lines_of_ascii() -> None:
    body = written(told(address=ARABIC), ENVELOPE, "es", LINK, ATTACHED)
    assert body == written(told(address=ARABIC), ENVELOPE, "es", LINK, ATTACHED)
    assert body.isascii()
    lines = body.split(b"\r\n")
    assert max(map(len, lines)) < 998
    assert b"\n" not in b"".join(lines)
    assert b"\r" not in b"".join(lines)


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("kind", list(words.SUBJECTS))
def test_each_paper_is_told_for_what_it_is(kind: str, language: str) -> None:
    message = read(written(told(kind=kind), ENVELOPE, language, LINK, ATTACHED))
    plain, html, _ = parts(message)
    assert message["Content-Language"] == language
    assert f'<html lang="{language}">' in html
    everything = f"{message['Subject']} {plain}"
    assert not NEVER.search(everything), NEVER.search(everything)
    not_a_certificate = "not a certificate" if language == "en" else "esto no es un certificado"
    assert (not_a_certificate in everything.lower()) == (kind == "correction_list")
    page = plain.partition(LINK)[0].splitlines()[-1]
    mended = "what must be mended" if language == "en" else "qué hay que corregir"
    assert (mended in page) == (kind == "correction_list"), page
    assert not re.search("certifica", page)
    if kind != "certificate":
        assert ("not an installer" if language == "en" else "No es un certificado") in plain or kind == "correction_list"
    others = kind == "findings_report"
    assert ("looked over" in plain or "revisó" in plain) == others
    assert ("Plumbing installed a" in plain or "Plumbing instaló" in plain) == (not others)


@pytest.mark.parametrize("language", ["en", "es"])
def test_a_hazard_is_said_first_and_nowhere_else(language: str) -> None:
    stop = STOP.of(language)
    for hazard in (True, False):
        plain, html, _ = parts(read(written(told(hazard=hazard), ENVELOPE, language, LINK, ATTACHED)))
        assert plain.startswith(stop) == hazard
        assert (stop in BeautifulSoup(html, "html.parser").text) == hazard


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("kind", list(words.SUBJECTS))
def test_mail_and_page_say_alike_who_did_what_and_when(kind: str, language: str) -> None:
    made = replace(known(of_kind("indirect")), paper=kind, work_date="2026-03-13")
    page = page_of(made, language).what[0]
    held = told(kind=kind, heater_kind=made.kind, work_date=made.work_date, firm=made.firm)
    plain, _, _ = parts(read(written(held, ENVELOPE, language, LINK, ATTACHED)))
    assert page in plain.splitlines()


def test_a_spanish_mail_says_that_its_paper_is_english_and_which_file_is_which() -> None:
    spanish = Attached(b"%PDF", "C-000001\r\nBcc: thief@example.com.pdf")
    for kind in words.SUBJECTS:
        plain, _, _ = parts(read(written(told(kind=kind), ENVELOPE, "es", LINK, ATTACHED)))
        assert "en inglés; en su página está en español" in plain
        message = read(written(told(kind=kind), ENVELOPE, "es", LINK, ATTACHED, "", spanish))
        body = message.get_body(("plain",)).get_content()
        assert "en su página está en español" not in body
        names = [one.get_filename() for one in message.iter_attachments()]
        assert names == ["C-000001.pdf", "C-000001 Bcc: thief@example.com.pdf"]
        assert f"{names[0]} está en inglés y es el que consta" in body
        assert f"{names[1]} es la traducción al español." in body
        assert not NEVER.search(body)


def pairs() -> dict[str, words.Pair]:
    found = {name: held for name, held in vars(words).items() if isinstance(held, words.Pair)}
    for name, held in vars(words).items():
        if isinstance(held, dict) and not name.startswith("_"):
            found |= {f"{name} {key}": one for key, one in held.items()}
    return found


def test_every_sentence_stands_in_both_languages_with_the_same_gaps_and_is_short() -> None:
    assert len(pairs()) > 15
    for name, pair in pairs().items():
        gaps = [sorted(field for _, field, _, _ in string.Formatter().parse(text) if field) for text in pair]
        assert gaps[0] == gaps[1], name
        assert pair.en != pair.es, name
        assert not NEVER.search(f"{pair.en} {pair.es}"), name
        for text in pair:
            longest = max(len(sentence.split()) for sentence in re.split(r"[.?!:]", text))
            assert longest <= 22, f"{name}: {text}"


@pytest.mark.parametrize(
    "line",
    ["x" * 300, ARABIC * 20, f"{HEBREW} & Söhne 🔥" * 9, "a\r\nBcc: thief@example.com", "a\n\n<b>c</b>\x00\u2028d", "\ud800 half",
     '"; rm, <x@y.example>', "=?utf-8?q?Bcc?= x", ""],
    ids=range(9),
)  # fmt: skip
def test_whatever_stands_in_a_record_ends_no_header_and_comes_back_whole(line: str) -> None:
    firm = {"name": line[:200], "licence": line, "phone": line}
    number = f"C-1{line[:3]}"
    file = Attached(PAPER, f"{number}.pdf")
    raw = written(told(address=line, firm=firm, number=number), ENVELOPE, "en", LINK, file)
    message = read(raw)
    plain, html, paper = parts(message)
    assert sorted(message.keys()) == sorted(
        ["From", "Reply-To", "To", "Date", "Message-ID", "Subject", "Content-Type", "MIME-Version", "Content-Language"]
    )
    assert not message.defects
    assert [one.addr_spec for one in message["From"].addresses] == ["papers@harbor.example"]
    assert [one.addr_spec for one in message["To"].addresses] == ["mina@example.com"]
    whole = letter.one_line(line)
    # As RFC 2047 has it: the newer reader of Python 3.11 puts blanks between the words of a long name.
    name = str(make_header(decode_header(email.message_from_bytes(raw)["From"]))).rpartition("<")[0].strip()
    assert unquote(name) == whole[:100].strip()
    assert message["Subject"].startswith(f"Water heater certificate {letter.one_line(number)}")
    assert len(whole) < 4 or whole not in message["Subject"]
    assert whole in plain
    assert whole in BeautifulSoup(html, "html.parser").get_text() or not whole
    assert len(message["Subject"]) <= letter.LONGEST_SUBJECT
    assert paper == PAPER


def test_a_very_long_address_and_message_id_stay_as_they_are() -> None:
    to = f"{'m' * 64}@{'a' * 60}.{'b' * 60}.{'c' * 50}.example"
    name = f"<{'0' * 32}@{'a' * 60}.{'b' * 60}.example>"
    envelope = Envelope("papers@harbor.example", "papers@harbor.example", to, name, "2026-03-14T12:00:00Z")
    raw = written(told(), envelope, "en", LINK, ATTACHED)
    assert read(raw)["To"].addresses[0].addr_spec == to
    assert f"Message-ID: {name}".encode() in raw.replace(b"\r\n ", b" ").replace(b":  ", b": ")


def test_letters_beyond_ascii_before_the_at_are_sent_as_they_are() -> None:
    envelope = Envelope("papers@harbor.example", "papers@harbor.example", "josé@example.com", "<1@b.example>", "2026-03-14T12:00:00Z")
    assert envelope.utf8
    raw = written(told(), envelope, "es", LINK, ATTACHED)
    assert "To: josé@example.com".encode() in raw
    assert parts(email.message_from_bytes(raw, policy=SMTP.clone(utf8=True)))[2] == PAPER


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        (" Mina.Park@Example.COM ", "Mina.Park@example.com"),
        ("o'hara+w@a-b.example", "o'hara+w@a-b.example"),
        ("jose\u0301@example.com", "josé@example.com"),
        ("a@münchen.example", "a@xn--mnchen-3ya.example"),
    ],
)
def test_an_address_is_read_into_the_form_it_goes_in(typed: str, kept: str) -> None:
    assert addresses.read(typed) == kept


@pytest.mark.parametrize(
    "typed",
    ["", "mina", "mina@", "@example.com", "a@b", "a@b@c.example", "a b@c.example", "a@b.example\r\nBcc: c@d.example",
     "a@b.example,c@d.example", "Mina <a@b.example>", '"a b"@c.example', "a..b@c.example", ".a@c.example", "a.@c.example",
     "a@[127.0.0.1]", "a@127.0.0.1", "a@-b.example", "a@b_c.example", "a\x00@b.example", "a\u202e@b.example",
     "a\u2028b@c.example", "a@straße.example", "a" * 65 + "@b.example", "é" * 40 + "@b.example", "a@" + "b" * 64 + ".example",
     "a@" + "b.example." * 30, "\ud800@b.example", "a@b.example>", "a;b@c.example", "a@☃\u200d.example"],
    ids=ascii,
)  # fmt: skip
def test_what_is_no_address_is_refused_by_name(typed: str) -> None:
    with pytest.raises(addresses.BadAddress, match=r"address|expected"):
        addresses.read(typed)
