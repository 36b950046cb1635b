"""Mail servers of the tests, and a firm whose mail goes to one of them."""

from __future__ import annotations

import asyncio
import ssl
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import update

from heaterapp import archive
from heaterapp.archive.mail_shapes import Mail
from heaterapp.archive.mail_tables import mail as mail_table
from heaterapp.mailing.handing import Waits
from heaterapp.mailing.sending import Post, Went, send_due
from tests.archive.conftest import NOON, Firm, a_firm, quickly_hashed
from tests.mailing import post_office

PUBLIC, SECRET = "https://papers.harbor.example", "s" * 40
PATIENT = Waits(answer=30, content=30, whole=60)
"""Where nothing is slow but the machine."""


@pytest.fixture(scope="session")
def mail_loop() -> Iterator[asyncio.AbstractEventLoop]:
    with post_office.loop_of_its_own() as loop:
        yield loop


@pytest.fixture(scope="session")
def tls(tmp_path_factory: pytest.TempPathFactory) -> tuple[ssl.SSLContext, ssl.SSLContext]:
    """The server's and the client's side of a certificate for localhost."""
    return post_office.certificate(tmp_path_factory.mktemp("tls"))


@pytest.fixture
def office(mail_loop: asyncio.AbstractEventLoop) -> Iterator[post_office.PostOffice]:
    with post_office.opened(mail_loop) as made:
        yield made


@dataclass
class Mailing:
    """A firm with a record, mail set up, and a clock that is moved by hand."""

    store: archive.Store
    firm: Firm
    record: int
    number: str
    clock: list[Any]
    count: int = 0

    def ask(self, to: str = "mina@example.com", language: str = "en", record: int | None = None) -> Mail:
        self.count += 1
        given = (record or self.record, self.firm.office.id, to, language, f"form-{self.count:06}")
        return self.store.mails.ask(self.firm.id, *given)

    def send(self, minutes: float = 0, **more: Any) -> list[Went]:
        """Let some minutes pass, and one round send what is due."""
        self.clock[0] += timedelta(minutes=minutes)
        return send_due(self.store, Post(**{"public_url": PUBLIC, "secret": SECRET, "waits": PATIENT, **more}))

    def sends_to(self, settings: dict[str, Any]) -> None:
        self.store.organisations.save_settings(self.firm.id, {"mail": settings})

    def now(self, mail: Mail) -> Mail:
        return self.store.mails.get(self.firm.id, mail.id)

    def store_files(self) -> list[Path]:
        """The files of the database."""
        return sorted(Path(str(self.store.database.engine.url.database)).parent.glob("archive.sqlite3*"))

    def paper(self, record: int | None = None) -> bytes:
        return self.store.records.file(self.firm.id, record or self.record, "certificate.pdf")


@pytest.fixture(scope="module")
def firm_of_mails(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Mailing]:
    """One firm for all tests of a file."""
    clock = [NOON]
    with quickly_hashed():
        store = archive.open_store(data_dir=tmp_path_factory.mktemp("mailing"), clock=lambda: clock[0])
        firm = a_firm(store, "harborlight", "Harborlight Plumbing")
    yield Mailing(store, firm, 0, "", clock)
    store.close()


@pytest.fixture
def mailing(firm_of_mails: Mailing, office: post_office.PostOffice) -> Iterator[Mailing]:
    """That firm with a record of this test's own, and an empty queue."""
    made, firm = firm_of_mails, firm_of_mails.firm
    job = b'{"heater_kind":"heat_pump_storage","storage_gal":40}'
    issued = firm.issued(job=job, job_id=firm.new_job().id)
    made.record, made.number = issued.record, issued.number
    made.sends_to(office.settings())
    yield made
    with made.store.database.write() as connection:
        connection.execute(update(mail_table).values(state="withdrawn"))
