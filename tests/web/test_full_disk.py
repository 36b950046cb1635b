"""The disk is full, or another writes: a page says so, keeps what was typed, and it can be sent again."""

from __future__ import annotations

import html
import re
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

import pytest
from sqlalchemy import event
from sqlalchemy.exc import OperationalError

from heaterapp.archive import dialect
from heaterapp.web import commands

WHY = "an insurer's letter " * 14


def _fill(store: Any, job: str) -> None:
    for _ in range(300):
        store.holds.place(1, job, 1, WHY)


@contextmanager
def full_disk(store: Any, job: str) -> Iterator[None]:
    """The file may not grow any more, and what room is left in it is taken by holds."""
    engine = store.database.engine

    def small(connection: sqlite3.Connection, _: object) -> None:
        connection.execute("PRAGMA max_page_count=1").close()

    event.listen(engine, "connect", small)
    engine.dispose()
    try:
        with pytest.raises(OperationalError, match="full"):
            _fill(store, job)
        yield
    finally:
        event.remove(engine, "connect", small)
        engine.dispose()


def _send_again(visitor: Any, page: str) -> Any:
    form = re.search(r'<form class="narrow stack" method="post" action="([^"]+)".*?</form>', page, re.S)
    assert form
    pairs = re.findall(r'name="([^"]+)" value="([^"]*)"', form.group(0))
    return visitor.client.post(form.group(1), data={n: html.unescape(v) for n, v in pairs})


def _fields(page: str) -> dict[str, str]:
    found = re.search(r'name="whose" value="([^"]*)"', page)
    assert found
    return {"whose": html.unescape(found.group(1)), "act": "place", "reason": WHY.strip()}


def test_a_full_disk_is_told_and_what_was_typed_is_sent_again_when_there_is_room(
    visit: Callable[..., Any], issue: Any, store: Any
) -> None:
    opened, clerk = issue(), visit("office")
    fields = _fields(clerk.get(f"/office/records/{opened.number}/keep").text)
    with full_disk(store, opened.job_id):
        before = store.log.head(1)
        answer = clerk.post(f"/office/records/{opened.number}/hold", fields)
        assert answer.status_code == 507
        assert "The disk of the server is full, so nothing was changed" in answer.text
        assert html.escape(WHY.strip(), quote=True).replace("&#x27;", "&#39;") in answer.text
        script = clerk.post(
            f"/office/records/{opened.number}/hold", fields, headers={"Accept": "application/json"}
        )
        assert (script.status_code, "disk of the server" in script.json["error"]) == (507, True)
        assert store.log.head(1) == before
    assert _send_again(clerk, answer.text).status_code == 303
    assert store.log.head(1) != before


def test_another_writer_is_told_with_when_to_try_again(
    visit: Callable[..., Any], issue: Any, store: Any, tmp_path: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened, clerk = issue(), visit("office")
    fields = {
        **_fields(clerk.get(f"/office/records/{opened.number}/keep").text),
        "csrf_token": clerk.secret(),
    }
    monkeypatch.setattr(dialect, "PATIENT_S", 0)
    monkeypatch.setattr(dialect, "BUSY_S", 0)
    other = sqlite3.connect(tmp_path / "data" / "archive.sqlite3", isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    answer = clerk.client.post(f"/office/records/{opened.number}/hold", data=fields)
    other.close()
    assert (answer.status_code, answer.headers["Retry-After"]) == (503, "20")
    assert "Others are writing" in answer.text
    assert _send_again(clerk, answer.text).status_code == 303


def test_a_command_says_it_in_one_sentence(monkeypatch: pytest.MonkeyPatch, capsys: Any) -> None:
    def fails(_: object) -> int:
        refused = sqlite3.OperationalError("database or disk is full")
        refused.sqlite_errorcode = sqlite3.SQLITE_FULL
        raise OperationalError("INSERT", {}, refused)

    monkeypatch.setattr(commands, "_verify", fails)
    assert commands.main(["verify"]) == 2
    assert capsys.readouterr().err == "The disk of the server is full, so nothing was changed.\n"


def test_the_store_that_the_app_was_built_on_holds_no_connection(built_app: Any) -> None:
    assert built_app.extensions["archive"].database.engine.pool.checkedin() == 0
