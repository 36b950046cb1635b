"""backup, restore, compare and drill as commands: what they print, and their exit status."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from heaterapp import archive, setup_check
from heaterapp.__main__ import main
from heaterapp.web import settings


@pytest.fixture
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with an archive that nothing was ever written to, named by the environment."""
    monkeypatch.setenv("HEATERAPP_DATA", str(tmp_path / "data"))
    monkeypatch.delenv("HEATERAPP_DATABASE_URL", raising=False)
    monkeypatch.setattr(setup_check, "require", lambda: None)
    archive.open_store(data_dir=tmp_path / "data").close()
    settings.secret_key(tmp_path / "data")
    return tmp_path


@pytest.fixture
def backup(place: Path) -> Path:
    assert main(["backup", str(place / "backups")]) == 0
    return next((place / "backups").glob("heaterapp-*"))


def test_a_backup_goes_round(place: Path, backup: Path, capsys: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HEATERAPP_DATA", str(place / "again"))
    assert main(["restore", str(backup)]) == 0
    said = capsys.readouterr().out
    assert "0 records, verified. Everybody signs in again." in said
    assert "later-erasures.jsonl, done again after" in said
    assert main(["compare", str(backup), str(place / "again")]) == 0
    assert capsys.readouterr().out == "0 differences.\n"
    assert main(["restore", str(backup)]) == 2
    said = capsys.readouterr().err
    assert (
        said
        == f"{place / 'again' / 'archive.sqlite3'} is there already: a backup is restored into an empty place only.\n"
    )


def test_a_difference_is_named_and_exits_with_1(place: Path, backup: Path, capsys: Any) -> None:
    store = archive.open_store(data_dir=place / "data")
    store.organisations.default()
    store.close()
    capsys.readouterr()
    assert main(["compare", str(place / "data"), str(backup)]) == 1
    said = capsys.readouterr().out.splitlines()
    assert f"organisation organisation 1: is only in {place / 'data'}" in said
    assert said[-1] == f"{len(said) - 1} differences."


def test_a_drill_of_a_damaged_backup_exits_with_1(backup: Path, capsys: Any) -> None:
    assert main(["drill", str(backup), "--recompute", "0"]) == 0
    assert "Drill passed" in capsys.readouterr().out
    (backup / "secret-key").write_text("another key")
    assert main(["drill", str(backup), "--recompute", "0"]) == 1
    said = capsys.readouterr().out
    assert f"{backup / 'secret-key'} is incomplete: 11 bytes, 64 were written." in said
    assert "Drill FAILED" in said


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["restore", "nowhere"], "nowhere is not there: name the folder of one backup."),
        (["compare", "nowhere", "nowhere"], "nowhere is not there."),
        (["backup", "data/archive.sqlite3"], "No backup was made in "),
        (
            ["compare", "data", "postgresql+psycopg://nobody@127.0.0.1:1/none"],
            "The database cannot be opened: ",
        ),
    ],
)
def test_what_cannot_be_is_one_sentence_and_2(
    place: Path, arguments: list[str], said: str, capsys: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(place)
    assert main(arguments) == 2
    told = capsys.readouterr().err
    assert said in told
    assert told.count("\n") == 1
    assert "nobody" not in told


@pytest.mark.parametrize("arguments", [["backup", "x", "--keep", "0"], ["drill", "x", "--recompute", "-1"]])
def test_a_number_that_cannot_be_is_named(arguments: list[str], capsys: Any) -> None:
    with pytest.raises(SystemExit) as ended:
        main(arguments)
    assert ended.value.code == 2
    assert f"argument {arguments[2]}: " in capsys.readouterr().err
