"""A real mail server on 127.0.0.1 for tests, told what to answer; and one that is broken on purpose."""

from __future__ import annotations

import asyncio
import contextlib
import ssl
import threading
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from aiosmtpd.smtp import SMTP, AuthResult, Envelope
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import NameOID

USER, PASSWORD = "papers", "kept-to-itself-9"
TAKEN = "250 2.0.0 taken"


class PostOffice:
    """What arrived, and what is answered next: an answer of each list is used once, then all is taken."""

    def __init__(self) -> None:
        self.arrived: list[Envelope] = []
        self.rcpt: list[str] = []
        self.content: list[str] = []
        self.drops = 0
        """How many contents are followed by a broken connection, each kept all the same."""
        self.greeted: list[str] = []
        self.port = 0

    def settings(self, **more: Any) -> dict[str, Any]:
        """Settings of a firm that lead here."""
        plain = {"host": "localhost", "port": self.port, "security": "none", "sender": "papers@harbor.example"}
        return {**plain, **more}

    async def handle_EHLO(self, server: Any, session: Any, envelope: Any, hostname: str, responses: Any) -> Any:
        session.host_name = hostname
        self.greeted.append(hostname)
        return responses

    async def handle_RCPT(self, server: Any, session: Any, envelope: Any, address: str, options: Any) -> str:
        answer = self.rcpt.pop(0) if self.rcpt else TAKEN
        if answer.startswith("2"):
            envelope.rcpt_tos.append(address)
        return answer

    async def handle_DATA(self, server: Any, session: Any, envelope: Envelope) -> str:
        answer = self.content.pop(0) if self.content else TAKEN
        if answer.startswith("2"):
            self.arrived.append(envelope)
        if self.drops:
            self.drops -= 1
            server.transport.abort()
        return answer


@contextlib.contextmanager
def loop_of_its_own() -> Iterator[asyncio.AbstractEventLoop]:
    """A loop in a thread, for any number of servers."""
    loop = asyncio.new_event_loop()
    thread = threading.Thread(target=loop.run_forever, daemon=True)
    thread.start()
    yield loop
    asyncio.run_coroutine_threadsafe(_all_ended(), loop).result(5)
    loop.call_soon_threadsafe(loop.stop)
    thread.join(5)
    loop.close()


async def _all_ended() -> None:
    others = asyncio.all_tasks() - {asyncio.current_task()}
    for task in others:
        task.cancel()
    await asyncio.gather(*others, return_exceptions=True)
    # What was aborted is closed a turn later.
    await asyncio.sleep(0.01)


@contextlib.contextmanager
def opened(
    loop: asyncio.AbstractEventLoop, context: ssl.SSLContext | None = None, tls: bool = False, **more: Any
) -> Iterator[PostOffice]:
    """A post office at a free port; with `context` it offers STARTTLS, or speaks TLS at once."""
    office = PostOffice()
    given = {"hostname": "mail.test", "enable_SMTPUTF8": True, "data_size_limit": 200_000, "loop": loop, **more}
    if context is not None and not tls:
        given["tls_context"] = context

    async def serve() -> Any:
        return await loop.create_server(
            lambda: SMTP(office, **given), "127.0.0.1", 0, ssl=context if tls else None
        )

    server = asyncio.run_coroutine_threadsafe(serve(), loop).result(5)
    office.port = server.sockets[0].getsockname()[1]
    yield office
    loop.call_soon_threadsafe(server.close)


def knows(server: Any, session: Any, envelope: Any, mechanism: str, data: Any) -> AuthResult:
    """Let in who has the one password."""
    return AuthResult(success=(data.login, data.password) == (USER.encode(), PASSWORD.encode()), handled=False)


def certificate(folder: Path, name: str = "localhost") -> tuple[ssl.SSLContext, ssl.SSLContext]:
    """A server's side with a certificate for this name, and a client's that trusts it."""
    key = ec.generate_private_key(ec.SECP256R1())
    who, now = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, name)]), datetime.now(UTC)
    made = (
        x509.CertificateBuilder().subject_name(who).issuer_name(who).public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - timedelta(days=1)).not_valid_after(now + timedelta(days=1))
        .add_extension(x509.SubjectAlternativeName([x509.DNSName(name)]), critical=False)
        .add_extension(x509.BasicConstraints(ca=True, path_length=None), critical=True)
        .sign(key, hashes.SHA256())
    )  # fmt: skip
    held = folder / f"{name}.pem"
    secret = key.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )
    held.write_bytes(made.public_bytes(serialization.Encoding.PEM) + secret)
    server = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    server.load_cert_chain(held)
    return server, ssl.create_default_context(cafile=str(held))


@contextlib.contextmanager
def broken(loop: asyncio.AbstractEventLoop, *lines: bytes, every_s: float = 0.0) -> Iterator[int]:
    """The port of a server that says these lines, or one again and again, and then nothing more."""

    there: list[asyncio.StreamWriter] = []

    async def say(reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        there.append(writer)
        with contextlib.suppress(ConnectionError):
            for line in lines:
                writer.write(line)
                await writer.drain()
                if every_s:
                    await asyncio.sleep(every_s)
            await reader.read()
        writer.close()

    async def serve() -> Any:
        return await asyncio.start_server(say, "127.0.0.1", 0)

    server = asyncio.run_coroutine_threadsafe(serve(), loop).result(5)
    yield server.sockets[0].getsockname()[1]

    async def end() -> None:
        server.close()
        for writer in there:
            writer.transport.abort()

    asyncio.run_coroutine_threadsafe(end(), loop).result(5)
