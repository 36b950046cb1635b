"""Mail servers of the tests, and a firm whose mail goes to one of them."""

from __future__ import annotations

import asyncio
import shutil
import ssl
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from heaterapp import archive
from heaterapp.archive.mail_shapes import Mail
from heaterapp.mailing.handing import Waits
from heaterapp.mailing.sending import Post, Went, send_due
from tests.archive.conftest import NOON, Firm, a_firm, quickly_hashed
from tests.mailing import post_office

PUBLIC, SECRET = "https://papers.harbor.example", "s" * 40
QUICK = Waits(answer=0.5, content=0.5, whole=1.0)


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
    clock: list[Any]
    count: int = 0

    def ask(self, to: str = "mina@example.com", language: str = "en", record: int | None = None) -> Mail:
        self.count += 1
        given = (record or self.record, self.firm.office.id, to, language, f"form-{self.count:06}")
        return self.store.mails.ask(self.firm.id, *given)

    def send(self, minutes: float = 0, **more: Any) -> list[Went]:
        """Let some minutes pass, and one round send what is due."""
        self.clock[0] += timedelta(minutes=minutes)
        return send_due(self.store, Post(**{"public_url": PUBLIC, "secret": SECRET, "waits": QUICK, **more}))

    def sends_to(self, settings: dict[str, Any]) -> None:
        self.store.organisations.save_settings(self.firm.id, {"mail": settings})

    def now(self, mail: Mail) -> Mail:
        return self.store.mails.get(self.firm.id, mail.id)

    def store_files(self) -> list[Path]:
        """The files of the database."""
        return sorted(Path(str(self.store.database.engine.url.database)).parent.glob("archive.sqlite3*"))

    def paper(self, record: int | None = None) -> bytes:
        return self.store.records.file(self.firm.id, record or self.record, "certificate.pdf")


@pytest.fixture(scope="session")
def firm_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An archive with a firm and nothing issued, made once."""
    folder = tmp_path_factory.mktemp("mailing")
    with quickly_hashed():
        store = archive.open_store(data_dir=folder, clock=lambda: NOON)
        a_firm(store, "harborlight", "Harborlight Plumbing")
        store.close()
    return folder


@pytest.fixture
def mailing(firm_folder: Path, tmp_path: Path, office: post_office.PostOffice) -> Iterator[Mailing]:
    shutil.copytree(firm_folder, tmp_path / "data")
    clock = [NOON]
    store = archive.open_store(data_dir=tmp_path / "data", clock=lambda: clock[0])
    organisation = store.organisations.by_slug("harborlight")
    people = [store.people.by_login(organisation.id, login) for login in ("ana", "olu")]
    firm = Firm(store, organisation, *people, store.jobs.create(organisation.id, people[0].id))
    job = b'{"heater_kind":"heat_pump_storage","storage_gal":40}'
    made = Mailing(store, firm, firm.issued(job=job).record, clock)
    made.sends_to(office.settings())
    yield made
    store.close()
