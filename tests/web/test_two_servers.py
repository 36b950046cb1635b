"""Two server processes on one PostgreSQL, their papers in one S3-compatible place: as good as one."""

from __future__ import annotations

import http.client
import json
import os
import re
import signal
import socket
import subprocess
import sys
import threading
import time
import urllib.parse
import uuid
from pathlib import Path
from typing import Any

import pytest
from argon2 import PasswordHasher
from sqlalchemy import update

from heaterapp import archive
from heaterapp.archive import people as people_module
from heaterapp.archive.tables import throttle
from tests.web.conftest import PASSWORD, job_answers
from tests.web.sent import signed

ROOT = Path(__file__).parent.parent.parent
# The very `serve`, but for its papers: fixed bytes, large enough to lie outside the database, and slow.
SERVER = """
import pathlib, sys, time
from heaterapp.__main__ import main
from heaterapp.web import settings

def paper(record):
    time.sleep(float(pathlib.Path(sys.argv[2]).read_text()))
    return {"certificate.pdf": b"%PDF " + record.number.encode() + b" " * 5000}

settings.DEFAULTS["RENDER"] = paper
sys.exit(main(["serve", "--port", sys.argv[1]]))
"""
PAPER_S = "0.1"
# While a server starts papers are in hand throughout, however long it takes, and they are few.
LONG_PAPER_S = "1"


class Server:
    """One process of `serve`, and a browser's visits to it."""

    def __init__(self, environ: dict[str, str], folder: Path):
        with socket.socket() as probe:
            probe.bind(("127.0.0.1", 0))
            self.port = probe.getsockname()[1]
        self.said = folder / f"server-{self.port}.txt"
        environ = {**environ, "HEATERAPP_DATA": str(folder / f"data-{self.port}")}
        with open(self.said, "wb") as said:
            program = [sys.executable, "-c", SERVER, str(self.port), str(folder / "paper-s")]
            self.process = subprocess.Popen(program, cwd=ROOT, env=environ, stdout=said, stderr=said)

    def wait(self) -> None:
        ends = time.monotonic() + 60
        while "Serving on" not in self.said.read_text():
            assert self.process.poll() is None, self.said.read_text()
            assert time.monotonic() < ends, self.said.read_text()
            time.sleep(0.02)

    def ask(self, method: str, path: str, body: Any = None, **headers: str) -> tuple[int, str, str]:
        """Return status, text and the cookie that was set."""
        line = http.client.HTTPConnection("127.0.0.1", self.port, timeout=30)
        try:
            line.request(method, path, body, headers)
            answer = line.getresponse()
            cookie = (answer.getheader("Set-Cookie") or "").partition(";")[0]
            return answer.status, answer.read().decode(), cookie
        finally:
            line.close()

    def sign_in(self, password: str, login: str = "installer") -> tuple[int, str]:
        """Return status and the cookie of who is signed in."""
        _, page, cookie = self.ask("GET", "/sign-in")
        secret = re.search(r'name="csrf[-_]token"[^>]*?(?:content|value)="([^"]+)"', page)[1]
        form = urllib.parse.urlencode({"login": login, "password": password, "csrf_token": secret})
        kind = {"Content-Type": "application/x-www-form-urlencoded", "Cookie": cookie}
        status, _, begun = self.ask("POST", "/sign-in", form, **kind)
        return status, begun

    def send(self, cookie: str, secret: str, parcel: dict[str, Any]) -> tuple[int, dict[str, Any]]:
        kind = {"Content-Type": "application/json", "Cookie": cookie, "X-CSRFToken": secret}
        path = f"/phone/api/parcels/{parcel['draft']}"
        status, text, _ = self.ask("PUT", path, json.dumps(parcel), **kind)
        return status, json.loads(text)


@pytest.fixture
def kept(postgres_url: str, s3_bucket: tuple[str, str], monkeypatch: pytest.MonkeyPatch) -> Any:
    """The archive that both servers serve, with one installer."""
    monkeypatch.setattr(people_module, "hasher", PasswordHasher(time_cost=1, memory_cost=8, parallelism=1))
    place, endpoint = s3_bucket
    store = archive.open_store(url=postgres_url, upgrade=False, blobs=place, blobs_endpoint=endpoint)
    firm = store.organisations.default()
    store.organisations.save(firm.id, name="Harborlight Plumbing", licence="C36 000000")
    store.organisations.save_settings(firm.id, {"place": "us_ca_2022"})
    for login in ("installer", "guessed"):
        store.people.add(firm.id, login, "Riley Okafor", "installer", PASSWORD)
    yield store
    store.close()


def _parcels(count: int) -> list[dict[str, Any]]:
    whole = signed(job_answers("gas_storage_us_ca"))
    return [{**whole, "draft": str(uuid.uuid4())} for _ in range(count)]


