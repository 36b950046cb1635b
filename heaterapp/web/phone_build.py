"""The phone's shell as one build a language: every file of it, under one address that names them all.

The files of a build lie under `/phone/<build>/`, and refer to each other from there, so that
no page can ever be made of two builds. The name is a hash of all their bytes, the worker's
among them. What is too large to come with them lies beside them, in caches of its own.

A build is in one language, its scripts too: whoever changes the language changes to another build.
The worker keeps that of the page first, and the others once the page can be used, so that a language
is changed by one tap with no signal too.
"""

from __future__ import annotations

import gzip
import hashlib
import json
import posixpath
import re
from dataclasses import dataclass, field
from functools import cache, cached_property
from pathlib import Path
from typing import Any

from flask import current_app

from heaterapp import __version__, fonts
from heaterapp.certificate.wording import RECEIPT
from heaterapp.filling.judging import FIRST_PLACE
from heaterapp.filling.models import NAMED_BY, OF_A_MODEL
from heaterapp.filling.photos import told as pictures
from heaterapp.filling.typed import questions_of
from heaterapp.forms import section_form
from heaterapp.languages import LANGUAGES, SOURCE, say, speaking
from heaterapp.languages.scripts import told_in
from heaterapp.rules import CATALOGUE, SECTIONS, Job, assess
from heaterapp.sheet import live as sheet
from heaterapp.sheet.groups import groups
from heaterapp.web import settings
from heaterapp.web.fields import drawer
from heaterapp.web.phone_engine import WORKER as ENGINE
from heaterapp.web.phone_engine import engine_shelves, for_the_page
from heaterapp.web.places import place_titles

SHEETS = (*settings.SHEETS, "job.css", "drawing.css", "phone/phone.css")
FACES = "phone/faces.css"
WORKER = "phone/sw.js"
NO_WORKER = "phone/sw-off.js"
SAY = "say.js"
OWN_SAY = "phone/say.js"
"""In place of the one that asks for its texts: the phone's scripts have theirs in them."""
PICTURES = (
    "icon.svg", "phone/icon-180.png", "phone/icon-192.png", "phone/icon-512.png",
    "phone/icon-maskable.png",
)  # fmt: skip
KINDS = {
    ".js": "text/javascript", ".css": "text/css", ".svg": "image/svg+xml", ".png": "image/png",
    ".html": "text/html", ".webmanifest": "application/manifest+json",
}  # fmt: skip
SHELL = "shell.html"
MAIN = "phone/main.js"
BY_ITSELF = ("theme.js", "whole.js", ENGINE)
"""Scripts that nothing imports; every other script of the phone is one that the first of all imports."""
COMMENT = re.compile(r"^[ ]*//[^\n]*", re.MULTILINE)
"""For who reads the sources, and a tenth of what a phone would fetch; the lines stay where they are."""
IMPORTED = re.compile(r"""^(?:import|export)\b[^"';]*["'](\.[^"']+)["'];""", re.MULTILINE)
MANIFEST = "manifest.webmanifest"
ICONS = (
    ("icon.svg", "any", "any"), ("phone/icon-192.png", "192x192", "any"),
    ("phone/icon-512.png", "512x512", "any"), ("phone/icon-maskable.png", "512x512", "maskable"),
)  # fmt: skip
NOT_HERE = "No signal, and these pages are not yet on this phone in English. Connect once, then press again."
"""Told in the language that was asked for."""
_ADDRESS = "@@build@@/"


@dataclass(frozen=True)
class Build:
    """One build of the shell: its name, its files by their path under it, and what its worker keeps of it.

    beside  what a phone keeps in caches of their own, by the cache's name: address -> SHA-256
    """

    name: str
    files: dict[str, bytes] = field(repr=False)
    kept: dict[str, Any] = field(repr=False)
    beside: dict[str, dict[str, str]] = field(repr=False)

    @cached_property
    def packed(self) -> dict[str, bytes]:
        """The files as gzip packs them, the same bytes every time."""
        return {path: gzip.compress(body, 9, mtime=0) for path, body in self.files.items()}


def build(language: str = SOURCE) -> Build:
    """The build that this app serves in a language, made once."""
    held: dict[str, Build] = current_app.extensions.setdefault("phone_build", {})
    if language not in held:
        with speaking(language):
            held[language] = _made(language)
    return held[language]


def worker_of(language: str) -> str:
    """The worker that keeps the build of a language, and the others' where a page asks it to."""
    others = {one: build(one).kept for one in LANGUAGES if one != language}
    kept = {**build(language).kept, "language": language, "others": others}
    return f"const KEPT = {json.dumps(kept)};\n{_worker()}"


def build_named(name: str) -> Build | None:
    """The build of this name, in whatever language; None where there is none."""
    return next((one for one in map(build, LANGUAGES) if one.name == name), None)


