"""What can be seen wrong on a page, read off the file itself: each check gives sentences, none where all is well."""

from __future__ import annotations

import re
import subprocess
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from xml.etree import ElementTree

from heaterapp.certificate.saying import own
from heaterapp.languages import speaking
from heaterapp.sheet.words import ACCEPTED, ADVICE, VERDICTS

EDGE_PT = 20
"""Nothing is printed nearer to the paper's edge; the margins of certificate.css are wider."""
FOOT_PT = 7
TOUCH_PT = 0.6
"""By so much words may overlap: the boxes that are told are larger than the letters."""
CORE = 0.3
"""Of a word's box that much is taken off above and below: the box of a line holds the line's own space."""
HEADING_HIGH_PT = 10.4
"""The box of a word in a section's heading is higher, that of a word of the text lower."""


def _said(*texts: str) -> tuple[str, ...]:
    """Our own texts in every language that papers have."""
    found = []
    for language in ("en", "es"):
        with speaking(language):
            found += [own(text) for text in texts]
    return tuple(found)


HEADINGS = _said(
    "To fix", "Open items", "Accepted by the authority", "To answer", "Figures and their working",
    "Advice, beyond the code", "Checks that meet", "Keep in mind", "Photos",
)  # fmt: skip
"""How the headings begin; what is counted in one follows."""
LIST_HEADS = ("found, limit, section", "hallado, límite, sección")
CODE_LABELS = ("Check code", "Código de verificación")
TABLE_HEADS = _said("What it is about, and why", "What is still to answer")
_ROWS = (*(VERDICTS[one] for one in ("fails", "authority", "engineer", "unanswered")), ADVICE, ACCEPTED)
IN_TABLES = re.compile("|".join(rf"{re.escape(said)}\b" for word in _ROWS for said in (word.en, word.es)))
"""The verdicts that begin a row of a table."""
PICTURE = re.compile(rb"P5\n([0-9]+) ([0-9]+)\n255\n")
INK = 200
"""A gray darker than this, of 255, is ink."""
UNIT = re.compile(r"(?:in|ft|psia?|gal|lb|kW|Btu|AWG|kPa|mm|°F|sq|cu|A|V|pies³|thousand|mil)\b")
NUMBER_LAST = re.compile(r"(?<![A-Z] )(?<![A-Z0-9.,])[0-9]+(?:[.,][0-9]+)*(?:/[0-9]+)?$")
"""A section's number, which a book's letters stand before, has no unit."""
NEXT_LINE_PT = 16
XHTML = "{http://www.w3.org/1999/xhtml}"


@dataclass(frozen=True)
class Word:
    """A word on a page and its box, from the top left [pt]."""

    text: str
    left: float
    top: float
    right: float
    bottom: float


@dataclass(frozen=True)
class Page:
    """A page: its size [pt], its lines of words, in the order of the file."""

    wide: float
    high: float
    lines: tuple[tuple[Word, ...], ...]

    @property
    def words(self) -> list[Word]:
        """All words."""
        return [word for line in self.lines for word in line]

    def told(self) -> list[str]:
        """Every line as text, in the order of the file."""
        return [" ".join(word.text for word in line) for line in self.lines]


def pages_of(pdf: bytes) -> list[Page]:
    """The pages with every word's box, as poppler reads them."""
    run = subprocess.run(["pdftotext", "-bbox-layout", "-", "-"], input=pdf, capture_output=True, check=True)
    tree = ElementTree.fromstring(run.stdout)
    return [
        Page(
            float(page.get("width")), float(page.get("height")),
            tuple(tuple(map(_word, line.iter(f"{XHTML}word"))) for line in page.iter(f"{XHTML}line")),
        )
        for page in tree.iter(f"{XHTML}page")
    ]  # fmt: skip


def _word(node: ElementTree.Element) -> Word:
    sides = (float(node.get(side, "0")) for side in ("xMin", "yMin", "xMax", "yMax"))
    return Word(node.text or "", *sides)


def outside(pages: list[Page]) -> Iterator[str]:
    """Words that stand outside the page or in its outermost edge."""
    for number, page in enumerate(pages, 1):
        for word in page.words:
            if not (EDGE_PT <= word.left and word.right <= page.wide - EDGE_PT
                    and EDGE_PT - 6 <= word.top and word.bottom <= page.high - FOOT_PT):  # fmt: skip
                yield f"page {number}: {word.text!r} at {word.left:.0f} {word.top:.0f}"


