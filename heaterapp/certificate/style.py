"""Style sheets of the papers, read once a process; drawings carry theirs inside, as the renderer asks."""

from __future__ import annotations

import re
from functools import lru_cache
from pathlib import Path

from heaterapp.font_faces import FACES, FALLBACK, FAMILY, faces_of
from heaterapp.font_fractions import set_small
from heaterapp.fonts import font_face_css

_PACKAGE = Path(__file__).resolve().parent.parent
_VARIABLE = re.compile(r"var\(--[a-z-]+, *([^)]+)\)")
_TEXT = re.compile(r"(?<=>)[^<>]*[0-9]/[0-9][^<>]*(?=</text>)")
FONT_SCHEME = "lettering:"


def home(folder: str) -> Path:
    """Where templates or static files are: beside the package in a tree, within it when installed."""
    inside = _PACKAGE / folder
    return inside if inside.is_dir() else _PACKAGE.parent / folder


@lru_cache(maxsize=1)
def drawing_css() -> str:
    """The drawings' style as paper has it: every theme color at its own default."""
    text = (home("static") / "drawing.css").read_text(encoding="utf-8")
    text = re.sub(r"/\*.*?\*/", "", text, flags=re.DOTALL)
    text = _VARIABLE.sub(r"\1", text).replace("currentColor", "#1B2220").replace(".drawing ", "")
    return f'text {{ font-family: "{FAMILY}", "{FALLBACK}"; }} {text}'


def styled_drawing(svg: str) -> str:
    """A drawing with its style within, and its fractions set as such."""
    head, end, rest = svg.partition("</desc>")
    rest = _TEXT.sub(lambda found: set_small(found[0]), rest)
    return f"{head}{end}<style>{drawing_css()}</style>{rest}"


def base_css() -> str:
    """What the elements of a paper are before any style."""
    return (home("static") / "paper_base.css").read_text(encoding="utf-8")


@lru_cache(maxsize=1)
def sheet_css() -> str:
    """The papers' own style with the embedded faces."""
    faces = font_face_css("ttf", lambda name: FONT_SCHEME + name)
    return faces + (home("static") / "certificate.css").read_text(encoding="utf-8")


def wider_css(families: tuple[str, ...]) -> str:
    """The embedded faces again and further families behind them, for letters that the usual ones lack."""
    faces = font_face_css("ttf", lambda name: FONT_SCHEME + name, [*FACES, *faces_of(families)])
    named = ", ".join(f'"{family}"' for family in (FAMILY, FALLBACK, *families))
    return f"{faces}html {{ font-family: {named} }}"
