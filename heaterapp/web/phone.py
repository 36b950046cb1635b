"""The phone's shell: a page that opens, fills and signs with no signal.

Public, in each language the same for everybody.
"""

from __future__ import annotations

import json
from pathlib import Path

from flask import Blueprint, Response, abort, request

from heaterapp.web.language import wanted
from heaterapp.web.phone_build import KINDS, SHELL, Build, build, build_named, worker_of
from heaterapp.web.phone_engine import POLICY
from heaterapp.web.phone_engine import WORKER as ENGINE

blueprint = Blueprint("phone", __name__, url_prefix="/phone")
FOR_EVER = "public, max-age=31536000, immutable"


@blueprint.get("/")
def shell() -> Response:
    """Give the shell; the phone's own worker keeps it, the browser asks again each time."""
    return _by_language(_file(build(wanted()), SHELL, "no-cache"))


@blueprint.get("/<name>/<path:path>")
def part(name: str, path: str) -> Response:
    """Give one file of the build of this name; there is no other build."""
    made = build_named(name)
    if made is None:
        abort(404)
    return _file(made, path, FOR_EVER)


@blueprint.get("/version.json")
def version() -> Response:
    """Name the build that is served now, in the language of who asks."""
    answer = Response(json.dumps({"build": build(wanted()).name}), mimetype="application/json")
    answer.headers["Cache-Control"] = "no-store"
    return answer


@blueprint.get("/sw.js")
def worker() -> Response:
    """Give the worker that keeps this build, for `/phone` and all that stands under it."""
    answer = _by_language(Response(worker_of(wanted()), mimetype="text/javascript"))
    answer.headers["Cache-Control"] = "no-cache"
    answer.headers["Service-Worker-Allowed"] = "/phone"
    return answer


def _by_language(answer: Response) -> Response:
    answer.vary.update(("Accept-Language", "Cookie"))
    return answer


def _file(made: Build, path: str, keep: str) -> Response:
    if path not in made.files:
        abort(404)
    packed = "gzip" in request.headers.get("Accept-Encoding", "")
    answer = Response(made.packed[path] if packed else made.files[path])
    answer.mimetype = KINDS[Path(path).suffix]
    if packed:
        answer.headers["Content-Encoding"] = "gzip"
    answer.headers["Vary"] = "Accept-Encoding"
    answer.headers["Cache-Control"] = keep
    if path == ENGINE:
        answer.headers["Content-Security-Policy"] = POLICY
    answer.set_etag(f"{made.name}-{'z' if packed else 'p'}")
    return answer.make_conditional(request)


