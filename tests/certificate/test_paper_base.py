"""What elements are before any style, and how a drawing's words are set: as the renderer has it, in less time."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import weasyprint.svg
from weasyprint import CSS

from heaterapp.certificate import drawn_text, press
from heaterapp.certificate.press import Sheet
from heaterapp.certificate.style import base_css
from tests.certificate.specimens import made

TEMPLATES = Path(__file__).parent.parent.parent / "templates" / "certificate"
INLINE = {"span", "i", "blockquote"}
"""Set as the text around them, or otherwise by the papers' own style."""
IN_HEAD = {"title", "meta"}
WITH_EVERY_ELEMENT = ("correction list", "electric tankless, IRC, slim photo", "void cover")


def test_every_element_of_a_paper_is_said_to_be_something():
    used = {
        name for one in TEMPLATES.glob("*.html") for name in re.findall(r"<([a-z][a-z0-9]*)", one.read_text())
    }
    said = set(re.findall(r"[a-z][a-z0-9]*", re.sub(r"\{[^{}]*\}|/\*.*?\*/|@[a-z-]+", " ", base_css())))
    assert used <= said | INLINE | IN_HEAD
    assert used & INLINE, "the templates were found"


@pytest.mark.parametrize("name", WITH_EVERY_ELEMENT)
def test_a_paper_is_the_same_as_with_the_renderers_own_sheet(name, monkeypatch):
    short = made(name)
    monkeypatch.setattr(press.press(), "base", None)
    assert made(name) == short


def test_a_base_that_leaves_an_element_out_is_seen(monkeypatch):
    short = made("void cover")
    monkeypatch.setattr(press.press(), "base", CSS(string=base_css().replace("font-weight: bold", "")))
    assert made("void cover") != short


def drawn(svg):
    own = press.press()
    markup = f'<html lang="en"><head><title>t</title></head><body class="letter">{svg}</body></html>'
    laid = Sheet(markup, own.fetcher, own.base).render(**own.dressed(markup))
    return laid.write_pdf(uncompressed_pdf=True)


def strings(pdf):
    """How many strings are shown."""
    return len(re.findall(rb"\] TJ", pdf))


SVG = '<svg xmlns="http://www.w3.org/2000/svg" width="200" height="40">{}</svg>'


def test_a_drawings_words_are_set_whole(monkeypatch):
    one = drawn(SVG.format('<text x="4" y="20" font-family="Heaterapp B612">Lower strap, 34 in</text>'))
    for tag in ("text", "tspan"):
        monkeypatch.setitem(weasyprint.svg.TAGS, tag, drawn_text._letter_by_letter)
    monkeypatch.setattr(weasyprint.svg, "text", drawn_text._letter_by_letter)
    many = drawn(SVG.format('<text x="4" y="20" font-family="Heaterapp B612">Lower strap, 34 in</text>'))
    assert strings(many) - strings(one) == len("Lowerstrap,34in") - 1


@pytest.mark.parametrize(
    "placed", ['x="4 9 15" y="20"', 'x="4" y="20" rotate="10 20"', 'x="4" y="20" dx="1 2"']
)
def test_letters_with_places_of_their_own_keep_them(placed):
    whole = drawn(SVG.format('<text x="4" y="20" font-family="Heaterapp B612">abc</text>'))
    each = drawn(SVG.format(f'<text {placed} font-family="Heaterapp B612">abc</text>'))
    assert strings(each) - strings(whole) == 2
