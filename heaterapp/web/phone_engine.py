"""What judges on the phone: the browser's Python, the rules and the pages' own code, each at an address
that names its content, so that a phone keeps it and never mixes two versions."""

from __future__ import annotations

import hashlib
from functools import lru_cache
from pathlib import Path
from typing import Any

from flask import Blueprint, Response, abort, current_app, request

from heaterapp import rules
from heaterapp.languages import LANGUAGES, SOURCE
from heaterapp.languages.files import for_phones
from heaterapp.phone_python import Packed, lock_text, packed_files, pages_zip, squeezed

blueprint = Blueprint("phone_engine", __name__, url_prefix="/phone")
FOR_EVER = "public, max-age=31536000, immutable"
KINDS = {
    "mjs": "text/javascript", "wasm": "application/wasm", "zip": "application/zip",
    "json": "application/json",
}  # fmt: skip
WORKER = "phone/engine-worker.js"
POLICY = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; connect-src 'self'"
"""Of the worker alone: it compiles WebAssembly, which no page of ours may, and evaluates no text."""


def _files() -> dict[str, Packed]:
    # Once an app: what its pages were told stays what is served.
    held = current_app.extensions.get("phone_python")
    if held is None:
        held = current_app.extensions["phone_python"] = packed_files(_folder())
    return dict(held)


def _folder() -> Path | None:
    named = current_app.config["ENGINE_DIR"]
    return Path(named) if named else None


def _mark() -> str:
    held = "".join(one.name + one.sha256 for one in _files().values())
    return hashlib.sha256(held.encode()).hexdigest()[:16]


@lru_cache(maxsize=1)
def _pages_mark() -> str:
    return hashlib.sha256(pages_zip()).hexdigest()[:16]


@lru_cache(maxsize=len(LANGUAGES))
def _words_mark(language: str) -> str:
    return hashlib.sha256(for_phones(language)).hexdigest()[:16]


def for_the_page(worker: str, language: str = SOURCE) -> dict[str, Any] | None:
    """What a page hands to its engine: addresses, sizes, digests, and what the loader asks for.

    worker   the address of the worker's script
    returns  None where no Python for phones was fetched
    """
    if not _files():
        return None
    files = [part for parts in _shelves(language).values() for part in parts]
    return {"worker": worker, "digest": rules.digest(), "lock": lock_text(_folder()), "files": files}


def engine_shelves(language: str = SOURCE) -> dict[str, dict[str, str]]:
    """The phone's caches for the engine by name: address -> SHA-256. Rules change oftener than the Python."""
    shelves = _shelves(language)
    return {shelf: {part["at"]: part["sha256"] for part in parts} for shelf, parts in shelves.items()}


def _shelves(language: str) -> dict[str, list[dict[str, Any]]]:
    if not _files():
        return {}
    python = [(f"engine/{_mark()}/{one.name}", one.sha256, one.size) for one in _files().values()]
    ours = {f"rules/{rules.digest()}.zip": rules.ruleset_zip(), f"pages/{_pages_mark()}.zip": pages_zip()}
    own = [(path, hashlib.sha256(body).hexdigest(), len(body)) for path, body in ours.items()]
    version = hashlib.sha256("".join(ours).encode()).hexdigest()[:16]
    shelves = {f"engine-{_mark()}": python, f"rules-{version}": own}
    if language != SOURCE:
        # On a shelf of its own: whoever changes the language has the rest already.
        mark, body = _words_mark(language), for_phones(language)
        path = f"pages/{mark}-{language}.json"
        shelves[f"words-{mark}"] = [(path, hashlib.sha256(body).hexdigest(), len(body))]
    return {name: [_part(name, *one) for one in parts] for name, parts in shelves.items()}


def _part(shelf: str, path: str, sha256: str, size: int) -> dict[str, Any]:
    return {"shelf": shelf, "at": f"/phone/{path}", "sha256": sha256, "size": size}


@blueprint.get("/engine/<mark>/<name>")
def engine_file(mark: str, name: str) -> Response:
    """Give one file of the browser's Python."""
    held = _files().get(name)
    if held is None or mark != _mark():
        abort(404)
    return _packed(held.read, held.sha256, name.rpartition(".")[2])


@blueprint.get("/rules/<digest>.zip")
def rules_file(digest: str) -> Response:
    """Give the ruleset, as it is kept with every certificate that it judged."""
    if digest != rules.digest():
        abort(404)
    return _packed(_rules, digest, "zip")


@blueprint.get("/pages/<mark>.zip")
def pages_file(mark: str) -> Response:
    """Give what fills in and says a job's pages."""
    if mark != _pages_mark():
        abort(404)
    return _packed(_pages, mark, "zip")


@blueprint.get("/pages/<mark>-<language>.json")
def words_file(mark: str, language: str) -> Response:
    """Give the words of a language that the phone's own Python speaks."""
    if language not in LANGUAGES or language == SOURCE or mark != _words_mark(language):
        abort(404)
    return _packed(lambda encoding: _words(encoding, language), mark, "json")


@lru_cache(maxsize=3 * len(LANGUAGES))
def _words(encoding: str, language: str) -> bytes:
    return squeezed(for_phones(language), encoding)


@lru_cache(maxsize=3)
def _rules(encoding: str) -> bytes:
    return squeezed(rules.ruleset_zip(), encoding)


@lru_cache(maxsize=3)
def _pages(encoding: str) -> bytes:
    return squeezed(pages_zip(), encoding)


def _packed(read: Any, mark: str, kind: str) -> Response:
    encoding = request.accept_encodings.best_match(("br", "gzip", "identity"), default="identity")
    answer = Response(mimetype=KINDS[kind])
    answer.set_etag(f"{mark[:16]}-{encoding}")
    answer.headers["Cache-Control"] = FOR_EVER
    answer.headers["Vary"] = "Accept-Encoding"
    if encoding != "identity":
        answer.headers["Content-Encoding"] = encoding
    answer.make_conditional(request)
    if answer.status_code == 200:
        answer.data = read(encoding)
    return answer
