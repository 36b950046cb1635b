"""The phone's pages as one build: what a phone keeps is whole, small, the same for everybody, and can be switched off."""

from __future__ import annotations

import gzip
import hashlib
import json
import re
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from flask import Flask

from heaterapp import create_app
from heaterapp.web import settings

LARGEST_SHELL = 150_000
"""The bar of the speed promises, for everything that a phone keeps before it can be used, as gzip sends it."""


def told(client: Any) -> dict[str, Any]:
    """What the worker says that it keeps."""
    text = client.get("/phone/sw.js").get_data(as_text=True)
    first = text.partition("\n")[0]
    kept: dict[str, Any] = json.loads(first.removeprefix("const KEPT = ").removesuffix(";"))
    return kept


def body_of(client: Any, address: str) -> bytes:
    """The bytes at an address, its file closed again."""
    with client.get(address) as answer:
        assert answer.status_code == 200, address
        return bytes(answer.data)


def other_app(app: Flask, **given: Any) -> Any:
    """The same archive behind another app, as after a restart."""
    return create_app(STORE=app.extensions["archive"], SECRET_KEY="s" * 40, RENDER=lambda record: {}, **given)


def test_every_kept_file_is_served_as_promised_and_the_whole_is_small(app: Flask) -> None:
    client = app.test_client()
    kept = told(client)
    sent = 0
    for path, sum_ in kept["files"].items():
        answer = client.get(f"/phone/{kept['build']}/{path}", headers={"Accept-Encoding": "gzip"})
        assert answer.status_code == 200, path
        assert "immutable" in answer.headers["Cache-Control"]
        sent += len(answer.data)
        body = gzip.decompress(answer.data)
        assert hashlib.sha256(body).hexdigest() == sum_, path
        assert body == client.get(f"/phone/{kept['build']}/{path}").data
    assert sent <= LARGEST_SHELL, f"{sent:,} bytes"


def test_the_shell_is_the_same_for_everybody(visit: Callable[..., Any], app: Flask) -> None:
    nobody = app.test_client().get("/phone/").data
    for role in ("installer", "office", "owner"):
        assert visit(role).get("/phone/").data == nobody
    app.extensions.pop("phone_build")
    assert visit("owner").get("/phone/").data == nobody, "built while somebody asks"


def test_the_shell_names_its_own_build_and_no_other(app: Flask) -> None:
    client = app.test_client()
    text = client.get("/phone/").get_data(as_text=True)
    name = told(client)["build"]
    assert set(re.findall(r"/phone/([0-9a-f]{16})/", text)) == {name}
    assert client.get("/phone/version.json").json["build"] == name
    assert client.get(f"/phone/{name[::-1]}/phone/main.js").status_code == 404
    addresses = re.findall(r'(?:src|href)="([^"#][^"]*)"', text)
    for one in {address for address in addresses if address.startswith(f"/phone/{name}/")}:
        assert client.get(one).status_code == 200, one
    assert not [one for one in addresses if not one.startswith("/")]


def test_the_markup_of_a_section_cannot_end_its_own_script(app: Flask) -> None:
    text = app.test_client().get("/phone/").get_data(as_text=True)
    inert = re.findall(r'<script type="text/html" data-view="section-(\w+)">(.*?)</script>', text, re.DOTALL)
    from heaterapp.rules import SECTIONS

    assert [name for name, _ in inert] == list(SECTIONS)
    assert not [name for name, markup in inert if "<script" in markup or "<!--" in markup or "</form>" not in markup]


def test_scripts_that_the_first_one_loads_are_asked_for_at_once(app: Flask) -> None:
    text = app.test_client().get("/phone/").get_data(as_text=True)
    ahead = re.findall(r'rel="modulepreload" href="/phone/[0-9a-f]{16}/([^"]+)"', text)
    assert {"phone/main.js", "phone/store.js", "fields.js", "phone/section.js"} <= set(ahead)
    assert not {"phone/sw.js", "theme.js"} & set(ahead)


