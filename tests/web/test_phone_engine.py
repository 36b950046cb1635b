"""What judges on the phone, as it is served: by its content, packed, kept for ever, and allowed nothing more than it needs."""

from __future__ import annotations

import ast
import gzip
import hashlib
import io
import json
import re
import subprocess
import sys
import zipfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import brotli
import pytest
from flask import Flask

from heaterapp import create_app, phone_library, phone_python, rules
from heaterapp.filling import door
from heaterapp.languages.files import for_phones
from heaterapp.web.phone_engine import POLICY
from heaterapp.web.security import POLICY as OF_PAGES

JOBS = Path(__file__).parent.parent / "jobs"
UNPACK: dict[str | None, Callable[[bytes], bytes]] = {"br": brotli.decompress, "gzip": gzip.decompress, None: bytes}


def _bring(folder: Path) -> Path:
    """A folder as npm leaves it, with small files in place of the large ones."""
    own = folder / "node_modules" / "pyodide"
    own.mkdir(parents=True)
    for name in phone_python.FILES:
        (own / name).write_bytes(f"{name}\n".encode() * 500)
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as library:
        library.writestr("json/__init__.py", "text = 1\n" * 900)
    (own / phone_python.LIBRARY).write_bytes(held.getvalue())
    (own / phone_python.LOCK).write_text(json.dumps({"info": {"abi_version": "7"}, "packages": {"numpy": {}}}))
    return folder


@pytest.fixture
def brought(tmp_path: Path) -> Path:
    """A folder of this test's own, which may take parts away."""
    return _bring(tmp_path / "pyodide")


@pytest.fixture(scope="module")
def phone(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Flask]:
    """An app that serves what was brought; nobody changes either."""
    folder = tmp_path_factory.mktemp("phone")
    engine = _bring(folder / "pyodide")
    phone_python.pack(engine)
    built = create_app(DATA_DIR=str(folder / "data"), TESTING=True, SECRET_KEY="test" * 8, ENGINE_DIR=str(engine))
    yield built
    built.extensions["archive"].close()


def _settings(app: Flask) -> Any:
    page = app.test_client().get("/phone/").get_data(as_text=True)
    found = re.search(r'<script type="application/json" id="settings">(.*?)</script>', page, re.S)
    assert found
    return json.loads(found.group(1))["engine"]


@pytest.mark.parametrize("accepted", ["br, gzip", "gzip", ""])
def test_every_part_comes_as_the_page_was_told(phone: Flask, accepted: str) -> None:
    told = _settings(phone)
    assert len(told["files"]) == len(phone_python.FILES) + 2
    for part in told["files"]:
        answer = phone.test_client().get(part["at"], headers={"Accept-Encoding": accepted})
        assert answer.status_code == 200
        encoding = answer.headers.get("Content-Encoding")
        assert encoding == (accepted.split(",")[0] or None)
        body = UNPACK[encoding](answer.data)
        assert (len(body), hashlib.sha256(body).hexdigest()) == (part["size"], part["sha256"])
        assert answer.headers["Cache-Control"] == "public, max-age=31536000, immutable"
        assert answer.headers["Vary"] == "Accept-Encoding"
        again = phone.test_client().get(
            part["at"], headers={"Accept-Encoding": accepted, "If-None-Match": answer.headers["ETag"]}
        )
        assert (again.status_code, again.data) == (304, b"")


def test_each_is_named_as_what_it_is(phone: Flask) -> None:
    kinds = {part["at"].rpartition(".")[2]: phone.test_client().get(part["at"]).mimetype for part in _settings(phone)["files"]}
    assert kinds == {"mjs": "text/javascript", "wasm": "application/wasm", "zip": "application/zip"}


def test_the_rules_are_those_kept_with_every_certificate(phone: Flask) -> None:
    told = _settings(phone)
    assert told["digest"] == rules.digest()
    answer = phone.test_client().get(f"/phone/rules/{rules.digest()}.zip")
    assert answer.data == rules.ruleset_zip()


def test_the_pages_code_lies_beside_the_rules_and_needs_nothing_else() -> None:
    with zipfile.ZipFile(io.BytesIO(phone_python.pages_zip())) as held:
        names = held.namelist()
    assert {"heaterapp/filling/door.py", "heaterapp/sheet/live.py", "heaterapp/sheet/draw/__init__.py"} <= set(names)
    assert {name.split("/")[1] for name in names} == {"languages", "sheet", "filling"}
    assert not any(name.endswith((".po", "extract.py", "found.py")) for name in names)


def test_the_two_zips_answer_on_bare_python_as_the_server_does(tmp_path: Path) -> None:
    for whole in (rules.ruleset_zip(), phone_python.pages_zip()):
        zipfile.ZipFile(io.BytesIO(whole)).extractall(tmp_path)
    answers = json.loads((JOBS / "gas_storage_us_ca.json").read_text(encoding="utf-8"))["answers"]
    wish = json.dumps({"do": "told", "answers": answers, "changes": {}, "unread": [], "section": "place"})
    script = "import sys; sys.path.insert(0, '.'); from heaterapp.filling.door import call; print(call(sys.stdin.read()))"
    done = subprocess.run(
        [sys.executable, "-I", "-S", "-c", script], cwd=tmp_path, input=wish, capture_output=True, text=True, check=True
    )
    assert done.stdout == door.call(wish) + "\n"


