"""An archive of its own for every test, with two firms that must never see each other."""

import shutil
import threading
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import UTC, datetime

import pytest
from argon2 import PasswordHasher
from sqlalchemy import select

from heaterapp import archive
from heaterapp.archive import Facts, Job, Organisation, Person, Record, Submission, people
from heaterapp.archive.moving import form
from tests.archive.at_desk import failed_at_desk, opened_at_desk  # noqa: F401

NOON = datetime(2026, 3, 14, 12, 0, tzinfo=UTC)
ON_BOTH = {
    "amendments", "arrived", "correcting", "desk", "erasure", "exporting", "find", "holding", "inspections",
    "issuing", "jobs", "kept_rows", "months", "moving", "organisations", "papers", "people", "rechecks", "records",
    "seals", "search_alike", "shares", "superseding", "sweeps", "verify", "verify_recent", "voiding", "walls",
}  # fmt: skip


def paper(record: Record) -> dict[str, bytes]:
    """Papers that depend on the record alone."""
    return {
        "certificate.pdf": b"%PDF " + record.number.encode() + record.report,
        "certificate-archival.pdf": b"%PDF/A " + record.number.encode(),
    }


@dataclass
class Firm:
    """One organisation with an installer, somebody in the office, and a job."""

    store: archive.Store
    organisation: Organisation
    installer: Person
    office: Person
    job: Job
    keys: int = 0

    @property
    def id(self) -> int:
        return self.organisation.id

    def wish(self, **changes) -> Submission:
        """A submission with a fresh key, for the firm's job unless said otherwise."""
        self.keys += 1
        usual = Submission(
            organisation=self.id,
            person=self.installer.id,
            job_id=self.job.id,
            key=f"key-{self.id}-{self.keys:06}",
            kind="certificate",
            job=b'{"storage_gal":40}',
            report=b'{"outcome":"ready"}',
            signature=b'{"typed":"A. Reyes"}',
            ruleset_digest="ruleset-1",
            ruleset_version="1.0",
            ruleset_zip=b"the rules as a zip",
            facts=Facts(address="12 N. Oak Ave", owner="Mina Park", serial="AB-0012345", model="WH 40-T",
                        permit="B2026-0077", work_date="2026-03-13", installer="Ana Reyes",
                        place="us_ca_2022"),
        )  # fmt: skip
        return replace(usual, **changes)

    def issued(self, **changes) -> archive.Issued:
        wish = self.wish(**changes)
        self.store.jobs.reopen(self.id, wish.job_id)
        return self.store.issue_and_finish(wish, paper)

    def new_job(self, **answers) -> Job:
        return self.store.jobs.create(self.id, self.installer.id, answers)


def a_firm(store: archive.Store, slug: str, name: str) -> Firm:
    """A firm with an installer, somebody in the office and a job."""
    organisation = store.organisations.add(slug, name, "C36 0001", "555-0100", "1 Quay Street, Port Larkin")
    installer = store.people.add(organisation.id, "ana", "Ana Reyes", "installer", "a long password", "P-17")
    office = store.people.add(organisation.id, "olu", "Olu Grant", "office", "another password")
    return Firm(store, organisation, installer, office, store.jobs.create(organisation.id, installer.id))


