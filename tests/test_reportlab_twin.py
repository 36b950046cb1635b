"""The twin in ReportLab is an honest one: the same words, pages, photos, drawings as vectors, faces embedded."""

from __future__ import annotations

import io
import re
from unittest import mock

import pypdf
import pytest

from heaterapp import certificate_times, sample_photo
from heaterapp.certificate import render_here
from heaterapp.certificate.content import paper_of
from tests.certificate.conftest import Record, answers_of_job

pytest.importorskip("reportlab")


@pytest.fixture(scope="module")
def filed():
    from heaterapp.rules import Job, assess, canonical_bytes

    job = Job(answers_of_job("gas_storage_us_ca"))
    record = Record(canonical_bytes(job.canonical()), assess(job).to_bytes())
    real = sample_photo.sample_photo
    # How large they were taken is nothing that is looked at.
    with mock.patch.object(sample_photo, "sample_photo", lambda seed: real(seed, 800, 600)):
        return certificate_times.with_photos(record, 3)


@pytest.fixture(scope="module")
def both(filed):
    ours = render_here(filed)["certificate.pdf"]
    return pypdf.PdfReader(io.BytesIO(ours)), pypdf.PdfReader(
        io.BytesIO(certificate_times.twin_of(filed)(filed))
    )


def words(reader):
    said = " ".join(page.extract_text() for page in reader.pages)
    return re.sub(r"[\s\u00a0●⁄]+", "", said)


def letters(reader):
    return sorted(one for one in words(reader) if one.isalpha() and one.isascii())


def test_it_has_as_many_pages_and_photos(both):
    ours, twin = both
    assert len(twin.pages) == len(ours.pages) == certificate_times.PAGES
    for reader in both:
        assert len({image.name for page in reader.pages for image in page.images}) == 3


def test_it_has_the_same_words(both, filed):
    ours, twin = both
    said = words(twin)
    paper = paper_of(filed)
    wanted = [check.name for topic in paper.met for check in topic.checks]
    wanted += [one.worked for one in paper.figures if one.worked] + [
        text for topic in paper.met for _, text in topic.cautions
    ]
    missing = [one for one in wanted if re.sub(r"[\s\u00a0●⁄]+", "", one) not in said]
    assert len(wanted) > 60
    assert missing == []
    assert abs(len(letters(twin)) - len(letters(ours))) < len(letters(ours)) * 0.02


def test_its_faces_are_embedded_and_its_drawings_are_lines(both):
    _, twin = both
    fonts = {
        str(font.get_object()["/BaseFont"]): font.get_object()
        for page in twin.pages for font in page["/Resources"]["/Font"].values()
    }  # fmt: skip
    assert any("B612" in name for name in fonts)
    for name, font in fonts.items():
        if "B612" in name:
            assert "/FontFile2" in font["/FontDescriptor"]
    drawn = twin.pages[0].get_contents().get_data() + twin.pages[1].get_contents().get_data()
    assert drawn.count(b" l S") + drawn.count(b" l ") > 50
