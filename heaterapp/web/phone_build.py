"""The phone's shell as one build: every file of it, under one address that names them all.

The files of a build lie under `/phone/<build>/`, and refer to each other from there, so that
no page can ever be made of two builds. The name is a hash of all their bytes.
"""

from __future__ import annotations

import gzip
import hashlib
import json
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import Any

from flask import current_app, render_template

from heaterapp import __version__
from heaterapp.certificate.wording import RECEIPT
from heaterapp.filling.judging import FIRST_PLACE
from heaterapp.filling.typed import questions_of
from heaterapp.forms import section_form
from heaterapp.rules import CATALOGUE, SECTIONS, Job, assess
from heaterapp.sheet import live as sheet
from heaterapp.sheet.groups import groups
from heaterapp.web.fields import drawer
from heaterapp.web.places import place_titles

SHEETS = ("app.css", "job.css", "drawing.css", "phone/phone.css")
WORKER = "phone/sw.js"
LEFT_OUT = {"job.js", "judge.js", "sending.js", "unsent.js", "sign.js", WORKER}
"""Scripts of the pages on line; every other one of the static folder is the phone's too."""
KINDS = {
    ".js": "text/javascript", ".css": "text/css", ".svg": "image/svg+xml", ".png": "image/png",
    ".html": "text/html", ".webmanifest": "application/manifest+json",
}  # fmt: skip
SHELL = "shell.html"
MANIFEST = "manifest.webmanifest"
ICONS = (
    ("icon.svg", "any", "any"), ("phone/icon-192.png", "192x192", "any"),
    ("phone/icon-512.png", "512x512", "any"), ("phone/icon-maskable.png", "512x512", "maskable"),
)  # fmt: skip
_ADDRESS = "@@build@@/"


@dataclass(frozen=True)
class Build:
    """One build of the shell: its name, and its files by their path under it."""

    name: str
    files: dict[str, bytes] = field(repr=False)

    @cached_property
    def packed(self) -> dict[str, bytes]:
        """The files as gzip packs them, the same bytes every time."""
        return {path: gzip.compress(body, 9, mtime=0) for path, body in self.files.items()}


def build() -> Build:
    """The build that this app serves, made once."""
    held: Build | None = current_app.extensions.get("phone_build")
    if held is None:
        held = current_app.extensions["phone_build"] = _made()
    return held


def _made() -> Build:
    static = Path(str(current_app.static_folder))
    found = [*static.glob("*.js"), *(static / "phone").iterdir()]
    own = {one.relative_to(static).as_posix() for one in found} - LEFT_OUT
    paths = dict.fromkeys([*SHEETS, "icon.svg", *sorted(own)])
    files = {path: (static / path).read_bytes() for path in paths}
    files[MANIFEST] = _manifest().encode()
    files[SHELL] = _shell().encode()
    total = hashlib.sha256()
    for path, body in sorted(files.items()):
        total.update(f"{path}\0{len(body)}\0".encode())
        total.update(body)
    name = total.hexdigest()[:16]
    for path in (SHELL, MANIFEST):
        files[path] = files[path].replace(_ADDRESS.encode(), f"/phone/{name}/".encode())
        files[path] = files[path].replace(b"@@name@@", name.encode())
    return Build(name, files)


def _shell() -> str:
    now = {"asked": {q: False for q in CATALOGUE}, "spare": [], "said": {}, "flags": {}, "todo": []}
    parts = {s: groups(s, [q.name for q in questions_of(s)], now, {}, ()) for s in SECTIONS}
    drawers = {s: drawer(section_form(s)(data={}), now, place_titles()) for s in SECTIONS}
    settings = {"build": "@@name@@", "sections": SECTIONS, "opening": _opening(), "engine": None}
    return render_template(
        "phone/shell.html", at=_ADDRESS, sheets=SHEETS, version=__version__, sections=SECTIONS, groups=parts,
        draw=lambda section, names: drawers[section](names), questions=CATALOGUE, places=place_titles(),
        receipt=RECEIPT,
        settings=json.dumps(settings).replace("<", "\\u003c"),
    )  # fmt: skip


def _opening() -> dict[str, Any]:
    """What each kind of heater and job asks before any answer: 0 not asked, 1 asked, 2 may stay empty."""
    names = list(CATALOGUE)
    heaters, jobs = ("", *CATALOGUE["heater_kind"].choices), ("", *CATALOGUE["job_kind"].choices)
    tables = {}
    for heater in heaters:
        for kind in jobs:
            given = {"heater_kind": heater, "job_kind": kind}
            job = Job({name: value for name, value in given.items() if value})
            shown, spare = sheet.asked(job, assess(job, FIRST_PLACE).as_json())
            told = ("2" if name in spare else str(int(shown[name])) for name in names)
            tables[f"{heater}/{kind}"] = "".join(told)
    return {"names": names, "asked": tables}


def _manifest() -> str:
    return json.dumps(
        {
            "name": "Water heater records",
            "short_name": "Heaters",
            "description": "Check a water heater against the adopted code, with or without signal.",
            "id": "/phone/",
            "start_url": "/phone/",
            "scope": "/phone/",
            "display": "standalone",
            "background_color": "#fbfaf6",
            "theme_color": "#fbfaf6",
            "icons": [_icon(*one) for one in ICONS],
        },
        separators=(",", ":"),
    )  # fmt: skip


def _icon(path: str, sizes: str, purpose: str) -> dict[str, str]:
    return {"src": _ADDRESS + path, "sizes": sizes, "type": KINDS[Path(path).suffix], "purpose": purpose}
