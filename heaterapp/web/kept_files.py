"""Styles, scripts and pictures under an address that changes with them: browsers ask for each once."""

from __future__ import annotations

import hashlib
import re
from functools import lru_cache
from pathlib import Path
from typing import Any

from flask import Flask, Response

FOR_EVER = "public, max-age=31536000, immutable"
_BUILD = re.compile(r"b-[0-9a-f]{12}")


@lru_cache(maxsize=8)
def build_of(folder: Path) -> str:
    """Name the files of a folder by all that they hold; what changes while the program runs is not seen."""
    whole = hashlib.sha256()
    for path in sorted(one for one in folder.rglob("*") if one.is_file()):
        for part in (path.relative_to(folder).as_posix().encode(), path.read_bytes()):
            whole.update(b"%d " % len(part) + part)
    return f"b-{whole.hexdigest()[:12]}"


def keep(app: Flask) -> None:
    """Let every link to a static file name the build, and browsers keep what they got of this one.

    Without a build, or by another one's name (a page that another server gave, before or after an
    update), the same file is given, and asked for again each time.
    """
    build = build_of(Path(str(app.static_folder)))
    give = app.view_functions["static"]

    @app.url_defaults
    def name_the_build(endpoint: str, values: dict[str, Any]) -> None:
        if endpoint == "static":
            values["filename"] = f"{build}/{values['filename']}"

    def static(filename: str) -> Response:
        named, _, path = filename.partition("/")
        answer: Response = give(filename=path if _BUILD.fullmatch(named) else filename)
        if named == build:
            answer.headers["Cache-Control"] = FOR_EVER
        return answer

    app.view_functions["static"] = static
