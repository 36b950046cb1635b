"""One mail handed to a mail server: over verified TLS wherever the settings ask for it, or not at all."""

from __future__ import annotations

import ipaddress
import re
import smtplib
import socket
import ssl
import threading
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from typing import Any

from heaterapp.mailing.letter import Envelope, one_line
from heaterapp.mailing.line import Endless, Plain, Tls

READY, ACCEPTED, FORWARDED, SERVICE_ENDS, PERMANENT = 220, 250, 251, 421, 500
SECURITY = ("starttls", "tls", "none")
TOO_LARGE = (523, 552)
TOO_LARGE_SAID = re.compile(r"\b5\.(?:2\.3|3\.4)\b")
"""RFC 3463, 3.3 and 3.4, which some say with 550 or 554."""
LEAVES_IN_S = 2.0
LATE = "{} did not answer in time."
BAD_SETTINGS = (530, 534, 535, 538)
"""RFC 4954, 6: it wants a sign-in, or another one, whatever the address."""
RELAY = re.compile(r"\brelay|authenticat|\bsign in\b|\blog ?in\b", re.I)
"""What servers say, with 550 or 554 and 5.7.0 or 5.7.1 (RFC 3463, 3.8), of whom they do not serve."""
TEMPORARY = 400


@dataclass(frozen=True)
class Waits:
    """Seconds: for an answer, for the content to be taken, and for all of it.

    Servers may think long before they take a content: who leaves too early sends it twice.
    """

    answer: float = 60.0
    content: float = 300.0
    whole: float = 600.0


class Failed(Exception):
    """The mail was not taken. The text says who said what.

    for_good   trying again as it is would change nothing
    of_server  the server or the settings are at fault, so other mails would fail as well
    perhaps    all of the content was handed over and no answer came: it may have been taken
    too_large  a shorter mail may be taken
    begun      any of the content went: before that nothing can have arrived
    """

    def __init__(
        self, said: str, *, for_good: bool = False, of_server: bool = False, perhaps: bool = False,
        too_large: bool = False, begun: bool = False,
    ):  # fmt: skip
        super().__init__(said)
        self.for_good, self.of_server, self.perhaps = for_good, of_server, perhaps
        self.too_large, self.begun = too_large, begun


def hand_over(
    settings: Mapping[str, Any],
    envelope: Envelope,
    body: bytes,
    ready: Callable[[], object] = lambda: None,
    context: ssl.SSLContext | None = None,
    waits: Waits = Waits(),
) -> str:
    """Hand one mail to the server of the settings; return what it said when it took it.

    settings  host, port, security (starttls, tls, none), and user and password where it asks for them
    ready     called once the server has taken sender and receiver, before any of the content goes;
              what it raises ends the try with nothing handed over
    context   what certificates are trusted; by default what this machine trusts
    raises    Failed
    """
    host = str(settings["host"])
    for address in (envelope.sender, envelope.to):
        if not address.isprintable() or set(address) & set(" <>,;"):
            raise Failed(f"{one_line(address)} is no address that mail can go from or to.", for_good=True)
    if settings.get("security") not in SECURITY:
        raise Failed("The settings do not say by what security: choose it again.", of_server=True)
    smtp: Plain | None = None
    with _Ending(waits.whole) as ending:
        try:
            smtp = ending.smtp = _begun(settings, envelope, waits)
            _connect(smtp, settings, context)
            _sign_in(smtp, settings)
            _address(smtp, envelope, len(body), host)
            ready()
            smtp.sock.settimeout(waits.content)
            code, said = smtp.data(body)
            if code != ACCEPTED:
                raise smtplib.SMTPDataError(code, said)
            return _words(code, said)
        except smtplib.SMTPDataError as refused:
            code, said = refused.smtp_code, refused.smtp_error
            raise _refused(host, code, said, "the mail itself", **_gone(smtp, code)) from refused
        except (smtplib.SMTPException, UnicodeError, OSError) as broken:
            where = f"{host} port {settings['port']}"
            said = LATE.format(where) if ending.ended else _of_connection(where, broken)
            raise Failed(said, of_server=True, **_gone(smtp)) from broken
        finally:
            if smtp is not None:
                _leave(smtp)


def _gone(smtp: Plain | None, code: int = 0) -> dict[str, bool]:
    """Whether any of the content went, and whether it may have been taken: all went, no answer said no."""
    if smtp is None:
        return {}
    return {"begun": smtp.begun, "perhaps": smtp.handed_over and code < TEMPORARY}


def _of_connection(where: str, broken: Exception) -> str:
    """Say what went wrong with a server, as far as the mail itself is not at fault."""
    if isinstance(broken, smtplib.SMTPResponseException):
        return f"{where} answered: {_words(broken.smtp_code, broken.smtp_error)}"
    if isinstance(broken, ssl.SSLCertVerificationError):
        return f"The certificate of {where} was refused: {broken.verify_message}. Nothing was sent."
    if isinstance(broken, ssl.SSLError):
        return f"No TLS with {where}: {broken.reason or broken}. Nothing was sent."
    if isinstance(broken.__context__, Endless):
        return f"{where} answers without end."
    # smtplib tells of a server that says nothing as of one that left.
    if isinstance(broken, TimeoutError) or isinstance(broken.__context__, TimeoutError):
        return LATE.format(where)
    if isinstance(broken, smtplib.SMTPServerDisconnected):
        return f"{where} broke the connection off."
    if isinstance(broken, smtplib.SMTPNotSupportedError):
        return f"{where} cannot do what the settings ask: {broken}"
    if isinstance(broken, UnicodeError):
        return f"{where} takes user and password in plain letters only."
    if isinstance(broken, OSError):
        return f"{where} cannot be reached: {broken.strerror or broken}."
    return f"{where}: {broken}"


