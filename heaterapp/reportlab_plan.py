"""What a paper's markup holds, as plain data: words, tables, drawings as shapes, and where photos stand.

The twin of a paper in another library is made from this, so that it has the very same words.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from html import escape
from typing import Any
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

from fontTools.ttLib import TTFont

from heaterapp.certificate.style import drawing_css
from heaterapp.fonts import font_files

SIZES = (
    ("large long", 12.0), ("large", 18.0), ("contractor", 14.0), ("typed", 12.0), ("face", 9.5),
    ("stop", 9.5), ("small", 7.2), ("signer", 7.2), ("label", 7.4), ("records", 7.4), ("codes", 7.4),
    ("caption", 7.0), ("c", 7.1), ("f", 7.0),
)  # fmt: skip
TAGS = {"h1": 12.0, "h2": 9.5, "h3": 7.6}
SHARES = {"word": 0.14, "beside": 0.24, "firm": 0.62, "hand": 0.34, "code": 0.34}
AS_TABLE = {"cells", "columns"}
TAB = {"c": 123.0, "f": 111.0}
UNDER = 6.5
"""What stands below a figure's value, as wide as the column."""
PARTED = "\t"
NAME = "n"
"""A name that is longer than its place, before what was found."""
NEW_PAGE = "new page"
OTHER_FACE = "DejaVu"


@dataclass(frozen=True)
class Text:
    """A paragraph: its words with bold and the like, its size, what stands before the tab."""

    words: str
    size: float
    bold: bool = False
    before: str = ""
    tab: float = 0.0


@dataclass(frozen=True)
class Picture:
    """A photo by its name, or a drawing's shapes."""

    name: str = ""
    wide: float = 0.0
    high: float = 0.0
    shapes: tuple[Any, ...] = ()
    box: tuple[float, ...] = ()


@dataclass(frozen=True)
class Cells:
    """Rows of cells, and each column's share of the width, 0 where it has what is left."""

    rows: tuple[tuple[tuple[Any, ...], ...], ...]
    shares: tuple[float, ...]


def planned(markup: str) -> tuple[Any, ...]:
    """Take from a paper's markup its words, tables, drawings and the places of its photos."""
    root = ElementTree.fromstring(markup)  # noqa: S314 - our own markup
    for one in root.iter():
        one.tag = one.tag.rpartition("}")[2]
    body = root.find("body")
    return tuple(_block(body)) if body is not None else ()


def _block(element: Element) -> list[Any]:
    kinds = set((element.get("class") or "").split())
    if element.tag == "svg":
        return [_drawn(element)]
    if element.tag == "img":
        return [_photo(element)]
    if element.tag == "table" or kinds & AS_TABLE:
        return [_cells(element)]
    if element.tag in ("p", "h1", "h2", "h3", "span", "b"):
        return _text(element, kinds)
    found = [NEW_PAGE] if "photos" in kinds else []
    for child in element:
        found += _block(child)
    return found


def _text(element: Element, kinds: set[str]) -> list[Any]:
    size = next((held for name, held in SIZES if set(name.split()) <= kinds), TAGS.get(element.tag, 8.0))
    bold = element.tag in TAGS or bool(kinds & {"large", "contractor", "accepted", "face", "stop"})
    marks = [_drawn(one, 5.0) for one in element.iter("svg")]
    before, tab, words = _inline(element).partition(PARTED)
    kind = next(iter(kinds & TAB.keys()), "")
    if tab:
        value, _, below = words.strip().partition("\n")
        under = [Text(below, UNDER)] if below else []
        return [*marks, Text(value, size, bold, before.strip(), TAB.get(kind, 123.0)), *under]
    said = before.strip()
    return [*marks, *([Text(said, size, bold)] if said else [])]


