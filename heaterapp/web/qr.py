"""A link as a square code, drawn for a page."""

from __future__ import annotations


def qr(link: str) -> str:
    """Return the SVG of a code that opens this link; black on white in every theme, for cameras."""
    import segno

    code = segno.make(link, error="m", micro=False)
    drawn: str = code.svg_inline(
        border=4, omitsize=True, svgclass="qr", lineclass=None, dark="#000", light="#fff"
    )
    return drawn
