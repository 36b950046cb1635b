"""Joined, stacked and turned letters: what is copied out of a file is what was typed, and each page has its own faces."""

from __future__ import annotations

import io
import subprocess

import pikepdf
import pytest
from weasyprint.pdf.stream import Stream

from heaterapp.certificate import copied_text, press
from heaterapp.certificate.lettering import lettered
from heaterapp.certificate.plain_letters import read_plainly
from heaterapp.certificate.press import Sheet
from tests.certificate.drawn_rules import (
    every_letter_shown_is_in_its_face,
    every_letter_shown_reads_as_something,
)
from tests.certificate.test_lettering import fonts_of

JOINED = ["สมชาย น้ำผึ้ง กำ ก", "हिन्दी मार्ग कि क र्क", "தமிழ்ச்செல்வன் கொ க", "ខ្មែរ ស្រី រ", "བསྒྲུབས ས", "മൃഷ്ണൻ കൃ ക", "ශ්‍රී ර"]
PLAIN = ["水田町 3丁目, 王小明", "김민준 Łukasz", "አበበ በቀለ ሰላማዊት", "محمد عبد الله", "שלום כהן", "Нина Петрова 34 3/4"]


def pressed(*lines):
    own = press.press()
    told = "".join(f"<p>{lettered(line)}</p>" for line in lines)
    markup = f'<html lang="en"><head><title>t</title></head><body class="letter">{told}</body></html>'
    laid = Sheet(markup, own.fetcher).render(**own.dressed(markup))
    return laid.write_pdf(pdf_tags=True, pdf_identifier=b"names", finisher=lambda _, pdf: read_plainly(pdf))


def copied(pdf):
    run = subprocess.run(["pdftotext", "-", "-"], input=pdf, capture_output=True, check=True)
    # Around what is written from the right stand marks that say so, and are not seen.
    lines = [line.strip("\u202a\u202b\u202c") for line in run.stdout.decode().splitlines() if line]
    return lines[: lines.index("heaterapp")]


@pytest.fixture(scope="module")
def page():
    return pressed(*JOINED, *PLAIN)


def test_what_is_copied_out_is_what_was_typed(page, monkeypatch):
    assert copied(page) == [*JOINED, *PLAIN]
    monkeypatch.setattr(copied_text, "needs_its_text", lambda line: False)
    bare = copied(pressed(*JOINED, *PLAIN))
    assert bare[-len(PLAIN) :] == PLAIN
    assert not {*bare} & {*JOINED[:2]}, "these want their text beside them"


def test_a_bracket_from_the_right_turns_no_bracket_of_the_paper_round(monkeypatch):
    lines = "שדרות (א)", "[(60 + 14.7)] < 80"
    assert lines[1] in copied(pressed(*lines))
    monkeypatch.setattr(Stream, "add_font", copied_text._add_font)
    assert "[)60 + 14.7(] < 80" in copied(pressed(*lines)), "so the renderer has it by itself"


def test_every_part_of_a_syllable_is_in_its_face_and_reads_as_something(page):
    with pikepdf.open(io.BytesIO(page)) as pdf:
        assert every_letter_shown_is_in_its_face(pdf)
        assert every_letter_shown_reads_as_something(pdf)


def test_a_page_has_the_same_bytes_whatever_was_pressed_before_it():
    first, usual = pressed("สมชาย 水"), pressed("Tom")
    pressed("김민준 ខ្មែរ 㗎")
    assert (pressed("สมชาย 水"), pressed("Tom")) == (first, usual)
    assert fonts_of(first) == {"Heaterapp-B612", "Heaterapp-DroidSansFallback", "Heaterapp-NotoSansThai"}
    assert fonts_of(usual) == {"Heaterapp-B612"}


@pytest.mark.parametrize(
    ("line", "needs"),
    [
        ("● Strap material\t", False), ("34\u00a03/4 in °F †½ é", False), ("水田町", False), ("محمد", False), ("ދިވެހި สม", False),
        ("ก", True), ("x\u0337", True), ("हि", True), ("𞤀𞤣", True),
    ],
)  # fmt: skip
def test_which_lines_want_their_text_beside_them(line, needs):
    assert copied_text.needs_its_text(line) is needs
