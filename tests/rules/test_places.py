"""A place's own changes and its state's amendments win over the books after them, and can strike what those ask."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from heaterapp.rules import binding, book

CLAUSE = 'section = "{section}"\nsays = "said"\nread = {{ where = "a page", on = 2026-11-25, confidence = "read" }}\n'


def _clause(key: str, section: str, more: str = "") -> str:
    return f"[{key}]\n{CLAUSE.format(section=section)}{more}"


def _written(folder: Path, status: str, **topics: str) -> None:
    folder.mkdir(parents=True)
    (folder / "book.toml").write_text(
        f'title = "{folder.name}"\nfamily = "x"\nedition = 2026\nstatus = "{status}"\n', encoding="utf-8"
    )
    for topic, text in topics.items():
        (folder / f"{topic}.toml").write_text(text, encoding="utf-8")


@pytest.fixture
def codes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """An empty folder of codes, read in place of the program's."""
    (tmp_path / "places").mkdir()
    monkeypatch.setattr(book, "_codes", lambda: tmp_path)
    held = (book.book, book.place, book.place_names, binding.bindings)
    for one in held:
        one.cache_clear()
    yield tmp_path
    for one in held:
        one.cache_clear()


def _town(codes: Path, text: str) -> book.Place:
    (codes / "places" / "town.toml").write_text(f'title = "Town"\n{text}', encoding="utf-8")
    return book.place("town")


def test_a_state_strikes_what_a_later_book_asks(codes: Path) -> None:
    _written(codes / "books" / "state", "amendments", pan='[silent]\ndepth = "The state asks no depth."\n')
    _written(codes / "books" / "model", "complete", pan=_clause("depth", "504") + _clause("drain", "505"))
    place = _town(codes, 'books = ["state", "model"]\n')
    assert place.silent == {"pan.depth": "The state asks no depth."}
    assert set(place.clauses) == {"pan.drain"}


def test_a_town_strikes_what_its_books_ask(codes: Path) -> None:
    _written(codes / "books" / "model", "complete", pan=_clause("depth", "504") + _clause("drain", "505"))
    place = _town(codes, 'books = ["model"]\n[silent]\n"pan.drain" = "The town asks no drain."\n')
    assert place.silent == {"pan.drain": "The town asks no drain."}
    assert set(place.clauses) == {"pan.depth"}


def test_a_complete_book_that_is_silent_leaves_the_next_its_say(codes: Path) -> None:
    _written(codes / "books" / "model", "complete", pan='[silent]\ndepth = "Not here."\n')
    _written(codes / "books" / "other", "complete", pan=_clause("depth", "504"))
    place = _town(codes, 'books = ["model", "other"]\n')
    assert place.clauses["pan.depth"].book == "other"
    assert not place.silent


def test_what_stands_before_a_state_s_silence_is_not_struck(codes: Path) -> None:
    _written(codes / "books" / "law", "amendments", pan=_clause("depth", "law 1"))
    _written(codes / "books" / "state", "amendments", pan='[silent]\ndepth = "Not asked."\n')
    _written(codes / "books" / "model", "complete", pan=_clause("depth", "504"))
    place = _town(codes, 'books = ["law", "state", "model"]\n')
    assert place.clauses["pan.depth"].section == "law 1"


@pytest.mark.parametrize(
    ("said", "held"), [("", ""), ("retroactive = true\n", "all"), ('retroactive = "all"\n', "all"),
                       ('retroactive = "homes"\n', "homes"), ("retroactive = false\n", "")],
)  # fmt: skip
def test_what_binds_installations_that_were_there_before(codes: Path, said: str, held: str) -> None:
    _written(codes / "books" / "model", "complete", pan=_clause("depth", "504", said))
    assert _town(codes, 'books = ["model"]\n').clauses["pan.depth"].retroactive == held


@pytest.mark.parametrize("said", ['"house"', '"ALL"', '"yes"', '""'])
def test_another_word_for_it_is_refused(codes: Path, said: str) -> None:
    _written(codes / "books" / "model", "complete", pan=_clause("depth", "504", f"retroactive = {said}\n"))
    with pytest.raises(ValueError, match=r"pan\.depth: retroactive is"):
        _town(codes, 'books = ["model"]\n')


def test_only_the_books_of_the_place_asked_are_parsed(monkeypatch: pytest.MonkeyPatch) -> None:
    parsed: list[str] = []
    whole = tomllib.loads

    def noted(text: str, **more: Any) -> dict[str, Any]:
        found = whole(text, **more)
        parsed.extend([found["title"]] if "family" in found else [])
        return found

    book.book.cache_clear()
    book.place.cache_clear()
    monkeypatch.setattr(book.tomllib, "loads", noted)
    listed = book.place("model_ipc_2018").about["books"]
    assert len(parsed) == len(listed) == len(set(parsed))


def test_every_clause_of_every_book_is_gone_by_at_some_place() -> None:
    """One that every place takes from an earlier book is never read, and drifts unseen."""
    held = {
        (one.book_id, ident)
        for name in set(book.place_names().values())
        for ident, one in book.place(name).clauses.items()
    }
    stated = {(name, ident) for name in book.book_ids() for ident in book.book(name)[1]}
    assert stated - held == set()
