"""Static files: asked for once by a browser, and anew as soon as one of them changed."""

from __future__ import annotations

from pathlib import Path

import pytest
from bs4 import BeautifulSoup
from flask import Flask

from heaterapp.web import kept_files


def test_a_page_names_the_build_of_its_files_and_browsers_keep_them(app: Flask) -> None:
    client = app.test_client()
    page = BeautifulSoup(client.get("/sign-in").data, "html.parser")
    links = [one["href"] for one in page.select('link[rel="stylesheet"]') if "/static/" in one["href"]]
    assert links
    assert all("/static/b-" in one for one in links)
    answer = client.get(links[0], buffered=True)
    assert (answer.status_code, answer.headers["Cache-Control"]) == (200, kept_files.FOR_EVER)
    named, plain = links[0].split("/")[2], "/static/" + links[0].split("/", 3)[3]
    other = client.get(links[0].replace(named, "b-000000000000"), buffered=True)
    for asked_again in (client.get(plain, buffered=True), other):
        assert (asked_again.status_code, asked_again.data) == (200, answer.data)
        assert asked_again.headers["Cache-Control"] == "no-cache"


@pytest.mark.parametrize("path", ["", "none.css", "../pyproject.toml", "%2e%2e/pyproject.toml"])
def test_what_is_not_there_is_not_found_under_a_build_either(app: Flask, path: str) -> None:
    build = kept_files.build_of(Path(str(app.static_folder)))
    answer = app.test_client().get(f"/static/{build}/{path}")
    assert (answer.status_code, answer.headers["Cache-Control"]) == (404, "no-store")


def test_every_changed_byte_and_every_other_name_is_another_build(tmp_path: Path) -> None:
    seen = set()
    for files in ({"a": b"1", "b": b"2"}, {"a": b"1", "b": b"3"}, {"a": b"1", "c": b"2"}, {"a": b"1b2"}):
        folder = tmp_path / str(len(seen))
        folder.mkdir()
        for name, body in files.items():
            (folder / name).write_bytes(body)
        seen.add(kept_files.build_of(folder))
    assert len(seen) == 4