def _at_once(work: list[Any]) -> list[Any]:
    answers: list[Any] = [None] * len(work)

    def one(at: int) -> None:
        try:
            answers[at] = work[at]()
        except (OSError, http.client.HTTPException) as cut:
            answers[at] = cut

    threads = [threading.Thread(target=one, args=(at,)) for at in range(len(work))]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return answers


def test_two_servers_are_as_good_as_one(
    kept: Any, postgres_url: str, s3_bucket: tuple[str, str], tmp_path: Path
) -> None:
    environ = {
        **os.environ, "HEATERAPP_DATABASE_URL": postgres_url, "HEATERAPP_BLOBS": s3_bucket[0],
        "HEATERAPP_S3_ENDPOINT": s3_bucket[1], "HEATERAPP_SECRET_KEY": "shared by both " * 3,
    }  # fmt: skip
    firm, pace = kept.organisations.default().id, tmp_path / "paper-s"
    pace.write_text(PAPER_S)
    first, second = servers = [Server(environ, tmp_path) for _ in range(2)]
    try:
        for server in servers:
            server.wait()
        status, cookie = first.sign_in(PASSWORD)
        assert status in (302, 303)
        # Who signed in on one is signed in on the other, and its forms carry the same secret.
        assert second.ask("GET", "/jobs", Cookie=cookie)[0] == 200
        _, account, cookie = second.ask("GET", "/phone/api/account", Cookie=cookie)
        secret = json.loads(account)["csrf"]

        # Twelve phones at once, half to each; four of them send the same parcel to both.
        parcels = _parcels(8)
        sent = [(servers[at % 2], parcel) for at, parcel in enumerate(parcels)]
        sent += [(second, parcels[0]), (first, parcels[1]), (second, parcels[2]), (first, parcels[3])]
        answers = _at_once([lambda s=s, p=p: s.send(cookie, secret, p) for s, p in sent])
        assert {status for status, _ in answers} <= {200, 201}, answers
        numbers = [told["number"] for _, told in answers]
        assert [numbers[at] for at in (8, 9, 10, 11)] == [numbers[at] for at in (0, 1, 2, 3)]
        assert sorted(set(numbers)) == [f"C-{number:06d}" for number in range(1, 9)]

        # A killed one in the middle of issuing: its phones turn to the other, and what it began is finished.
        parcels = _parcels(6)
        strike = threading.Timer(0.25, lambda: first.process.send_signal(signal.SIGKILL))
        strike.start()
        cut = _at_once([lambda p=p: first.send(cookie, secret, p) for p in parcels])
        first.process.wait()
        assert any(isinstance(answer, Exception) for answer in cut), cut
        after = _at_once([lambda p=p: second.send(cookie, secret, p) for p in parcels])
        assert {status for status, _ in after} <= {200, 201}, after
        told = [one["number"] for _, one in after]
        assert [a[1]["number"] for a in cut if isinstance(a, tuple)] == [
            number for number, a in zip(told, cut, strict=True) if isinstance(a, tuple)
        ]
        assert sorted(told) == [f"C-{number:06d}" for number in range(9, 15)]

        # A third starts while papers are being made elsewhere: what is in hand is stored once.
        pace.write_text(LONG_PAPER_S)
        third = Server(environ, tmp_path)
        servers.append(third)
        made = []
        while "Serving on" not in third.said.read_text():
            made += _at_once([lambda: second.send(cookie, secret, _parcels(1)[0])] * 2)
        third.wait()
        assert {status for status, _ in made} <= {200, 201}, made
        assert "cannot be finished" not in third.said.read_text()

        # Guesses on one are counted on the other.
        for server in (second, third):
            assert server.sign_in("a wrong password", "guessed")[0] == 401
        guesses = throttle.c.kind == "login", throttle.c.failures == 2
        with kept.database.write() as connection:
            stopped = update(throttle).where(*guesses).values(blocked_until=2**31)
            assert connection.execute(stopped).rowcount == 1
        assert [server.sign_in(PASSWORD, "guessed")[0] for server in (second, third)] == [429, 429]
    finally:
        for server in servers:
            server.process.terminate()
            server.process.wait(20)
    assert kept.finish_pending(lambda record: {}).failed == ()
    assert kept.verify().ok
    pages = kept.find(firm, limit=200).hits
    count = 8 + 6 + len(made)
    assert sorted(hit.number for hit in pages) == [f"C-{number:06d}" for number in range(1, count + 1)]
    paper = kept.records.file(firm, pages[0].record, "certificate.pdf")
    assert paper.startswith(b"%PDF C-0000")
    # Nothing that was put and lost a race is left over but what the kill left, which waits for its day.
    assert kept.sweep_blobs() == 0