def overlapping(pages: list[Page]) -> Iterator[str]:
    """Words that lie over each other."""
    for number, page in enumerate(pages, 1):
        cores = [
            (word.top + CORE * (word.bottom - word.top), word.bottom - CORE * (word.bottom - word.top), word)
            for word in sorted(page.words, key=lambda one: (one.top, one.left))
        ]
        for at, (_, bottom, word) in enumerate(cores):
            for top, _, other in cores[at + 1 :]:
                if other.top > word.bottom:
                    break
                across = min(word.right, other.right) - max(word.left, other.left)
                if across > TOUCH_PT and top < bottom - TOUCH_PT:
                    yield f"page {number}: {word.text!r} and {other.text!r} at {other.left:.0f} {other.top:.0f}"


def inked_edges(pdf: bytes) -> Iterator[str]:
    """Pages with ink in their outermost edge: something was cut off there."""
    run = subprocess.run(["pdftoppm", "-r", "36", "-gray", "-"], input=pdf, capture_output=True, check=True)
    at, number, edge = 0, 0, FOOT_PT // 2
    while head := PICTURE.match(run.stdout, at):
        number += 1
        wide, high = int(head[1]), int(head[2])
        at = head.end() + wide * high
        rows = [run.stdout[start : start + wide] for start in range(head.end(), at, wide)]
        sides = b"".join(row[:edge] + row[-edge:] for row in rows)
        if min(sides + b"".join(rows[:edge] + rows[-edge:])) < INK:
            yield f"page {number}: ink in the outermost {edge * 2} pt"


def badly_broken(pages: list[Page]) -> Iterator[str]:
    """Headings alone at a page's foot, and tables that go on without their head or with a single row."""
    for number, page in enumerate(pages, 1):
        body = [line for line in page.lines if line and line[0].bottom < page.high - 24]
        if not body:
            continue
        lowest = max(line[0].bottom for line in body)
        foot = [line for line in body if line[0].bottom > lowest - 2]
        if number < len(pages):
            yield from (f"page {number} ends with {_text(line)!r}" for line in foot if _is_heading(line) or _heads_a_table(line))
    for (number, _), (_, after) in pairwise(enumerate(pages, 1)):
        row = next((at for at, line in enumerate(after.lines) if line and IN_TABLES.match(_text(line)) and not _is_high(line)), None)
        if row is None or any(map(_is_heading, after.lines[:row])):
            continue
        # Where every row is as high a page is read column by column, and a head's words stand apart.
        over = [line for line in after.lines if line and line[0].bottom <= after.lines[row][0].top + TOUCH_PT]
        if not any(map(_heads_a_table, (*after.lines[:row], *over))):
            yield f"page {number + 1}: a table goes on without its head"


def _text(line: tuple[Word, ...]) -> str:
    return " ".join(word.text for word in line)


def _is_high(line: tuple[Word, ...]) -> bool:
    return line[0].bottom - line[0].top > HEADING_HIGH_PT


def _is_heading(line: tuple[Word, ...]) -> bool:
    """By its beginning and its size: a verdict may have the words of a heading, in the size of the text."""
    return bool(line) and _is_high(line) and _text(line).startswith(HEADINGS)


def _heads_a_table(line: tuple[Word, ...]) -> bool:
    return _text(line).startswith(TABLE_HEADS)


def torn_units(pages: list[Page]) -> Iterator[str]:
    """Lines that end between a number and its unit, or within the unit."""
    for number, page in enumerate(pages, 1):
        for above, below in pairwise(line for line in page.lines if line):
            follows = 0 < below[0].top - above[0].top < NEXT_LINE_PT and below[0].left < above[-1].left
            ends = NUMBER_LAST.search(_text(above)) and UNIT.match(below[0].text)
            if follows and (ends or above[-1].text.endswith("Btu/")):
                yield f"page {number}: {above[-1].text!r} and {below[0].text!r} on two lines"


def signed_alone(pages: list[Page]) -> Iterator[str]:
    """A page with the signatures and the code, and nothing of what they stand for."""
    for number, page in enumerate(pages, 1):
        text = " ".join(page.told())
        if any(one in text for one in CODE_LABELS) and not any(one in text for one in LIST_HEADS):
            yield f"page {number}: signatures only"


def apart(pages: list[Page], together: list[str]) -> Iterator[str]:
    """Texts that are to stand on one page and do not."""
    texts = [" ".join(page.told()) for page in pages]
    where = {one: [at for at, text in enumerate(texts, 1) if one in text] for one in together}
    if not any(all(at in found for found in where.values()) for at in range(1, len(texts) + 1)):
        yield f"not on one page: {where}"


def out_of_order(pdf_text: str, wanted: list[str]) -> Iterator[str]:
    """Texts that are missing, or stand before the one they should follow."""
    at = 0
    for one in wanted:
        found = pdf_text.find(one, at)
        if found < 0:
            yield f"{one!r} is {'not there' if one not in pdf_text else 'out of order'}"
        else:
            at = found
