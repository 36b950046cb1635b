"""What stands on a paper's pages, in the order in which it is set: as `pdftotext` reads it, in a tenth of pypdf's time.

An inch and its fraction come without the space between them (371/4): where lengths are looked at, pypdf reads.
"""

from __future__ import annotations

import re
import subprocess


def printed(pdf: bytes, page: int | None = None) -> str:
    """The words of a paper, or of one page counted from 0, with one space between them."""
    only = [] if page is None else ["-f", str(page + 1), "-l", str(page + 1)]
    done = subprocess.run(["pdftotext", "-raw", *only, "-", "-"], input=pdf, capture_output=True, check=True)
    return re.sub(r"\s+", " ", done.stdout.decode()).strip()
