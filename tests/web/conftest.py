"""An app on an empty folder, with two firms and a person of each role in both.

visit("office")           a browser in which the office person of the first firm is signed in
visit("owner", firm="b")  the same for the second firm; visit(None) is nobody
visitor.get / .post / .post_json   post adds the form's secret by itself; without=True leaves it out
visitor.begin / .fill / .sign      an installer's job through plain forms; answers_of("gas_storage_us_ca")
firms["a"], people["a", "installer"], PASSWORD, store, app
"""

from __future__ import annotations

import html
import json
import re
import shutil
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from argon2 import PasswordHasher
from flask import Flask

from heaterapp import archive, create_app, demo
from heaterapp.archive import people as people_module
from heaterapp.archive.shapes import ROLES, Organisation, Person, Record
from heaterapp.filling.typed import shown
from heaterapp.issue import submission
from heaterapp.rules import CATALOGUE, SECTIONS
from tests.judged_once import judged_once
from tests.web.sent import Phone

PASSWORD = "copper-kettle-47"
PAPER = b"%PDF-1.7 fixed\n"
SECTION_PATH = re.compile(rf"/jobs/[^/]+/({'|'.join(SECTIONS)})")
JOBS = Path(__file__).parent.parent / "jobs"
START = {
    "heater_kind": "gas_storage", "job_kind": "same_place", "address_street": "12 N. Oak Ave", "place": "us_ca_2022",
}  # fmt: skip


def fixed_paper(record: archive.Record) -> dict[str, bytes]:
    """Papers without a renderer: the same few bytes, with the number."""
    return {f"{record.kind.replace('_', '-')}.pdf": PAPER + record.number.encode()}


SETTINGS: dict[str, Any] = {"TESTING": True, "SECRET_KEY": "test" * 8, "RENDER": fixed_paper}


def job_answers(name: str) -> dict[str, Any]:
    """The answers of a whole job of tests/jobs."""
    whole: dict[str, Any] = json.loads((JOBS / f"{name}.json").read_text(encoding="utf-8"))["answers"]
    return whole


def boxes_of(name: str, value: Any) -> dict[str, str]:
    """An answer as a person types it: input name -> text."""
    plainly = [str(one) for one in value] if isinstance(value, list) else value
    plainly = plainly if isinstance(plainly, (list, dict)) else str(plainly)
    return {name + end: text for end, text in shown(CATALOGUE[name], plainly).items()}


def hidden(page: str, name: str) -> str:
    """The value of a hidden field."""
    found = re.search(rf'name="{name}" value="([^"]*)"', page)
    assert found, f"no field {name} on the page"
    return html.unescape(found.group(1))


