"""A paper as somebody hears it: its tagged text in reading order, with what kind of thing each piece is.

    python tests/certificate/read_out.py FILE.pdf
"""

from __future__ import annotations

import re
import sys
from pathlib import Path

import pikepdf

if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).resolve().parent.parent.parent))

from tests.certificate.drawn_rules import unicode_of
from tests.certificate.structure_rules import walked

ALONE = {"P", "H1", "H2", "H3", "TH", "TD", "Figure"}
PIECE = re.compile(rb"/MCID ([0-9]+)|/ActualText <([0-9a-f]+)>|/(\S+) [0-9.]+ Tf|<([0-9a-f]+)>|\bEMC\b")


def _pieces(page):
    """Number of marked content -> its text, as the mark itself says it or else as the fonts map it."""
    fonts, known = page.obj.Resources.get("/Font", {}), {}
    said, here, font, whole = {}, None, {}, False
    for number, text, name, codes in PIECE.findall(page.Contents.read_bytes()):
        if number:
            here, whole = int(number), False
            said[here] = ""
        elif text:
            said[here], whole = bytes.fromhex(text.decode()).decode("utf-16"), True
        elif name:
            key = f"/{name.decode()}"
            if key not in known:
                known[key] = unicode_of(fonts[key])
            font = known[key]
        elif codes and here is not None and not whole:
            said[here] += "".join(font.get(int(codes[i : i + 4], 16), "\ufffd") for i in range(0, len(codes), 4))
    return said


def read_out(pdf):
    """Lines such as `H2 To fix`, one a heading, paragraph, cell or picture, in reading order."""
    pieces = [_pieces(page) for page in pdf.pages]
    lines = []
    for one, _ in walked(pdf):
        if isinstance(one, tuple):
            page, number = one
            text = pieces[page].get(number, "")
            if lines:
                lines[-1][1] += f" {text}"
            continue
        kind = str(one.get("/S", ""))[1:]
        if kind in ALONE and not (kind == "P" and lines and lines[-1][0] in ("TH", "TD") and not lines[-1][1]):
            lines.append([kind, str(one.get("/Alt", ""))])
        elif kind == "P" and lines and lines[-1][0] in ("TH", "TD"):
            lines[-1][1] += " "
    return [f"{kind} {' '.join(text.split())}" for kind, text in lines if text.strip()]


if __name__ == "__main__":
    with pikepdf.open(sys.argv[1]) as opened:
        print("\n".join(read_out(opened)))