def test_an_address_of_other_content_is_not_found(phone: Flask) -> None:
    mark = _settings(phone)["files"][0]["at"].split("/")[3]
    wrong = ["/phone/engine/0123456789abcdef/pyodide.mjs", f"/phone/engine/{mark}/packed.sha256", f"/phone/engine/{mark}/pyodide.mjs.br",
             "/phone/rules/0123.zip", "/phone/pages/0123.zip", f"/phone/engine/{mark}/..%2fpyodide-lock.json"]  # fmt: skip
    assert {phone.test_client().get(path).status_code for path in wrong} == {404}


def test_only_the_worker_may_compile_webassembly_and_nobody_evaluates_text(phone: Flask) -> None:
    client, told = phone.test_client(), _settings(phone)
    assert client.get(told["worker"]).headers["Content-Security-Policy"] == POLICY
    assert "'wasm-unsafe-eval'" in POLICY
    assert "'unsafe-eval'" not in POLICY + OF_PAGES
    for path in ("/phone/", "/phone/sw.js", told["files"][0]["at"], told["worker"].replace("-worker", "")):
        assert client.get(path).headers["Content-Security-Policy"] == OF_PAGES


def test_without_it_the_page_is_told_that_there_is_none(app: Flask, tmp_path: Path) -> None:
    app.config["ENGINE_DIR"] = str(tmp_path / "nowhere")
    assert _settings(app) is None


def test_packing_again_writes_nothing_and_a_part_that_is_gone_is_packed_again(brought: Path) -> None:
    assert phone_python.pack(brought)
    assert not phone_python.pack(brought)
    (brought / "packed" / phone_python.MADE_OF).unlink()
    assert phone_python.pack(brought), "what an earlier version packed is packed anew"
    (brought / "packed" / "pyodide.asm.wasm.br").unlink()
    assert phone_python.packed_files(brought) == {}
    assert phone_python.pack(brought)
    assert tuple(phone_python.packed_files(brought)) == phone_python.FILES
    assert json.loads(phone_python.lock_text(brought)) == {"info": {"abi_version": "7"}, "packages": {}}


def test_of_the_library_what_is_never_needed_is_left_out_and_what_ours_imports_is_there() -> None:
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as library:
        for name in ("json/__init__.py", "unittest/case.py", "pdb.py", "encodings/cp1252.py", "encodings/cp437.py", "encodings/utf_8.py", "email/"):
            library.writestr(name, b"")
    with zipfile.ZipFile(io.BytesIO(phone_library.repacked(held.getvalue(), phone_library.NEVER_NEEDED))) as left:
        assert left.namelist() == ["encodings/cp437.py", "encodings/utf_8.py", "json/__init__.py"]
    with zipfile.ZipFile(io.BytesIO(rules.ruleset_zip())) as first, zipfile.ZipFile(io.BytesIO(phone_python.pages_zip())) as second:
        sources = [one.read(name) for one in (first, second) for name in one.namelist() if name.endswith(".py")]
    named = {
        alias.name if isinstance(node, ast.Import) else node.module
        for source in sources
        for node in ast.walk(ast.parse(source))
        if isinstance(node, (ast.Import, ast.ImportFrom)) and not getattr(node, "level", 0)
        for alias in node.names
    }
    assert "importlib.resources" in named
    assert not [name for name in named if f"{name.replace('.', '/')}/".startswith(phone_library.NEVER_NEEDED)]


def test_without_node_the_sources_are_sent(brought: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(phone_library.shutil, "which", lambda name: None)
    phone_python.pack(brought)
    body = phone_python.packed_files(brought)[phone_python.LIBRARY].read("identity")
    assert zipfile.ZipFile(io.BytesIO(body)).namelist() == ["json/__init__.py"]


def test_a_missing_part_is_named(brought: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    (brought / "node_modules" / "pyodide" / "pyodide.asm.wasm").unlink()
    monkeypatch.setenv("HEATERAPP_ENGINE", str(brought))
    assert phone_python.main() == 1
    assert "pyodide.asm.wasm" in capsys.readouterr().err


def test_a_phone_s_other_language_comes_as_a_part_of_its_own_and_no_unknown_one(phone: Flask) -> None:
    client = phone.test_client()
    client.set_cookie("language", "es")
    found = re.search(r'<script type="application/json" id="settings">(.*?)</script>', client.get("/phone/").text, re.S)
    assert found
    (part,) = [one for one in json.loads(found.group(1))["engine"]["files"] if one["at"].endswith(".json")]
    assert client.get(part["at"]).data == for_phones("es")
    for other in ("en", "xx"):
        assert client.get(part["at"].replace("-es", f"-{other}")).status_code == 404