@contextmanager
def quickly_hashed():
    """Argon2id at its smallest cost; the real cost is looked at in one test."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(people, "hasher", PasswordHasher(time_cost=1, memory_cost=8, parallelism=1))
        yield patch


@pytest.fixture(autouse=True)
def quick_hash():
    with quickly_hashed() as patch:
        yield patch


@pytest.fixture(scope="session")
def empty_archive(tmp_path_factory):
    folder = tmp_path_factory.mktemp("empty")
    archive.open_store(data_dir=folder).close()
    return folder / "archive.sqlite3"


@pytest.fixture
def folder(tmp_path, empty_archive):
    shutil.copy(empty_archive, tmp_path / "archive.sqlite3")
    return tmp_path


def pytest_generate_tests(metafunc):
    """Each test of a store runs on both databases, but for those that open the SQLite file by hand."""
    wanted, subject = metafunc.fixturenames, metafunc.module.__name__.rpartition("test_")[2]
    if "store" in wanted and "folder" not in wanted and subject in ON_BOTH:
        metafunc.parametrize("kept_in", ["sqlite", "postgresql"], indirect=True, scope="function")


def pytest_collection_modifyitems(config, items):
    """Of the absurd ids three kinds are tried on PostgreSQL: too large, text and a fraction."""
    odd = [item for item in items if "[postgresql-" in item.name and "an_absurd_id" in item.name]
    left = {item for item in odd if item.callspec.params["value"] not in (10**30, "1 OR 1=1", 1.5)}
    config.hook.pytest_deselected(items=sorted(left, key=lambda item: item.nodeid))
    items[:] = [item for item in items if item not in left]


@pytest.fixture
def kept_in(request):
    return getattr(request, "param", "sqlite")


@pytest.fixture
def store(request, kept_in):
    if kept_in == "sqlite":
        place = {"data_dir": request.getfixturevalue("folder")}
    else:
        place = {"url": request.getfixturevalue("postgres_url")}
    opened = archive.open_store(**place, upgrade=False, clock=lambda: NOON)
    yield opened
    opened.close()


@pytest.fixture
def firm(store) -> Firm:
    return a_firm(store, "harborlight", "Harborlight Plumbing")


@pytest.fixture
def other(store, firm) -> Firm:
    return a_firm(store, "larkin-heat", "Larkin Heat")


@pytest.fixture
def papers():
    return paper


@pytest.fixture
def at_once():
    """Run `work(0)`, `work(1)` ... in threads; return the answers and the errors."""

    def run(count, work):
        answers, errors = [], []

        def one(at):
            try:
                answers.append(work(at))
            except Exception as error:
                errors.append(error)

        threads = [threading.Thread(target=one, args=(at,)) for at in range(count)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        return answers, errors

    return run


def taken_along(store: archive.Store, organisation: int) -> bytes:
    with store.moving.leaving(organisation) as leaving:
        return b"".join(leaving.pieces())


@pytest.fixture(scope="session")
def left(tmp_path_factory):
    """An archive with one of everything, and its whole export: (store, firm, bytes)."""
    with quickly_hashed():
        store = archive.open_store(data_dir=tmp_path_factory.mktemp("left"), clock=lambda: NOON)
        firm = a_firm(store, "main", "Harborlight Plumbing")
        other = a_firm(store, "larkin-heat", "Larkin Heat")
        other.issued()
        first, second = firm.issued(), firm.issued()
        listed = firm.issued(job_id=firm.new_job().id, kind="correction_list")
        store.void(firm.id, listed.record, firm.office.id, "wrong house")
        gone = firm.issued(job_id=firm.new_job().id)
        store.erase(firm.id, gone.record, firm.office.id, "asked for")
        store.issue(firm.wish(job_id=firm.new_job().id))
        firm.token, _ = store.shares.make(firm.id, first.record, firm.office.id)
        store.amendments.save(firm.id, firm.office.id, {"name": "ours"})
        store.uploads.hold(firm.id, firm.installer.id, "a" * 64, b"\xff\xd8\xff a photo", 10, 10)
        store.desk.save(firm.id, firm.office.id, firm.job.id, facts={"permit_issued_on": "2026-03-02"})
        store.holds.place(firm.id, firm.job.id, firm.office.id, "a claim")
        mail = {"host": "mail.example", "sender": "papers@mail.example", "password": "hush"}
        store.organisations.save_settings(firm.id, {"mail": mail})
        store.mails.ask(firm.id, second.record, firm.office.id, "mina@example.com", "es", "a-key-of-mail")
        store.sessions.start(firm.id, firm.office.id)
    yield store, firm, taken_along(store, firm.id)
    store.close()


@pytest.fixture
def empty_place():
    """Say whether an archive has no row of any organisation."""

    def empty(store: archive.Store) -> bool:
        with store.database.read() as connection:
            return not any(connection.execute(select(table).limit(1)).first() for table in form.moved())

    return empty