def _made(language: str) -> Build:
    static = Path(str(current_app.static_folder))
    offline = bool(current_app.config["OFFLINE"])
    first = _imported(static)
    scripts = {path: _script(static, path, language) for path in sorted({*first, *BY_ITSELF})}
    files = {path: (static / path).read_bytes() for path in (*SHEETS, *PICTURES)} | scripts
    beside = _beside(language)
    files[FACES] = _faces(beside).encode()
    files[MANIFEST] = _manifest().encode()
    files[SHELL] = _shell(first, beside, offline, language).encode()
    total = hashlib.sha256(_worker().encode())
    for path, body in sorted(files.items()):
        total.update(f"{path}\0{len(body)}\0".encode())
        total.update(body)
    name = total.hexdigest()[:16]
    for path in (SHELL, MANIFEST):
        files[path] = files[path].replace(_ADDRESS.encode(), f"/phone/{name}/".encode())
        files[path] = files[path].replace(b"@@name@@", name.encode())
    sums = {path: hashlib.sha256(body).hexdigest() for path, body in sorted(files.items())}
    kept = {"build": name, "files": sums, "beside": sorted(beside), "engine": engine_shelves(language)}
    return Build(name, files, kept, beside)


def _worker() -> str:
    named = WORKER if current_app.config["OFFLINE"] else NO_WORKER
    return Path(str(current_app.static_folder), named).read_text(encoding="utf-8")


def _script(static: Path, path: str, language: str) -> bytes:
    """A script as a build has it: what it says, in the build's own language."""
    text = COMMENT.sub("", (static / (OWN_SAY if path == SAY else path)).read_text(encoding="utf-8"))
    return (text if language == SOURCE else told_in(text, language)).encode()


def _beside(language: str) -> dict[str, dict[str, str]]:
    lettering = _fonts()
    if not lettering:
        return engine_shelves(language)
    total = hashlib.sha256("".join(f"{one} {sum_}\n" for one, sum_ in lettering.items()).encode())
    return {f"fonts-{total.hexdigest()[:16]}": lettering, **engine_shelves(language)}


def _fonts() -> dict[str, str]:
    """The page's own lettering by its address; the larger stand-in for other scripts is the phone's own."""
    try:
        prepared = fonts.font_files()
    except fonts.FontMissing:
        return {}
    names = [f"{face.stem}.woff2" for face in fonts.FACES if face.family == fonts.FAMILY]
    return {f"/fonts/{name}": hashlib.sha256(prepared[name].read_bytes()).hexdigest() for name in names}


def _faces(beside: dict[str, dict[str, str]]) -> str:
    # Worn when it is there while the page opens; later the phone's own letters stay: no line jumps.
    known = {address for files in beside.values() for address in files}
    if not any(address.startswith("/fonts/") for address in known):
        return ""
    own = [face for face in fonts.FACES if face.family == fonts.FAMILY]
    return fonts.font_face_css("woff2", lambda name: f"/fonts/{name}", own, "fallback")


def _imported(static: Path) -> list[str]:
    """The scripts that the page's first one loads, itself first: asked for at once, not in turn."""
    found, todo = {MAIN: None}, [MAIN]
    while todo:
        path = todo.pop()
        for name in IMPORTED.findall(_script(static, path, SOURCE).decode()):
            one = posixpath.normpath(posixpath.join(posixpath.dirname(path), name))
            if one not in found:
                found[one] = None
                todo.append(one)
    return list(found)


def _shell(scripts: list[str], beside: dict[str, dict[str, str]], offline: bool, language: str) -> str:
    now = {"asked": {q: False for q in CATALOGUE}, "spare": [], "said": {}, "flags": {}, "todo": []}
    parts = {s: groups(s, [q.name for q in questions_of(s)], now, {}, ()) for s in SECTIONS}
    drawers = {s: drawer(section_form(s)(data={}), now, place_titles()) for s in SECTIONS}
    told = {
        "build": "@@name@@", "sections": {s: say(title) for s, title in SECTIONS.items()},
        "opening": _opening(), "beside": beside, "keep": offline,
        "engine": for_the_page(_ADDRESS + ENGINE, language), "plate": [*NAMED_BY, *OF_A_MODEL],
        "photos": pictures({}, language),
    }  # fmt: skip
    # Drawn apart from any request: nothing of who asks can stand in it.
    page = current_app.jinja_env.get_template("phone/shell.html")
    return page.render(
        at=_ADDRESS, sheets=(FACES, *SHEETS), preloaded=scripts, version=__version__, sections=SECTIONS,
        groups=parts,
        draw=lambda section, names: drawers[section](names), questions=CATALOGUE, places=place_titles(),
        receipt=RECEIPT, others=_others(language),
        settings=json.dumps(told, ensure_ascii=False).replace("<", "\\u003c"),
    )  # fmt: skip


def _others(language: str) -> list[tuple[str, str, str]]:
    """Each other language: its code, its own name, and in it what is told where its pages cannot be had."""
    found = []
    for code, name in LANGUAGES.items():
        with speaking(code):
            found += [(code, name, say(NOT_HERE))] if code != language else []
    return found


@cache
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
            "name": say("Water heater records"),
            "short_name": say("Heaters"),
            "description": say("Check a water heater against the adopted code, with or without signal."),
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
