"""render-again: stored papers made again and compared, broken off and gone on with; no stored byte changes."""

from __future__ import annotations

import json
import sqlite3
from contextlib import closing
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from heaterapp import rendering_again, setup_check
from heaterapp.__main__ import main
from heaterapp.rendering_again import Head, JournalRefused, begin, go_on
from heaterapp.web import settings

HEAD = Head("r1")


class Press:
    """A renderer of a few bytes: some numbers otherwise, some not at all, and broken off after so many."""

    def __init__(self) -> None:
        self.otherwise: set[str] = set()
        self.breaks: set[str] = set()
        self.most = 1000
        self.made: list[str] = []
        self.now = "r1"

    def release(self) -> str:
        return self.now

    def __call__(self, record: Any) -> dict[str, bytes]:
        if len(self.made) >= self.most:
            raise KeyboardInterrupt
        self.made.append(record.number)
        if record.number in self.breaks:
            raise ValueError("no ink")
        return {
            "certificate.pdf": b"%PDF " + record.number.encode() + b"!" * (record.number in self.otherwise)
        }


@pytest.fixture
def press() -> Press:
    return Press()


@pytest.fixture
def filled(store: Any, firm: Any, press: Press) -> Any:
    numbers = []
    for _ in range(6):
        wish = firm.wish()
        store.jobs.reopen(firm.id, wish.job_id)
        numbers.append(store.issue_and_finish(wish, press).number)
    press.made.clear()
    return store, firm, numbers


def words(journal: Any) -> dict[str, str]:
    return {one.number: one.word for one in journal.done.values()}


def through(store: Any, journal: Any, press: Press) -> dict[str, str]:
    try:
        rendering_again.again(store, journal, press, processes=2)
    finally:
        journal.close()
    return words(journal)


def test_each_record_has_its_word(filled: Any, press: Press, tmp_path: Path) -> None:
    store, _, numbers = filled
    press.otherwise, press.breaks = {numbers[1]}, {numbers[2]}
    journal = begin(tmp_path / "j", HEAD)
    told = through(store, journal, press)
    assert told == {number: {1: "differs", 2: "unmade"}.get(at, "same") for at, number in enumerate(numbers)}
    assert [one.why for one in journal.done.values() if one.word == "unmade"] == ["ValueError: no ink"]
    assert sum(one.wrong for one in journal.done.values()) == 2


def test_another_release_is_told_and_is_no_fault(filled: Any, press: Press, tmp_path: Path) -> None:
    store, _, numbers = filled
    press.otherwise, press.now = {numbers[0]}, "r2"
    journal = begin(tmp_path / "j", replace(HEAD, renderer="r2"))
    assert through(store, journal, press)[numbers[0]] == "other_release"
    assert not any(one.wrong for one in journal.done.values())


def test_broken_off_it_goes_on_behind_its_last_whole_line(filled: Any, press: Press, tmp_path: Path) -> None:
    store, _, numbers = filled
    press.most, path = 3, tmp_path / "j"
    with pytest.raises(KeyboardInterrupt):
        through(store, begin(path, HEAD), press)
    held = path.read_text().splitlines()[1:]
    assert 1 <= len(held) <= 3
    with path.open("a") as file:
        file.write('{"organisation": 1, "rec')
    with pytest.raises(JournalRefused, match="--resume"):
        begin(path, HEAD)
    press.most = 1000
    press.made.clear()
    journal = go_on(path, HEAD)
    assert through(store, journal, press) == dict.fromkeys(numbers, "same")
    done = {json.loads(line)["number"] for line in held}
    assert set(press.made) == set(numbers) - done
    assert [json.loads(line) for line in path.read_text().splitlines()][-1] == {"finished": 6}
    with pytest.raises(JournalRefused, match="came to its end"):
        go_on(path, HEAD)


def test_a_journal_of_another_run_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "j"
    with pytest.raises(JournalRefused, match="no run was broken off"):
        go_on(path, HEAD)
    begin(path, HEAD).close()
    with pytest.raises(JournalRefused, match="release r1"):
        go_on(path, replace(HEAD, renderer="r2"))
    with pytest.raises(JournalRefused, match="other days"):
        go_on(path, replace(HEAD, since="2026-01-01"))
    path.write_text("my shopping list\n")
    with pytest.raises(JournalRefused, match="no journal"):
        begin(path, HEAD)
    assert path.read_text() == "my shopping list\n"


def test_a_period_takes_its_first_and_its_last_day(filled: Any) -> None:
    store, firm, _ = filled
    day = store.records.get(firm.id, store.origins.finished(firm.id)[0]).issued_at[:10]

    def count(since: str, until: str) -> int:
        return len(list(rendering_again.places(store, replace(HEAD, since=since, until=until))))

    assert (count(day, day), count("", day), count(day, "")) == (6, 6, 6)
    assert (count("", "2020-12-31"), count("2100-01-01", "")) == (0, 0)


@pytest.fixture
def command(folder: Path, filled: Any, press: Press, monkeypatch: pytest.MonkeyPatch) -> Any:
    monkeypatch.setenv("HEATERAPP_DATA", str(folder))
    monkeypatch.delenv("HEATERAPP_DATABASE_URL", raising=False)
    monkeypatch.setattr(setup_check, "require", lambda: None)
    monkeypatch.setattr("heaterapp.certificate.render_files", press)
    settings.secret_key(folder)
    return lambda *more: main(["render-again", *more])


def test_the_command_says_what_differs_and_changes_nothing(
    command: Any, filled: Any, press: Press, folder: Path, capsys: Any
) -> None:
    _, _, numbers = filled
    before = everything(folder)
    assert command() == 0
    assert (
        "6 records made again: 6 the same, byte for byte, 0 not. No stored byte was changed."
        in capsys.readouterr().out
    )
    press.otherwise = {numbers[4]}
    assert command() == 1
    told = capsys.readouterr()
    assert f"{numbers[4]}: its papers\n  certificate.pdf: differs" in told.err
    assert (folder / "render-again.jsonl").is_file()
    assert everything(folder) == before


def everything(folder: Path) -> list[str]:
    """Every row of the archive's file."""
    with closing(sqlite3.connect(folder / "archive.sqlite3")) as database:
        return list(database.iterdump())


@pytest.mark.parametrize(
    ("given", "said"),
    [
        (["--from", "yesterday"], "--from yesterday: expected a day"),
        (["--from", "2026-02-01", "--to", "2026-01-01"], "is behind"),
        (["--firm", "nobody"], "no firm has this short name"),
        (["--resume"], "no run was broken off"),
    ],
)
def test_what_makes_no_sense_is_refused(command: Any, capsys: Any, given: list[str], said: str) -> None:
    assert command(*given) == 2
    assert said in capsys.readouterr().err
