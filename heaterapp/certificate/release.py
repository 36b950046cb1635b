"""Which release of the renderer this is: papers of another one may have other bytes."""

from __future__ import annotations

import hashlib
import platform
from functools import lru_cache
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

from heaterapp.fonts import FontMissing, font_files
from heaterapp.rules import digest

from .style import home

PACKAGE = Path(__file__).resolve().parent.parent
LIBRARIES = ("weasyprint", "pydyf", "fonttools", "tinycss2", "cssselect2", "pillow", "jinja2", "segno")
ELSEWHERE = (
    "firm_clock.py", "firm_days.py", "fonts.py", "font_faces.py", "font_fractions.py", "filling/photos.py",
    "filling/signed.py", "languages/__init__.py", "languages/laying.py", "languages/patterns.py",
    "languages/sentences.py", "languages/typeset.py",
)  # fmt: skip
"""Whence papers take words and letters besides their own folders; not the crew, which only runs the press."""


@lru_cache(maxsize=1)
def release() -> str:
    """Return 16 hex digits over all that decides a paper's bytes: code, style, faces, libraries, system.

    A translation follows from the catalogue too, and is not on record.
    """
    total = hashlib.sha256()
    folders = (PACKAGE / "certificate", PACKAGE / "sheet", home("templates") / "certificate")
    sources = [one for folder in folders for one in folder.rglob("*") if one.suffix in (".py", ".html")]
    sources += [PACKAGE / one for one in ELSEWHERE]
    styles = [home("static") / name for name in ("paper_base.css", "certificate.css", "drawing.css")]
    for name, body in sorted((one.name, _sum_of(one)) for one in [*sources, *styles, *_faces()]):
        total.update(f"{name}\0{body}\0".encode())
    for name in LIBRARIES:
        total.update(f"{name} {_version(name)}\0".encode())
    total.update(f"{digest()} {_system()}".encode())
    return total.hexdigest()[:16]


def _sum_of(file: Path) -> str:
    with file.open("rb") as body:
        return hashlib.file_digest(body, "sha256").hexdigest()


def _faces() -> list[Path]:
    try:
        return list(font_files().values())
    except FontMissing:
        return []


def _version(name: str) -> str:
    try:
        return version(name)
    except PackageNotFoundError:
        return ""


def _system() -> str:
    try:
        told = platform.freedesktop_os_release()
    except OSError:
        return platform.platform()
    return f"{told.get('ID')} {told.get('VERSION_ID')}"