class Visitor:
    """A browser: its cookies, and the secret that its forms carry."""

    def __init__(self, app: Flask, person: Person | None):
        self.app, self.person = app, person
        self.client = app.test_client()
        self.known: tuple[str, str] | None = None
        if person is not None:
            token, _ = app.extensions["archive"].sessions.start(person.organisation, person.id, "test")
            with self.client.session_transaction() as session:
                session["token"] = token

    def get(self, path: str, **more: Any) -> Any:
        return self.client.get(path, **more)

    def secret(self) -> str:
        """Return the secret of a form: of the sign-in page, or of any page for who is signed in.

        It is the cookie's, so no page is asked while the cookie is the one that it was read under.
        """
        if self.known is not None and self.known[0] == self.cookie():
            return self.known[1]
        page = self.client.get("/check" if self.person else "/sign-in").get_data(as_text=True)
        found = re.search(r'name="csrf[-_]token"[^>]*?(?:content|value)="([^"]+)"', page)
        assert found, "no form secret on the page"
        self.known = self.cookie(), found.group(1)
        return self.known[1]

    def cookie(self) -> str:
        held = self.client.get_cookie(self.app.config["SESSION_COOKIE_NAME"])
        return held.value if held else ""

    def post(self, path: str, data: dict[str, Any] | None = None, without: bool = False, **more: Any) -> Any:
        fields = dict(data or {})
        if SECTION_PATH.fullmatch(path) and "revision" not in fields:
            # As the page's own form does: it always says which answers it was made of.
            shown = re.search(r'name="revision" value="(\d+)"', self.client.get(path).get_data(as_text=True))
            fields |= {"revision": shown.group(1)} if shown else {}
        if not without:
            fields["csrf_token"] = self.secret()
        return self.client.post(path, data=fields, **more)

    def post_json(self, path: str, data: Any, without: bool = False, **more: Any) -> Any:
        headers = {} if without else {"X-CSRFToken": self.secret()}
        return self.client.post(path, json=data, headers={**headers, **more.pop("headers", {})}, **more)

    def begin(self, **different: Any) -> str:
        """Start a job through its page; returns its id."""
        made = self.post("/jobs/new", {**START, **different})
        assert made.status_code == 302, made.text
        return str(made.location.split("/")[2])

    def fill(self, job: str, answers: dict[str, Any]) -> None:
        """Send every section's form once, as the page gave it, with these answers typed in."""
        for section in SECTIONS:
            page = self.get(f"/jobs/{job}/{section}").text
            fields = {name: hidden(page, name) for name in ("revision", "seen")} | {"go": "next"}
            for name, value in answers.items():
                if name in CATALOGUE and CATALOGUE[name].section == section:
                    fields |= boxes_of(name, value)
            sent = self.post(f"/jobs/{job}/{section}", fields)
            assert sent.status_code == 302, (section, re.findall(r"expected [^<]+", sent.text)[:3])

    def told(self, job: str, answers: dict[str, Any]) -> None:
        """Put all these answers into the job at once, as its sections' forms would have."""
        assert self.person is not None
        self.app.extensions["archive"].jobs.save_answers(self.person.organisation, job, answers)

    def accept(self, job: str, check: str, **given: str) -> Any:
        """Send the review's own form for one open finding, filled in."""
        page = self.get(f"/jobs/{job}/review").text
        form = re.search(rf'<form [^>]*>(?:(?!</form>).)*value="{re.escape(check)}".*?</form>', page, re.S)
        assert form, f"{check} offers no acceptance"
        shown = {name: hidden(form.group(0), name) for name in ("check", "of")}
        return self.post(f"/jobs/{job}/accept", {**shown, **given})

    def wish(self, job: str) -> dict[str, Any]:
        """The sign form of this job, filled in."""
        page = self.get(f"/jobs/{job}/sign").text
        return {
            "key": hidden(page, "key"), "digest": hidden(page, "digest"), "name": "Riley Okafor", "consent": "yes",
            "homeowner": "not_home",
        }  # fmt: skip

    def sign(self, job: str, **different: Any) -> Any:
        """Sign and issue."""
        return self.post(f"/jobs/{job}/sign", {**self.wish(job), **different})


@pytest.fixture(scope="module", autouse=True)
def answers_judged_once() -> Iterator[None]:
    """No page judges what a page before it had judged."""
    with judged_once():
        yield


@pytest.fixture
def answers_of() -> Callable[[str], dict[str, Any]]:
    return job_answers


