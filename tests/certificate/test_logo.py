"""A firm's logo at the head of its papers: whole, in its own shape, and the same bytes each time."""

from __future__ import annotations

import io
from dataclasses import dataclass

import pypdf
from PIL import Image

from heaterapp.certificate import render_here

from .conftest import Record


@dataclass(frozen=True)
class WithLogo(Record):
    """A record that carries a logo."""

    logo: bytes | None = None


def logo(size: tuple[int, int]) -> bytes:
    out = io.BytesIO()
    Image.new("RGB", size, (20, 90, 76)).save(out, "JPEG")
    return out.getvalue()


def test_a_logo_stands_on_the_first_page_and_the_paper_repeats_to_the_byte(record_of):
    plain = record_of("electric_storage_irc")
    body = logo((600, 200))
    held = WithLogo(plain.job, plain.report, logo=body)
    made = render_here(held)
    assert render_here(held) == made
    pages = pypdf.PdfReader(io.BytesIO(made["certificate.pdf"])).pages
    assert len(pages) <= 2
    (image,) = pages[0].images
    assert image.image.size == (600, 200)
    assert body in made["certificate.pdf"], "the very bytes that the archive keeps"


def test_a_tall_logo_stands_beside_the_name_and_costs_no_page(record_of):
    full = record_of()
    for size in ((200, 900), (900, 200)):
        made = render_here(WithLogo(full.job, full.report, logo=logo(size)))["certificate.pdf"]
        assert len(pypdf.PdfReader(io.BytesIO(made)).pages) == 2, size
