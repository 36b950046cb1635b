"""A small paper, two firms' keys, and sealed copies of it: made once for all tests of the seal."""

from __future__ import annotations

import hashlib
import io
import re
from datetime import UTC, datetime
from typing import Any

import pytest

from heaterapp.sealing import Stored, new_key, seal

AT = datetime(2026, 3, 14, 12, 0, tzinfo=UTC)
NUMBER = "C-000123"


def small_paper(
    words: str = "Set tank air to 60 psi", attached: bytes = b'{"storage_gal":"50"}', title: str = ""
) -> bytes:
    """Two pages with words and an attachment, as a paper has them, in two kilobytes; written as no library writes."""
    escaped = re.sub(r"[^A-Za-z0-9 .-]", lambda one: f"\\{ord(one[0]):03o}", title)
    shown = f"({escaped})" if title.isascii() else f"<feff{title.encode('utf-16-be').hex()}>"
    page = "<</Type/Page/Parent 8 0 R/MediaBox[0 0 612 792]/Resources<<>>/Contents {} 0 R>>"
    objects = {
        1: _stream(f"BT ({words}) Tj ET".encode()), 2: _stream(b"BT (Second page) Tj ET" + bytes(range(64, 127)) * 12),
        3: _stream(attached, b"/Type/EmbeddedFile/Subtype/application#2fjson"),
        4: b"<</Type/Filespec/F(job.json)/UF(job.json)/EF<</F 3 0 R>>>>",
        5: f"<</Producer(Anything){'/Title' + shown if title else ''}>>".encode(),
        6: page.format(1).encode(), 7: page.format(2).encode(), 8: b"<</Type/Pages/Count 2/Kids[6 0 R 7 0 R]>>",
        9: b"<</Type/Catalog/Pages 8 0 R/AF[4 0 R]/Names<</EmbeddedFiles<</Names[(job.json)4 0 R]>>>>>>",
    }  # fmt: skip
    body, places = b"%PDF-1.7\n%\xf0\x9f\x96\xa4\n", []
    for number, held in objects.items():
        places.append(len(body))
        body += b"%d 0 obj\n%s\nendobj\n" % (number, held)
    table = b"xref\n0 10\n0000000000 65535 f \n" + b"".join(b"%010d 00000 n \n" % at for at in places)
    named = hashlib.md5(body).hexdigest().encode()
    trailer = b"trailer\n<</Size 10/Root 9 0 R/Info 5 0 R/ID [(%s) (%s)]>>\n" % (named, named[::-1])
    return body + table + trailer + b"startxref\n%d\n%%%%EOF\n" % len(body)


def _stream(held: bytes, more: bytes = b"") -> bytes:
    return b"<<%s/Length %d>>\nstream\n%s\nendstream" % (more, len(held), held)


def forged(begun: bytes, words: str = "Set tank air to 95 psi") -> bytes:
    """Another paper that shows its own page behind the beginning of a real one."""
    text = f"BT /F 24 Tf 72 700 Td ({words}) Tj ET".encode()
    page = b"<</Type/Page/Parent 2 0 R/MediaBox[0 0 612 792]/Contents 4 0 R/Resources<<>>>>"
    body, places = begun + b"\nendstream\nendobj\n", []
    for number, held in enumerate((b"<</Type/Catalog/Pages 2 0 R>>", b"<</Type/Pages/Count 1/Kids[3 0 R]>>", page, _stream(text)), 1):
        places.append(len(body))
        body += b"%d 0 obj\n%s\nendobj\n" % (number, held)
    table = b"xref\n0 5\n0000000000 65535 f \n" + b"".join(b"%010d 00000 n \n" % at for at in places)
    return body + table + b"trailer<</Size 5/Root 1 0 R>>\nstartxref\n%d\n%%%%EOF\n" % len(body)


def added_to(body: bytes, change: Any) -> bytes:
    """Return a file with one revision more after it, made by `change(writer)`."""
    from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter

    writer = IncrementalPdfFileWriter(io.BytesIO(body), strict=True)
    change(writer)
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


@pytest.fixture(scope="session")
def ours():
    return new_key("Harborlight Plumbing", AT)


@pytest.fixture(scope="session")
def theirs():
    return new_key("Harborlight Plumbing", AT)


@pytest.fixture(scope="session")
def paper() -> Stored:
    return Stored(NUMBER, "certificate-archival.pdf", small_paper())


@pytest.fixture(scope="session")
def sealed(paper, ours) -> bytes:
    return seal(paper.body, ours)