def _inline(element: Element) -> str:
    parts = [_lettered(element.text or "")]
    for child in element:
        inner = "" if child.tag == "svg" else _inline(child)
        marked = child.tag == "b" and inner
        ends = PARTED if child.get("class") == NAME else ""
        parts.append(f"<b>{inner}</b>" if marked and PARTED not in inner else inner + ends)
        parts.append(_lettered(child.tail or ""))
    return "".join(parts)


def _lettered(text: str) -> str:
    if text.isascii():
        return escape(text, quote=False)
    known = _letters()
    return "".join(
        escape(one, quote=False)
        if ord(one) in known or one.isspace()
        else f'<font name="{OTHER_FACE}">{escape(one)}</font>'
        for one in text
    )


@lru_cache(maxsize=1)
def _letters() -> frozenset[int]:
    """The letters that the paper's own face has."""
    return frozenset(TTFont(str(font_files()["B612-Regular.ttf"])).getBestCmap())


def _cells(element: Element) -> Cells:
    rows = [one for one in element.iter("tr")] or _rows_of_parts(element)
    held = [tuple(tuple(_inside(cell)) for cell in row) for row in rows]
    wide = max((len(row) for row in held), default=1)
    named = next((row for row in rows if len(row) == wide), ())
    shares = tuple(
        next((SHARES[k] for k in (cell.get("class") or "").split() if k in SHARES), 0.0) for cell in named
    )
    return Cells(tuple(row + ((),) * (wide - len(row)) for row in held), shares)


def _rows_of_parts(element: Element) -> list[Any]:
    rows = [one for one in element.iter() if (one.get("class") or "").split()[:1] == ["beside"] and len(one)]
    heads = [one for one in element if "again" in (one.get("class") or "").split()]
    return [*heads, *rows] if rows and any(one.tag == "div" for one in rows[0]) else [element]


def _inside(cell: Element) -> list[Any]:
    loose = Element("p", {"class": cell.get("class") or ""})
    loose.text = cell.text
    found = _text(loose, set()) if (cell.text or "").strip() else []
    for child in cell:
        found += _block(child)
    return found


def _photo(element: Element) -> Picture:
    sizes = dict(re.findall(r"(width|height):([0-9.]+)pt", element.get("style") or ""))
    return Picture(element.get("src") or "", float(sizes["width"]), float(sizes["height"]))


def _drawn(element: Element, wide: float = 0.0) -> Picture:
    box = tuple(map(float, (element.get("viewBox") or "0 0 1 1").split()))
    shapes = []
    for one in element.iter():
        tag = one.tag
        if tag in ("line", "rect", "circle", "path", "text"):
            style = {**_styled(tag, one.get("class") or ""), **one.attrib}
            shapes.append((tag, style, one.text or "", _steps(one.get("d") or "")))
    return Picture("", wide, 0.0, tuple(shapes), box)


@lru_cache(maxsize=2000)
def _steps(way: str) -> tuple[tuple[str, tuple[float, ...]], ...]:
    found = re.findall(r"([MLVHaz])\s*([-0-9. ,]*)", way)
    return tuple((letter, tuple(map(float, re.findall(r"-?[0-9.]+", numbers)))) for letter, numbers in found)


@lru_cache(maxsize=1)
def _rules() -> tuple[tuple[str, frozenset[str], dict[str, str]], ...]:
    rules = []
    for selectors, body in re.findall(r"([^{}]+)\{([^}]*)\}", drawing_css()):
        held = dict(re.findall(r"([a-z-]+):\s*([^;]+)", body))
        for one in selectors.split(","):
            tag, *kinds = one.strip().split(".")
            rules.append((tag, frozenset(kinds), held))
    return tuple(sorted(rules, key=lambda rule: len(rule[1])))


@lru_cache(maxsize=500)
def _styled(tag: str, kinds: str) -> dict[str, str]:
    held: dict[str, str] = {}
    for of, wanted, rule in _rules():
        if of in ("", tag) and wanted <= set(kinds.split()):
            held |= rule
    return held