class _Ending:
    """Ends the connection once all of it has lasted too long, whatever the server still says drop by drop."""

    def __init__(self, seconds: float):
        self._timer = threading.Timer(seconds, self._end)
        self._timer.daemon = True
        self.smtp: smtplib.SMTP | None = None
        self.ended = False

    def __enter__(self) -> _Ending:
        self._timer.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._timer.cancel()

    def _end(self) -> None:
        self.ended = True
        sock = self.smtp.sock if self.smtp is not None else None
        if sock is not None:
            with suppress(OSError):
                # Below TLS, which another thread is reading through.
                socket.socket.shutdown(sock, socket.SHUT_RDWR)


def _begun(settings: Mapping[str, Any], envelope: Envelope, waits: Waits) -> Plain:
    own = envelope.sender.rpartition("@")[2] or "localhost"
    made = Tls if settings["security"] == "tls" else Plain
    smtp = made(local_hostname=own, timeout=waits.answer)
    # What TLS holds the server's certificate against; smtplib takes it of its constructor alone.
    smtp._host = str(settings["host"])
    return smtp


def _connect(smtp: smtplib.SMTP, settings: Mapping[str, Any], context: ssl.SSLContext | None) -> None:
    if settings["security"] != "none" and context is None:
        context = ssl.create_default_context()
    if isinstance(smtp, smtplib.SMTP_SSL):
        smtp.context = context
    code, said = smtp.connect(str(settings["host"]), int(settings["port"]))
    if code != READY:
        raise smtplib.SMTPResponseException(code, said)
    smtp.ehlo_or_helo_if_needed()
    if settings["security"] == "starttls":
        if not smtp.has_extn("starttls"):
            raise smtplib.SMTPNotSupportedError("it offers no STARTTLS, and nothing is sent without it.")
        smtp.starttls(context=context)
        smtp.ehlo_or_helo_if_needed()


def _sign_in(smtp: smtplib.SMTP, settings: Mapping[str, Any]) -> None:
    user, password = settings.get("user"), settings.get("password")
    if not user and not password:
        return
    if settings["security"] == "none" and not _is_here(smtp):
        raise Failed(
            "A password goes only over TLS, or to a mail server on this machine: choose STARTTLS or TLS.",
            of_server=True,
        )
    smtp.login(str(user or ""), str(password or ""))


def _is_here(smtp: smtplib.SMTP) -> bool:
    peer = smtp.sock.getpeername() if smtp.sock is not None else ("",)
    try:
        return ipaddress.ip_address(peer[0]).is_loopback
    except ValueError:
        return False


def _address(smtp: smtplib.SMTP, envelope: Envelope, size: int, host: str) -> None:
    options = [f"size={size}"] if smtp.has_extn("size") else []
    if envelope.utf8:
        if not smtp.has_extn("smtputf8"):
            raise Failed(
                f"{host} cannot send to or from an address with letters such as ñ or é before the @.",
                for_good=True,
            )
        options += ["SMTPUTF8", "BODY=8BITMIME"]
    code, said = smtp.mail(envelope.sender, options)
    if code != ACCEPTED:
        large = _is_large(code, said)
        raise _answered(host, code, said, "the sender", for_good=large, of_server=not large, too_large=large)
    code, said = smtp.rcpt(envelope.to)
    if code not in (ACCEPTED, FORWARDED):
        raise _refused(host, code, said, "this address")


def _refused(host: str, code: int, said: bytes | str, what: str, **gone: bool) -> Failed:
    """Say who refused what: an address or a mail for good, unless it is us whom the server does not serve."""
    ours = code in BAD_SETTINGS or (code >= PERMANENT and RELAY.search(_words(code, said)))
    if ours:
        return Failed(f"{host} takes no mail by these settings: {_words(code, said)}", of_server=True, **gone)
    kind = {"for_good": code >= PERMANENT, "of_server": code == SERVICE_ENDS, **gone}
    return _answered(host, code, said, what, too_large=_is_large(code, said), **kind)


def _is_large(code: int, said: bytes | str) -> bool:
    return code in TOO_LARGE or (code >= PERMANENT and bool(TOO_LARGE_SAID.search(_words(code, said))))


def _answered(host: str, code: int, said: bytes | str, what: str, **kind: bool) -> Failed:
    return Failed(f"{host} refused {what}: {_words(code, said)}", **kind)


def _words(code: int, said: bytes | str) -> str:
    text = said.decode("utf-8", "replace") if isinstance(said, bytes) else said
    return f"{code} {text}".strip()


def _leave(smtp: smtplib.SMTP) -> None:
    with suppress(smtplib.SMTPException, OSError):
        if smtp.sock is not None:
            smtp.sock.settimeout(LEAVES_IN_S)
            smtp.quit()
    smtp.close()
