"""One mail and a real mail server: taken, refused, not answered, cut off; and never without the TLS that was asked for."""

from __future__ import annotations

import asyncio
import socket
import ssl
from collections.abc import Iterator
from typing import Any

import pytest

from heaterapp.mailing.handing import Failed, Waits, hand_over
from heaterapp.mailing.letter import Envelope
from tests.mailing.conftest import PATIENT
from tests.mailing.post_office import PASSWORD, USER, PostOffice, broken, certificate, knows, opened

BODY = b"Subject: x\r\n\r\n.a line with a dot\r\nend\r\n"
SHORT = Waits(answer=0.15, content=0.15, whole=0.3)
Contexts = tuple[ssl.SSLContext, ssl.SSLContext]


def envelope(to: str = "mina@example.com", sender: str = "papers@harbor.example") -> Envelope:
    return Envelope(sender, sender, to, "<1@harbor.example>", "2026-03-14T12:00:00Z")


def hand(settings: dict[str, Any], to: str = "mina@example.com", **more: Any) -> str:
    return hand_over(settings, envelope(to), BODY, **{"waits": PATIENT, **more})


def refused(settings: dict[str, Any], words: str, *given: Any, **more: Any) -> Failed:
    with pytest.raises(Failed, match=words) as failed:
        hand(settings, *given, **more)
    return failed.value


@pytest.fixture
def secure(mail_loop: asyncio.AbstractEventLoop, tls: Contexts) -> Iterator[PostOffice]:
    """STARTTLS and a password are asked for."""
    rules = {"require_starttls": True, "auth_required": True, "authenticator": knows}
    with opened(mail_loop, tls[0], **rules) as made:
        yield made


def test_a_mail_arrives_to_the_byte(office: PostOffice) -> None:
    asked = []
    assert hand(office.settings(), ready=lambda: asked.append(len(office.arrived))) == "250 2.0.0 taken"
    (arrived,) = office.arrived
    assert arrived.original_content == BODY
    assert (arrived.mail_from, arrived.rcpt_tos) == ("papers@harbor.example", ["mina@example.com"])
    assert asked == [0], "asked once, before any of the content"
    assert set(office.greeted) == {"harbor.example"}, "the machine's own name is told to nobody"


def test_what_the_last_look_says_ends_the_try_with_nothing_handed_over(office: PostOffice) -> None:
    def stop() -> None:
        raise LookupError("taken back")

    with pytest.raises(LookupError):
        hand(office.settings(), ready=stop)
    assert not office.arrived


def test_starttls_and_a_password(secure: PostOffice, tls: Contexts) -> None:
    settings = secure.settings(security="starttls", user=USER, password=PASSWORD)
    assert hand(settings, context=tls[1]).startswith("250")
    assert len(secure.arrived) == 1
    wrong = refused({**settings, "password": "another"}, "535", context=tls[1])
    assert wrong.of_server
    assert not wrong.for_good, "the owner can put the settings right"
    assert "530" in str(refused(secure.settings(security="starttls"), "refused the sender", context=tls[1]))
    assert len(secure.arrived) == 1


def test_tls_from_the_first_byte(mail_loop: asyncio.AbstractEventLoop, tls: Contexts) -> None:
    with opened(mail_loop, tls[0], tls=True) as office:
        assert hand(office.settings(security="tls"), context=tls[1]).startswith("250")
        assert refused(office.settings(), "did not answer|broke the connection", waits=SHORT).of_server


def test_a_certificate_that_is_not_trusted_or_another_s_stops_all(
    secure: PostOffice, tls: Contexts, tmp_path_factory: pytest.TempPathFactory, mail_loop: asyncio.AbstractEventLoop
) -> None:
    settings = secure.settings(security="starttls", user=USER, password=PASSWORD)
    assert refused(settings, "certificate of localhost.*self-signed.*Nothing was sent").of_server
    theirs, trusted = certificate(tmp_path_factory.mktemp("other"), "another.example")
    with opened(mail_loop, theirs) as other:
        refused(other.settings(security="starttls"), "certificate.*mismatch", context=trusted)
        assert not other.arrived
    assert not secure.arrived


def test_a_server_without_starttls_gets_nothing_not_even_the_password(office: PostOffice) -> None:
    settings = office.settings(security="starttls", user=USER, password=PASSWORD)
    assert refused(settings, "offers no STARTTLS, and nothing is sent without it").of_server
    refused(office.settings(security="some"), "choose it again")
    refused({"host": "localhost", "port": office.port}, "choose it again")
    assert not office.arrived


def test_a_password_goes_in_plain_to_this_machine_only(
    mail_loop: asyncio.AbstractEventLoop, monkeypatch: pytest.MonkeyPatch
) -> None:
    with opened(mail_loop, auth_require_tls=False, authenticator=knows) as office:
        settings = office.settings(user=USER, password=PASSWORD)
        assert hand(settings).startswith("250")
        monkeypatch.setattr("heaterapp.mailing.handing._is_here", lambda smtp: False)
        refused(settings, "only over TLS")
        assert len(office.arrived) == 1
        monkeypatch.undo()
        refused({**settings, "password": "señor"}, "plain letters only")


