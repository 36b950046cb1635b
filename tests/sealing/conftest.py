"""A small paper, two firms' keys, and sealed copies of it: made once for all tests of the seal."""

from __future__ import annotations

import io
from datetime import UTC, datetime
from typing import Any

import pikepdf
import pytest

from heaterapp.sealing import Stored, new_key, seal

AT = datetime(2026, 3, 14, 12, 0, tzinfo=UTC)
NUMBER = "C-000123"


def small_paper(words: str = "Set tank air to 60 psi", attached: bytes = b'{"storage_gal":"50"}') -> bytes:
    """Two pages with words and an attachment, as a paper has them, in two kilobytes."""
    pdf = pikepdf.new()
    for page in (words, "Second page"):
        pdf.add_blank_page(page_size=(612, 792)).Contents = pdf.make_stream(f"BT ({page}) Tj ET".encode())
    pdf.attachments["job.json"] = pikepdf.AttachedFileSpec(pdf, attached, mime_type="application/json")
    out = io.BytesIO()
    pdf.save(out, static_id=False, deterministic_id=True)
    return out.getvalue()


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
