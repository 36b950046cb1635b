"""The square code of a paper: leads a camera to the check page, number and code filled in."""

from __future__ import annotations

from urllib.parse import quote, urlsplit

import segno
from markupsafe import Markup, escape

from heaterapp.languages import say

QUIET = 4
"""Modules of white on every side, by ISO/IEC 18004."""
LONGEST = 200
SPOKEN = "Square code that opens the check page for this paper"


def check_link(address: str, number: str, code: str) -> str:
    """Return the check page's address with number and code in it; nothing where it is no address of the web.

    >>> check_link("https://papers.example/check", "C-000012", "7KQ2-M4XD-9TRA")
    'https://papers.example/check?number=C-000012&code=7KQ2-M4XD-9TRA'
    >>> check_link("ask at the counter", "C-000012", "7KQ2-M4XD-9TRA")
    ''
    """
    parts = urlsplit(address)
    if parts.scheme not in ("http", "https") or not parts.netloc or parts.query or parts.fragment:
        return ""
    link = f"{address}?number={quote(number)}&code={quote(code)}"
    return link if len(link) <= LONGEST else ""


def square_svg(link: str) -> Markup:
    """Return the code as vector squares, the quiet zone kept; nothing for no link.

    Rows of black modules are drawn as one shape, filled: no hairs of white between them in print.
    """
    if not link:
        return Markup("")
    rows = [bytes(row) for row in segno.make(link, error="m", micro=False, boost_error=False).matrix]
    side = len(rows) + 2 * QUIET
    drawn = "".join(_row(row, y) for y, row in enumerate(rows, QUIET))
    return Markup(  # noqa: S704 - numbers and words of ours
        f'<svg xmlns="http://www.w3.org/2000/svg" class="square" viewBox="0 0 {side} {side}">'
        f'<title>{escape(say(SPOKEN))}</title><rect width="{side}" height="{side}" fill="#fff"/>'
        f'<path fill="#000" d="{drawn}"/></svg>'
    )


def _row(row: bytes, y: int) -> str:
    found, x = [], 0
    while x < len(row):
        run = x
        while run < len(row) and row[run]:
            run += 1
        if run > x:
            found.append(f"M{x + QUIET} {y}h{run - x}v1h{x - run}z")
        x = run + 1
    return "".join(found)