@pytest.mark.parametrize(
    ("answer", "for_good", "of_server"),
    [("450 4.2.1 try later", False, False), ("550 5.1.1 no such user", True, False), ("421 closing", False, True),
     ("550 5.7.1 this mailbox is closed", True, False)],
)
def test_an_address_refused_for_now_or_for_good(
    office: PostOffice, answer: str, for_good: bool, of_server: bool
) -> None:
    office.rcpt = [answer]
    failed = refused(office.settings(), f"localhost refused this address: {answer}")
    assert (failed.for_good, failed.of_server) == (for_good, of_server)
    assert not office.arrived


@pytest.mark.parametrize(
    "answer",
    ["530 5.7.0 authentication required", "535 5.7.8 no", "538 5.7.11 no", "550 5.7.1 relaying denied",
     "554 5.7.1 <mina@example.com>: Relay access denied", "550 5.7.0 sign in first"],
)  # fmt: skip
def test_whom_the_server_does_not_serve_is_told_so_and_no_address_is_blamed(office: PostOffice, answer: str) -> None:
    for said in (office.rcpt, office.content):
        said.append(answer)
        failed = refused(office.settings(), f"localhost takes no mail by these settings: {answer}")
        assert (failed.for_good, failed.of_server) == (False, True)


@pytest.mark.parametrize(("answer", "for_good"), [("451 4.3.0 try later", False), ("554 5.7.1 not wanted", True)])
def test_a_content_refused_for_now_or_for_good(office: PostOffice, answer: str, for_good: bool) -> None:
    office.content = [answer]
    failed = refused(office.settings(), f"localhost refused the mail itself: {answer}")
    assert (failed.for_good, failed.of_server) == (for_good, False)


def test_a_mail_too_large_for_the_server_is_refused_for_good(mail_loop: asyncio.AbstractEventLoop) -> None:
    with opened(mail_loop, data_size_limit=10) as office:
        assert refused(office.settings(), "552").for_good


def test_nobody_at_the_port_and_no_such_host() -> None:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    settings = {"host": "127.0.0.1", "port": port, "security": "none"}
    assert refused(settings, "cannot be reached: Connection refused").of_server
    assert refused({**settings, "host": "no-such-host.invalid"}, "cannot be reached").of_server


@pytest.mark.parametrize(
    ("lines", "every_s", "words"),
    [
        ((), 0.0, "did not answer in time"),
        ((b"220 hello\r\n",), 0.0, "did not answer in time"),
        ((b"220-still here\r\n",) * 100, 0.05, "did not answer in time"),
        ((b"220-and more\r\n" * 5000,), 0.0, "answers without end"),
        ((b"220-" + b"x" * 900 + b"\r\n",) * 90, 0.0, "answers without end"),
        ((b"554 not you\r\n",), 0.0, "answered: 554 not you"),
        ((b"what is this\r\n",) * 3, 0.0, "127.0.0.1"),
        ((b"220 " + b"x" * 100_000 + b"\r\n",), 0.0, "127.0.0.1"),
        ((b"220 ok\r\n", b"\xff\x00\xfe\r\n"), 0.0, "127.0.0.1"),
    ],
    ids=["silent", "silent after the greeting", "drop by drop", "endless", "endless and wide", "refuses", "babbles", "long", "bytes"],
)  # fmt: skip
def test_a_server_that_is_no_good_costs_a_bounded_time(
    mail_loop: asyncio.AbstractEventLoop, lines: tuple[bytes, ...], every_s: float, words: str
) -> None:
    with broken(mail_loop, *lines, every_s=every_s) as port:
        failed = refused({"host": "127.0.0.1", "port": port, "security": "none"}, words, waits=SHORT)
    assert failed.of_server
    assert not failed.for_good


def test_after_a_connection_lost_behind_the_content_nobody_knows_whether_it_arrived(office: PostOffice) -> None:
    office.drops = 1
    failed = refused(office.settings(), "broke the connection off")
    assert (failed.for_good, failed.of_server, failed.perhaps) == (False, True, True)
    office.content = ["451 4.3.0 try later"]
    assert not refused(office.settings(), "451").perhaps
    assert len(office.arrived) == 1


def test_letters_beyond_ascii_go_where_they_can_and_are_refused_by_name_elsewhere(
    office: PostOffice, mail_loop: asyncio.AbstractEventLoop
) -> None:
    assert hand(office.settings(), "josé@example.com").startswith("250")
    assert office.arrived[0].rcpt_tos == ["josé@example.com"]
    with opened(mail_loop, enable_SMTPUTF8=False) as plain:
        assert refused(plain.settings(), "letters such as ñ or é", "josé@example.com").for_good
        assert not plain.arrived


def test_no_command_can_be_slipped_in_with_an_address(office: PostOffice) -> None:
    for to in ("a@b.example>\r\nRCPT TO:<thief@example.com", "a@b.example\nDATA"):
        assert refused(office.settings(), "is no address", to).for_good
    assert not office.arrived
