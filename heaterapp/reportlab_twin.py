"""The same paper by another library: what a certificate's words, drawings and photos cost in ReportLab.

    plan = planned(html_of(paper))         once, by reportlab_plan.py: the words and where they stand
    pressed(plan, paper) -> bytes          what is timed: paragraphs and tables made, laid out, written

The twin has the same words, in tables of the same shape, the drawings as vectors, the photos' own bytes and
the embedded faces. It is one file without tags, attachments or an archival claim: less than a certificate.
"""

from __future__ import annotations

from functools import lru_cache
from io import BytesIO
from typing import Any

from reportlab.lib.colors import HexColor
from reportlab.lib.pagesizes import A4, letter
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.utils import ImageReader
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.platypus import BaseDocTemplate, Flowable, Frame, PageBreak, PageTemplate, Paragraph, Table

from heaterapp.certificate.paper import Paper
from heaterapp.fonts import font_files
from heaterapp.reportlab_plan import NEW_PAGE, Picture, Text

MARGIN, FOOT = 34.0, 30.0
INK, SLATE = HexColor("#1B2220"), HexColor("#45505A")
FACES = {
    "B612": "B612-Regular",
    "B612-Bold": "B612-Bold",
    "DejaVu": "DejaVuSans",
    "DejaVu-Bold": "DejaVuSans-Bold",
}


@lru_cache(maxsize=1)
def _faces() -> dict[str, TTFont]:
    files = font_files()
    faces = {name: TTFont(name, str(files[f"{stem}.ttf"])) for name, stem in FACES.items()}
    for face in faces.values():
        pdfmetrics.registerFont(face)
    for name in ("B612", "DejaVu"):
        pdfmetrics.registerFontFamily(
            name, normal=name, bold=f"{name}-Bold", italic=name, boldItalic=f"{name}-Bold"
        )
    return faces


@lru_cache(maxsize=200)
def _style(size: float, bold: bool, tab: float) -> ParagraphStyle:
    _faces()
    face = "B612-Bold" if bold else "B612"
    return ParagraphStyle(
        f"{size} {bold} {tab}", fontName=face, fontSize=size, leading=size * 1.08, textColor=INK,
        leftIndent=tab, bulletFontName="B612", bulletFontSize=size, bulletIndent=0,
    )  # fmt: skip


class _Vector(Flowable):  # type: ignore[misc]
    """A drawing's shapes, as wide as its column or as it says."""

    def __init__(self, picture: Picture) -> None:
        super().__init__()
        self._picture = picture

    def wrap(self, wide: float, _: float) -> tuple[float, float]:
        box = self._picture.box
        self.width = min(wide, self._picture.wide or (150.0 if box[2] > 400 else wide))
        self.height = self.width * box[3] / box[2]
        return self.width, self.height

    def draw(self) -> None:
        pen, box = self.canv, self._picture.box
        scale = self.width / box[2]
        pen.saveState()
        pen.translate(-box[0] * scale, self.height + box[1] * scale)
        pen.scale(scale, -scale)
        for tag, style, words, steps in self._picture.shapes:
            _shape(pen, tag, style, words, steps)
        pen.restoreState()


def _shape(pen: Any, tag: str, style: dict[str, str], words: str, steps: tuple[Any, ...]) -> None:
    fill, stroke = style.get("fill", "none"), style.get("stroke", "none")
    place = {
        key: float(style[key])
        for key in ("x", "y", "x1", "y1", "x2", "y2", "width", "height", "cx", "cy", "r")
        if key in style
    }
    if tag == "text":
        pen.saveState()
        pen.translate(place["x"], place["y"])
        pen.scale(1, -1)
        pen.setFillColor(HexColor(fill) if fill.startswith("#") else INK)
        pen.setFont(
            "B612-Bold" if style.get("font-weight") == "bold" else "B612",
            float(style.get("font-size", "13px")[:-2]),
        )
        {"end": pen.drawRightString, "middle": pen.drawCentredString}.get(
            style.get("text-anchor", ""), pen.drawString
        )(0, 0, words)
        pen.restoreState()
        return
    filled, drawn = int(fill.startswith("#")), int(stroke.startswith("#"))
    if filled:
        pen.setFillColor(HexColor(fill))
    if drawn:
        pen.setStrokeColor(HexColor(stroke))
    pen.setLineWidth(float(style.get("stroke-width", "1")))
    pen.setDash([float(one) for one in style.get("stroke-dasharray", "").split()])
    if tag == "line":
        pen.line(place["x1"], place["y1"], place["x2"], place["y2"])
    elif tag == "rect":
        pen.rect(place["x"], place["y"], place["width"], place["height"], drawn, filled)
    elif tag == "circle":
        pen.circle(place["cx"], place["cy"], place["r"], drawn, filled)
    else:
        pen.drawPath(_path(pen.beginPath(), steps), drawn, filled)