@pytest.mark.parametrize("file", ["phone/sw.js", "phone/list.js", "app.css"])
def test_a_change_of_any_file_is_another_build(app: Flask, tmp_path: Path, file: str) -> None:
    other = other_app(app)
    static = tmp_path / "static"
    shutil.copytree(Path(str(app.static_folder)), static)
    changed = static / file
    changed.write_text(changed.read_text(encoding="utf-8") + "\n", encoding="utf-8")
    other.static_folder = str(static)
    assert told(other.test_client())["build"] != told(app.test_client())["build"]


def test_the_same_files_are_the_same_build_after_a_restart(app: Flask) -> None:
    assert told(other_app(app).test_client()) == told(app.test_client())


def test_nothing_that_changes_is_kept_by_anybody(app: Flask) -> None:
    client = app.test_client()
    assert client.get("/phone/version.json").headers["Cache-Control"] == "no-store"
    assert client.get("/phone/sw.js").headers["Cache-Control"] == "no-cache"
    assert client.get("/phone/sw.js").headers["Service-Worker-Allowed"] == "/phone"
    assert client.get("/phone/").headers["Cache-Control"] == "no-cache"
    assert client.get("/phone").headers["Location"].endswith("/phone/")
    assert client.get("/phone/api/account").headers["Cache-Control"] == "no-store"


def test_lettering_lies_beside_and_is_worn_only_when_it_is_there(app: Flask) -> None:
    client = app.test_client()
    beside = [name for name in told(client)["beside"] if name.startswith("fonts-")]
    assert len(beside) == 1
    text = client.get("/phone/").get_data(as_text=True)
    given = json.loads(re.search(r'id="settings">(.*?)</script>', text, re.DOTALL)[1])["beside"][beside[0]]
    assert sorted(given) == ["/fonts/B612-Bold.woff2", "/fonts/B612-Regular.woff2"]
    for address, sum_ in given.items():
        assert hashlib.sha256(body_of(client, address)).hexdigest() == sum_
    faces = client.get(f"/phone/{told(client)['build']}/phone/faces.css").get_data(as_text=True)
    assert faces.count("font-display: fallback") == 2
    assert all(address in faces for address in given)


def test_the_pages_can_be_taken_off_every_phone(app: Flask) -> None:
    on, off = app.test_client(), other_app(app, OFFLINE="no").test_client()
    worker = off.get("/phone/sw.js").get_data(as_text=True)
    assert [word in worker for word in ("unregister()", "caches.delete", "indexedDB", '"fetch"')] == [
        True, True, False, False,
    ]  # fmt: skip
    assert told(off)["build"] != told(on)["build"] == on.get("/phone/version.json").json["build"]
    assert '"keep": false' in off.get("/phone/").get_data(as_text=True)
    assert '"keep": true' in on.get("/phone/").get_data(as_text=True)


def test_another_word_for_it_is_refused() -> None:
    with pytest.raises(settings.SettingWrong, match="HEATERAPP_OFFLINE is 'perhaps'; yes or no"):
        settings.settled({}, {"HEATERAPP_OFFLINE": "perhaps"})
    assert settings.settled({}, {"HEATERAPP_OFFLINE": "no"})["OFFLINE"] is False


def test_the_manifest_can_be_installed(app: Flask) -> None:
    client = app.test_client()
    manifest = client.get(f"/phone/{told(client)['build']}/manifest.webmanifest")
    assert manifest.mimetype == "application/manifest+json"
    said = json.loads(manifest.data)
    assert (said["id"], said["start_url"], said["scope"], said["display"]) == ("/phone/", "/phone/", "/phone/", "standalone")
    shapes = {(icon["sizes"], icon["purpose"]) for icon in said["icons"]}
    assert {("192x192", "any"), ("512x512", "any"), ("512x512", "maskable")} <= shapes
    for icon in said["icons"]:
        answer = client.get(icon["src"])
        assert (answer.status_code, answer.mimetype) == (200, icon["type"])
        if icon["type"] == "image/png":
            width = int.from_bytes(answer.data[16:20], "big")
            assert f"{width}x{width}" == icon["sizes"]