@pytest.fixture(scope="session")
def filled_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A data folder with both firms and all people, made once with quick password hashes."""
    folder = tmp_path_factory.mktemp("filled")
    usual, people_module.hasher = (
        people_module.hasher,
        PasswordHasher(time_cost=1, memory_cost=8, parallelism=1),
    )
    try:
        store = archive.open_store(data_dir=folder)
        first = store.organisations.default()
        store.organisations.save(
            first.id,
            name="Harborlight Plumbing",
            licence="C36 000000",
            phone="555-0100",
            address="12 Quay Rd, Port Larkin",
        )
        store.organisations.save_settings(first.id, {"place": "us_ca_2022"})
        second = store.organisations.add("saltmarsh", "Saltmarsh Heating", phone="555-0199")
        for organisation in (first, second):
            for role in ROLES:
                store.people.add(
                    organisation.id, role, f"{role.title()} of {organisation.slug}", role, PASSWORD
                )
        store.close()
    finally:
        people_module.hasher = usual
    return folder


@pytest.fixture(scope="session")
def built_app(tmp_path_factory: pytest.TempPathFactory) -> Flask:
    """The app as it is built, once a session: its routes and its read templates cost more than most tests."""
    made = create_app(DATA_DIR=str(tmp_path_factory.mktemp("built")), **SETTINGS)
    # Each test has a store of its own.
    made.extensions["archive"].close()
    return made


@pytest.fixture
def app(
    built_app: Flask, filled_folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> Iterator[Flask]:
    """The app on this test's own copy of the filled folder; what a test sets in it is taken back."""
    monkeypatch.setattr(people_module, "hasher", PasswordHasher(time_cost=1, memory_cost=8, parallelism=1))
    shutil.copytree(filled_folder, tmp_path / "data")
    kept = dict(built_app.config), dict(built_app.extensions)
    built_app.config["DATA_DIR"] = str(tmp_path / "data")
    store = built_app.extensions["archive"] = archive.open_store(data_dir=tmp_path / "data", upgrade=False)
    yield built_app
    store.close()
    for now, before in zip((built_app.config, built_app.extensions), kept, strict=True):
        now.clear()
        now.update(before)


@pytest.fixture
def store(app: Flask) -> Any:
    return app.extensions["archive"]


@pytest.fixture
def stopped_clock(store: Any, monkeypatch: pytest.MonkeyPatch) -> datetime:
    """The archive's clock stands still, so that no wait for guessing runs out on a slow machine."""
    now = datetime.now(UTC)
    monkeypatch.setattr(store.database, "clock", lambda: now)
    return now


@pytest.fixture
def firms(store: Any) -> dict[str, Organisation]:
    return {"a": store.organisations.default(), "b": store.organisations.by_slug("saltmarsh")}


@pytest.fixture
def people(store: Any, firms: dict[str, Organisation]) -> dict[tuple[str, str], Person]:
    return {
        (firm, person.role): person
        for firm, organisation in firms.items()
        for person in store.people.all(organisation.id)
    }


@pytest.fixture
def visit(app: Flask, people: dict[tuple[str, str], Person]) -> Callable[..., Visitor]:
    def as_role(role: str | None = None, firm: str = "a") -> Visitor:
        return Visitor(app, people[firm, role] if role else None)

    return as_role


@pytest.fixture
def issue(store: Any, people: dict[tuple[str, str], Person]) -> Callable[..., Record]:
    def one(firm: str = "a", heater: str = "gas", job_id: str | None = None, **different: Any) -> Record:
        story = demo.Story("PL-0001", heater, "12 N. Oak Ave", "Dana Whitlock", "LW26K0041877", "2026-09-03")
        person = people[firm, "installer"]
        answers = {**demo.answers_of(story), **different}
        job = store.jobs.create(person.organisation, person.id, answers, job_id)
        if job.state == "issued":
            store.jobs.reopen(person.organisation, job.id)
            store.jobs.save_answers(person.organisation, job.id, different)
            job = store.jobs.get(person.organisation, job.id)
        job = store.jobs.save_signature(
            job.organisation, job.id, {"signatures": [{"name": person.name, "method": "typed"}]}
        )
        issued = store.issue_and_finish(submission(person, job, f"{job.id}.{job.revision}"), fixed_paper)
        return store.records.get(person.organisation, issued.record)

    return one


@pytest.fixture
def phone(visit: Callable[..., Visitor]) -> Phone:
    """The phone of the first firm's installer, signed in."""
    return Phone(visit("installer"))


@pytest.fixture
def answers(answers_of: Callable[[str], dict[str, Any]]) -> dict[str, Any]:
    """A whole job that a phone may send as it is."""
    return dict(answers_of("gas_storage_us_ca"))