def _path(way: Any, steps: tuple[Any, ...]) -> Any:
    for letter_, numbers in steps:
        points = list(zip(numbers[::2], numbers[1::2], strict=False))
        if letter_ == "M" and points:
            way.moveTo(*points[0])
            points = points[1:]
        if letter_ in "ML":
            for point in points:
                way.lineTo(*point)
        elif letter_ == "z":
            way.close()
    return way


class _Photo(Flowable):  # type: ignore[misc]
    """A photo's own bytes, unchanged, in its place."""

    def __init__(self, picture: Picture, body: bytes) -> None:
        super().__init__()
        self._picture, self._body = picture, body

    def wrap(self, wide: float, high: float) -> tuple[float, float]:
        return self._picture.wide, self._picture.high

    def draw(self) -> None:
        self.canv.drawImage(ImageReader(BytesIO(self._body)), 0, 0, self._picture.wide, self._picture.high)


def _flow(items: tuple[Any, ...], wide: float, bodies: dict[str, bytes]) -> list[Any]:
    return [_flowing(one, wide, bodies) for one in items]


def _flowing(one: Any, wide: float, bodies: dict[str, bytes]) -> Any:
    if isinstance(one, Text):
        return Paragraph(one.words, _style(one.size, one.bold, one.tab), one.before or None)
    if isinstance(one, Picture):
        return _Photo(one, bodies[one.name]) if one.name else _Vector(one)
    if one == NEW_PAGE:
        return PageBreak()
    left = 1 - sum(one.shares)
    free = sum(1 for share in one.shares if not share) or 1
    widths = [wide * (share or left / free) for share in one.shares]
    rows = [
        [_flow(cell, across - 4, bodies) for cell, across in zip(row, widths, strict=True)]
        for row in one.rows
    ]
    style = [
        ("VALIGN", (0, 0), (-1, -1), "TOP"), ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ("RIGHTPADDING", (0, 0), (-1, -1), 4),
        ("TOPPADDING", (0, 0), (-1, -1), 0.5), ("BOTTOMPADDING", (0, 0), (-1, -1), 0.5),
        ("LINEABOVE", (0, 0), (-1, -1), 0.3, SLATE),
    ]  # fmt: skip
    return Table(rows, widths, style=style, splitInRow=1)


def pressed(plan: tuple[Any, ...], paper: Paper, pages: int) -> bytes:
    """Lay the plan out and write it.

    paper  the photos' bytes, the page's size and the footer
    pages  how many there are, for "page 1 of 3"
    """
    _faces()
    size = A4 if paper.page_size == "A4" else letter
    bodies = {one.name: one.body for page in paper.photo_pages for row in page.rows for one in row.photos}
    if paper.logo:
        bodies[paper.logo.name] = paper.logo.body
    out, wide = BytesIO(), size[0] - 2 * MARGIN
    document = BaseDocTemplate(
        out, pagesize=size, title=f"{paper.title} {paper.number}", author=paper.contractor
    )
    frame = Frame(MARGIN, FOOT, wide, size[1] - FOOT - MARGIN / 2, 0, 0, 0, 0)

    def foot(pen: Any, laid: Any) -> None:
        pen.setFont("B612", 7)
        pen.drawString(MARGIN, FOOT / 2, f"{paper.footer}, page {laid.page} of {pages}, heaterapp")

    document.addPageTemplates([PageTemplate("page", [frame], onPage=foot)])
    document.build(_flow(plan, wide, bodies))
    return out.getvalue()
