"""Fractions of an inch for the papers' face: 3/4 is set as a small 3 over a small 4, and read as 3/4.

B612 has no fraction slash and only a few ready fractions. The face for the PDF is given small figures
and a rule that puts them in for halves, quarters, eighths and sixteenths. The rule changes the shapes
alone: the text beneath stays the plain one, so that it is found, copied and read aloud as typed.
No other fraction is touched, nor one that stands within a word, a date or a longer number.
"""

from __future__ import annotations

import io
import re

SMALL = 0.6
"""Size of a fraction's figures, of a full one; drawn from the bold, they are as thick as what is beside."""
SLASH_NARROW, SLASH_WIDE = 0.8, 340
GAP = 260
"""What is left of the space between a whole number and its fraction, in font units of 2000 an em."""
EM = 2000
CLOSER = 60
FIGURES = {
    "zero": "0", "one": "1", "two": "2", "three": "3", "four": "4", "five": "5", "six": "6", "seven": "7",
    "eight": "8", "nine": "9",
}  # fmt: skip
OVER_AT, UNDER_AT, BAR_AT, GAP_AT = 0xE100, 0xE110, 0xE120, 0xE121
"""Private code points of the small figures (each plus its digit), bar and gap: for drawings, whose text is
set letter by letter. No file keeps them: `READ_AS` says what each is to who reads."""
READ_AS = {
    **{OVER_AT + digit: str(digit) for digit in range(10)},
    **{UNDER_AT + digit: str(digit) for digit in range(10)},
    BAR_AT: "/", GAP_AT: " ",
}  # fmt: skip
_FRACTION = re.compile(r"(?<![\w/.,-])(?:([0-9]+) )?(1/2|[13]/4|[1357]/8|(?:1[135]|[13579])/16)(?![0-9/-])")
OVER, UNDER = ("one", "three", "five", "seven", "nine"), ("one", "two", "four", "six", "eight")
RULES = f"""
languagesystem DFLT dflt;
languagesystem latn dflt;
@figure = [{" ".join(FIGURES)}];
@near = [{" ".join(FIGURES)} A B C D E F G H I J K L M N O P Q R S T U V W X Y Z
  a b c d e f g h i j k l m n o p q r s t u v w x y z slash hyphen period comma];
@after = [{" ".join(FIGURES)} slash hyphen];
lookup over {{ {" ".join(f"sub {name} by {name}.over;" for name in OVER)} }} over;
lookup under {{ {" ".join(f"sub {name} by {name}.under;" for name in UNDER)} }} under;
lookup bar {{ sub slash by slash.bar; }} bar;
lookup gap {{ sub space by space.gap; sub nbspace by space.gap; }} gap;
feature calt {{
  lookup fractions {{
    ignore sub @near @figure' slash' @figure';
    ignore sub @near one' [one three five]' slash' one' six';
    ignore sub @figure' slash' [two four eight]' @after;
    ignore sub @figure' slash' one' six' @after;
    ignore sub one' [one three five]' slash' one' six' @after;
    sub one' lookup over [one three five]' lookup over slash' lookup bar one' lookup under six' lookup under;
    sub [{" ".join(OVER)}]' lookup over slash' lookup bar one' lookup under six' lookup under;
    sub [one three five seven]' lookup over slash' lookup bar eight' lookup under;
    sub [one three]' lookup over slash' lookup bar four' lookup under;
    sub one' lookup over slash' lookup bar two' lookup under;
  }} fractions;
  lookup closer {{
    sub @figure [space nbspace]' lookup gap [{" ".join(f"{name}.over" for name in OVER)}];
  }} closer;
}} calt;
"""


def set_small(text: str) -> str:
    """Return the text with its fractions of an inch in their private letters; all else as it was.

    >>> [hex(ord(letter)) for letter in set_small("4 3/8")]
    ['0x34', '0xe121', '0xe103', '0xe120', '0xe118']
    >>> set_small("11/25 and 24/7")
    '11/25 and 24/7'
    """

    def small(found: re.Match[str]) -> str:
        over, _, under = found[2].partition("/")
        return (
            (found[1] + chr(GAP_AT) if found[1] else "")
            + "".join(chr(OVER_AT + int(digit)) for digit in over)
            + chr(BAR_AT)
            + "".join(chr(UNDER_AT + int(digit)) for digit in under)
        )

    return _FRACTION.sub(small, text)


def with_fractions(truetype: bytes, bold: bytes) -> bytes:
    """Return a face with small figures for fractions and the rule that puts them in.

    truetype  the face, with TrueType outlines, 2000 units an em
    bold      the bold of its family, from which the small figures are drawn
    """
    from fontTools.feaLib.builder import addOpenTypeFeaturesFromString
    from fontTools.pens.transformPen import TransformPen
    from fontTools.pens.ttGlyphPen import TTGlyphPen
    from fontTools.ttLib import TTFont

    font = TTFont(io.BytesIO(truetype), recalcTimestamp=False)
    heavy = TTFont(io.BytesIO(bold), recalcTimestamp=False)
    if font["head"].unitsPerEm != EM or heavy["head"].unitsPerEm != EM:
        raise ValueError(f"expected faces of {EM} units an em")
    drawn, thick = font.getGlyphSet(), heavy.getGlyphSet()
    high = heavy["glyf"]["one"].yMax
    added: list[tuple[str, object, int]] = []

    def add(name: str, source: object, glyph: str, matrix: tuple[float, ...], wide: float) -> None:
        pen = TTGlyphPen(None)
        source[glyph].draw(TransformPen(pen, matrix))  # type: ignore[index]
        added.append((name, pen.glyph(), round(wide)))

    for end, names, rise in (("over", OVER, high * (1 - SMALL)), ("under", UNDER, 0)):
        for name in names:
            wide = heavy["hmtx"][name][0] * SMALL - 2 * CLOSER
            add(f"{name}.{end}", thick, name, (SMALL, 0, 0, SMALL, -CLOSER, rise), wide)
    middle = SLASH_WIDE / 2 - font["hmtx"]["slash"][0] * SLASH_NARROW / 2
    add("slash.bar", drawn, "slash", (SLASH_NARROW, 0, 0, 1, middle, 0), SLASH_WIDE)
    added.append(("space.gap", TTGlyphPen(None).glyph(), GAP))
    glyf, widths = font["glyf"], font["hmtx"].metrics
    font.setGlyphOrder([*font.getGlyphOrder(), *(name for name, _, _ in added)])
    for name, glyph, wide in added:
        glyf.glyphs[name] = glyph
        glyph.recalcBounds(glyf)  # type: ignore[attr-defined]
        widths[name] = (wide, getattr(glyph, "xMin", 0))
    glyf.glyphOrder = font.getGlyphOrder()
    font["post"].glyphOrder = font.getGlyphOrder()
    private = {OVER_AT + int(FIGURES[name]): f"{name}.over" for name in OVER}
    private |= {UNDER_AT + int(FIGURES[name]): f"{name}.under" for name in UNDER}
    private |= {BAR_AT: "slash.bar", GAP_AT: "space.gap"}
    for table in font["cmap"].tables:
        if table.isUnicode():
            table.cmap.update(private)
    addOpenTypeFeaturesFromString(font, RULES, tables=["GSUB"])
    out = io.BytesIO()
    font.save(out)
    return out.getvalue()
