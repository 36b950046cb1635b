"""The commands: set-up, the first account, the demo, verify, serve; one sentence and 2 when something is missing."""

from __future__ import annotations

import io
import os
import signal
import socket
import sqlite3
import subprocess
import sys
import urllib.request
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from argon2 import PasswordHasher

from heaterapp import archive, demo, setup_check
from heaterapp.__main__ import main
from heaterapp.archive import audit
from heaterapp.archive import people as people_module
from heaterapp.web import serving

from .conftest import fixed_paper

ROOT = Path(__file__).parents[2]


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(people_module, "hasher", PasswordHasher(time_cost=1, memory_cost=8, parallelism=1))
    monkeypatch.setenv("HEATERAPP_DATA", str(tmp_path / "data"))
    monkeypatch.delenv("HEATERAPP_DATABASE_URL", raising=False)
    return tmp_path / "data"


@pytest.fixture
def typed(monkeypatch: pytest.MonkeyPatch) -> Any:
    return lambda text: monkeypatch.setattr(sys, "stdin", io.StringIO(text))


@pytest.fixture
def store(folder: Path) -> Iterator[Any]:
    opened = archive.open_store(data_dir=folder)
    yield opened
    opened.close()


@pytest.mark.parametrize("command", ["person", "verify", "serve"])
def test_without_a_database_one_sentence_says_what_to_run(
    folder: Path, command: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(setup_check, "require", lambda: None)
    assert main([command]) == 2
    said = capsys.readouterr().err
    assert said.count("\n") == 1
    assert "python -m heaterapp setup" in said
    assert not folder.exists()


def test_setup_can_be_run_again(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["setup", "--firm", "Harborlight Plumbing"]) == 0
    assert "python -m heaterapp person" in capsys.readouterr().out
    assert main(["setup", "--firm", "Another"]) == 0
    opened = archive.open_store(data_dir=folder)
    assert opened.organisations.default().name == "Harborlight Plumbing"
    opened.close()


def test_the_first_account_is_the_owners_and_the_next_an_installers(folder: Path, typed: Any) -> None:
    main(["setup"])
    for login, role in (("tomas", "owner"), ("riley", "installer")):
        typed("copper-kettle-47\n")
        assert main(["person", "--name", login.title(), "--login", login, "--password-stdin"]) == 0
        opened = archive.open_store(data_dir=folder)
        firm = opened.organisations.default().id
        assert opened.people.by_login(firm, login).role == role
        assert opened.people.sign_in(firm, login, "copper-kettle-47", "").login == login
        opened.close()


def test_a_firm_is_not_left_without_an_owner(folder: Path, typed: Any, capsys: Any) -> None:
    main(["setup"])
    given = ["person", "--name", "Riley", "--login", "riley", "--password-stdin", "--role"]
    typed("copper-kettle-47\n")
    assert main([*given, "installer"]) == 2
    assert "the owner's" in capsys.readouterr().err
    typed("copper-kettle-47\n")
    assert main([*given, "owner"]) == 0


@pytest.mark.parametrize(
    ("arguments", "password", "says"),
    [
        (["--name", "A", "--login", "a", "--password-stdin"], "", "at least 10 characters"),
        (["--name", "A", "--login", "a", "--password-stdin"], "password12345\n", "guessed first"),
        (["--name", "A", "--login", "a", "--password-stdin"], "x" * 20_000, "at most 256 characters"),
        (["--name", "A", "--login", "", "--password-stdin"], "copper-kettle-47\n", "--login"),
        (["--login", "a", "--password-stdin"], "copper-kettle-47\n", "--name"),
        (["--name", "A", "--login", "a"], "copper-kettle-47\n", "--password-stdin"),
        (["--name", "A", "--login", "a b\x01", "--password-stdin"], "copper-kettle-47\n", "login"),
        (
            ["--name", "A", "--login", "a", "--firm", "none", "--password-stdin"],
            "copper-kettle-47\n",
            "organisation",
        ),
    ],
)
def test_a_first_account_that_cannot_be_made_says_why(
    folder: Path,
    typed: Any,
    capsys: pytest.CaptureFixture[str],
    arguments: list[str],
    password: str,
    says: str,
) -> None:
    main(["setup"])
    capsys.readouterr()
    typed(password)
    assert main(["person", *arguments]) == 2
    said = capsys.readouterr().err
    assert says in said
    assert said.count("\n") == 1
    opened = archive.open_store(data_dir=folder)
    assert opened.people.all(opened.organisations.default().id) == []
    opened.close()


def test_what_is_asked_on_a_terminal(folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: Any) -> None:
    class Terminal(io.StringIO):
        def isatty(self) -> bool:
            return True

    main(["setup"])
    answers = iter(["Tomas Lindqvist", "tomas"])
    monkeypatch.setattr(sys, "stdin", Terminal())
    monkeypatch.setattr("builtins.input", lambda words: next(answers))
    passwords = iter(["copper-kettle-47", "copper-kettle-48"])
    monkeypatch.setattr("getpass.getpass", lambda words: next(passwords))
    assert main(["person"]) == 2
    assert "differ" in capsys.readouterr().err
    answers = iter(["Tomas Lindqvist", "tomas"])
    passwords = iter(["copper-kettle-47"] * 2)
    assert main(["person"]) == 0
    assert "can sign in as tomas (owner)" in capsys.readouterr().out
    answers = iter([""])
    assert main(["person"]) == 2


def test_a_wrong_role_or_command_or_port_is_refused_by_name(folder: Path, capsys: Any) -> None:
    for wrong in (
        ["person", "--role", "emperor"],
        ["conjure"],
        [],
        *(["serve", "--port", p] for p in ("x", "0", "99999", "-1", "0000019999999")),
    ):
        with pytest.raises(SystemExit) as stopped:
            main(wrong)
        assert stopped.value.code == 2
        assert "usage:" in capsys.readouterr().err


def test_the_demo_tells_a_whole_town_and_can_be_told_again(store: Any) -> None:
    said: list[str] = []
    signs = demo.fill(store, fixed_paper, said.append)
    firm = store.organisations.default()
    first = [(hit.number, hit.facts.address, hit.superseded_by_number) for hit in store.find(firm.id).hits]
    jobs = store.jobs.all(firm.id)
    assert len(said) == len(demo.STORIES) == len(jobs) - 1 == 12
    drafts = {job.answers["job_ref"] for job in jobs if job.state == "draft"}
    assert drafts >= {"PL-0409", "PL-0410", "PL-0411", "PL-0412"}
    assert {number[0] for number, _, _ in first} == {"C", "L", "F"}
    assert [number for number, _, later in first if later]
    ended = {
        story.ref: store.records.of_job(firm.id, str(demo.uuid5(demo.MADE_BY, story.ref)))
        for story in demo.STORIES
    }
    assert [hit.kind for hit in ended["PL-0404"]] == ["certificate", "correction_list"]
    assert [hit.kind for hit in ended["PL-0403"]] == ["correction_list"]
    assert [hit.kind for hit in ended["PL-0406"]] == ["findings_report"]
    assert demo.fill(store, fixed_paper, said.append) == signs
    assert [
        (hit.number, hit.facts.address, hit.superseded_by_number) for hit in store.find(firm.id).hits
    ] == first
    for login, _, role, password, _ in demo.PEOPLE:
        assert store.people.sign_in(firm.id, login, password, "").role == role
        assert password in signs
    assert store.verify().ok


def test_the_demo_never_mixes_with_a_firm_of_its_own(store: Any) -> None:
    firm = store.organisations.default()
    store.people.add(firm.id, "me", "Me", "owner", "copper-kettle-47")
    with pytest.raises(demo.NotEmpty, match="HEATERAPP_DATA"):
        demo.fill(store, fixed_paper)
    store.organisations.save(firm.id, name="My Own Firm")
    with pytest.raises(demo.NotEmpty):
        demo.fill(store, fixed_paper)


def test_verify_names_a_fault_and_exits_1(folder: Path, store: Any, capsys: Any) -> None:
    demo.fill(store, fixed_paper, lambda line: None)
    assert main(["verify"]) == 0
    assert "no fault" in capsys.readouterr().out
    raw = sqlite3.connect(folder / "archive.sqlite3")
    for (name,) in raw.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
        raw.execute(f"DROP TRIGGER {name}")
    raw.execute(
        "UPDATE payload SET body = ? WHERE name = 'certificate.pdf' AND record = 1", (b"%PDF-1.7 forged",)
    )
    raw.commit()
    raw.close()
    assert main(["verify"]) == 1
    assert "payload" in capsys.readouterr().err


def test_serve_looks_at_the_newest_part_alone(
    folder: Path, store: Any, capsys: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    def whole(self: Any) -> Any:
        raise AssertionError("the whole archive was walked before the first page")

    demo.fill(store, fixed_paper, lambda line: None)
    monkeypatch.setattr(audit.Audit, "verify", whole)
    monkeypatch.setattr(setup_check, "require", lambda: None)
    monkeypatch.setattr(serving, "serve", lambda *more: None)
    assert main(["serve"]) == 0
    raw = sqlite3.connect(folder / "archive.sqlite3")
    raw.execute("UPDATE log_head SET seq = seq + 1")
    raw.commit()
    raw.close()
    assert main(["serve"]) == 1
    assert "log_head" in capsys.readouterr().err
    assert main(["serve", "--damaged"]) == 0


def test_a_database_file_that_is_none_is_one_sentence(folder: Path, capsys: Any) -> None:
    folder.mkdir()
    (folder / "archive.sqlite3").write_bytes(b"this is no database" * 100)
    for command in ("verify", "person"):
        assert main([command]) == 2
        said = capsys.readouterr().err
        assert "cannot be opened" in said
        assert said.count("\n") == 1


def test_a_setting_that_is_wrong_is_one_sentence(folder: Path, capsys: Any, monkeypatch: Any) -> None:
    monkeypatch.setenv("HEATERAPP_PROXIES", "many")
    assert main(["setup"]) == 2
    assert "HEATERAPP_PROXIES" in capsys.readouterr().err


def test_a_port_in_use_is_one_sentence(folder: Path, capsys: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(setup_check, "require", lambda: None)
    main(["setup"])
    capsys.readouterr()
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        assert main(["serve", "--port", str(port)]) == 2
    said = capsys.readouterr().err
    assert f"Port {port}" in said
    assert "--port" in said
    assert said.count("\n") == 1


def test_serving_answers_and_ends_when_told(folder: Path) -> None:
    main(["setup"])
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    server = subprocess.Popen(
        [sys.executable, "-m", "heaterapp", "serve", "--port", str(port)],
        cwd=ROOT, env={**os.environ, "PYTHONUNBUFFERED": "1"}, stdout=subprocess.PIPE, text=True,
    )  # fmt: skip
    try:
        lines = []
        for line in server.stdout:
            lines.append(line)
            if line.startswith("Serving on "):
                break
        assert f"http://127.0.0.1:{port}" in lines[-1], lines
        with urllib.request.urlopen(f"http://127.0.0.1:{port}/healthz", timeout=20) as answer:
            assert answer.read() == b"ok\n"
            assert answer.headers["Content-Security-Policy"]
            assert "Server" not in answer.headers
        server.send_signal(signal.SIGTERM)
        assert server.wait(20) == 0
    finally:
        server.kill()
        server.communicate()


