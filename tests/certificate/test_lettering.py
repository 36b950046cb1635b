"""Names as people have them: every script, every trick, and only our own faces in the file."""

from __future__ import annotations

import dataclasses
import io
import re
from types import SimpleNamespace
from xml.etree import ElementTree

import pikepdf
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from heaterapp.certificate import Filed, press, render_here
from heaterapp.certificate.content import paper_of
from heaterapp.certificate.cover import Cover
from heaterapp.certificate.ink import strokes_svg
from heaterapp.certificate.lettering import boxed, further_families, further_family, lettered, printable
from heaterapp.certificate.paper import Photo, PhotoPage, Row
from tests.certificate.printed import printed

ODD = {
    "owner_name": "水田 กำ 😀 ☔ ☺ ⚡ 𠮷 Łukasz שלום Привет",
    "installer_name": "محمد عبد الله الرشيد",
    "address_street": "Averyveryverylongstreetname" * 7,
    "heater_model": "Zalgo x" + "\u0337" * 60,
    "heater_serial": "W" * 200,
}


def fonts_of(pdf: bytes) -> set[str]:
    found = set()
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        for thing in opened.objects:
            if isinstance(thing, pikepdf.Dictionary) and thing.get("/Type") == "/FontDescriptor":
                assert "/FontFile2" in thing, "a font that is not embedded as TrueType"
                found.add(str(thing["/FontName"]).partition("+")[2])
    return found


def test_only_our_faces_are_embedded(gas):
    for pdf in gas.values():
        assert fonts_of(pdf) <= {"Heaterapp-B612", "Heaterapp-B612-Bold", "Heaterapp-DejaVu-Sans", "Heaterapp-DejaVu-Sans-Bold"}
        assert "Heaterapp-B612" in fonts_of(pdf)


def test_odd_names_are_laid_out_in_our_faces_alone(record_of):
    pdf = render_here(record_of(changes=ODD))["certificate.pdf"]
    more = {"Heaterapp-DroidSansFallback", "Heaterapp-NotoSansThai"}
    assert fonts_of(pdf) == {"Heaterapp-B612", "Heaterapp-B612-Bold", "Heaterapp-DejaVu-Sans", *more}
    flat = printed(pdf).replace(" ", "")
    for said in ("水田", "1F600", "2614", "20BB7", "Łukasz", "Привет", "W" * 200, "Averyveryverylongstreetname" * 7):
        assert said in flat, said


@pytest.mark.parametrize(
    ("given", "printed"),
    [
        ("Tom & Ann", "Tom &amp; Ann"), ("水", "水"), ("𠮷", '<span class="box">20BB7</span>'), ("\u202eevil", '<span class="box">202E</span>evil'),
        ("\u200f12\u200b \ufeffOak\u2069", "12 Oak"),
        ("a\nb\tc", "a b c"), ("\x07", '<span class="box">0007</span>'), ("\U0001f600", '<span class="box">1F600</span>'),
        ("⚡", '<span class="box">26A1</span>'), ("½ °F †", "½ °F †"), ("e\u0301", "é"),
        ("葛\U000e0100城", "葛城"), ("\u1112\u1161\u11ab", "한"), ("မြွှုံ့ A", '<span class="tall">မြွှုံ့</span> A'), ("ก" + "่" * 4, "ก่่่" + '<span class="box">0E48</span>'),
    ],
)  # fmt: skip
def test_what_is_printed_for_a_letter(given, printed):
    assert str(lettered(given)) == printed


def test_the_signs_we_print_ourselves_are_in_the_face():
    assert set("†‡·°●½¼¾ ") <= printable()


@settings(max_examples=300, deadline=None)
@given(st.text(max_size=60))
def test_no_text_becomes_markup_or_an_unknown_letter(text):
    shown = re.sub('<span class="(?:box|tall)">|</span>', "", str(lettered(text)))
    assert "<" not in shown
    for letter in {*shown, *boxed(text)}:
        assert letter in printable() or letter in "\u200c\u200d" or further_family(letter), letter


def test_a_page_asks_for_the_further_faces_of_its_letters_and_no_other():
    assert further_families("<p>Łukasz & שלום ☎ \u200d</p>\n") == ()
    assert further_families("김 水 ก。") == ("Heaterapp DroidSansFallback", "Heaterapp NotoSansThai")
    assert further_families("㗎 ฿") == ("Heaterapp DroidSansFallbackFull",)


@pytest.mark.parametrize(
    ("letters", "family"),
    [("水丁小ひカ김한ㄅ、ー", "DroidSansFallback"), ("ꞌ", "NotoSans"), ("हि।", "NotoSansDevanagari"), ("ক", "NotoSansBengali"), ("ਗ", "NotoSansGurmukhi"),
     ("શ", "NotoSansGujarati"), ("ଓ", "NotoSansOriya"), ("ழ", "NotoSansTamil"), ("త", "NotoSansTelugu"), ("ಕ", "NotoSansKannada"),
     ("ള", "NotoSansMalayalam"), ("ශ", "NotoSansSinhala"), ("ก้", "NotoSansThai"), ("ខ", "NotoSansKhmer"), ("မ", "NotoSansMyanmar"),
     ("བ", "NotoSerifTibetan"), ("አ", "NotoSansEthiopic"), ("އ", "NotoSansThaana"), ("ܣ", "NotoSansSyriac"), ("ᏣᎳ", "NotoSansCherokee"),
     ("ᠮ", "NotoSansMongolian"), ("𞤀", "NotoSansAdlam"), ("ꆈ", "NotoSansYi")],
)  # fmt: skip
def test_every_script_in_use_has_a_face(letters, family):
    assert {further_family(letter) for letter in letters} == {f"Heaterapp {family}"}


@pytest.mark.parametrize("letter", ["𠮷", "\U00012000", "\U00013000", "\ue000", "\u0378", "\U0001f600"])
def test_what_no_face_has_is_asked_of_none(letter):
    assert further_family(letter) is None


def test_the_usual_families_know_greek_cyrillic_armenian_georgian_hebrew_arabic_and_lao():
    assert set("αЖԱგשعກőßñ") <= printable()


@pytest.fixture(scope="module")
def plain(record_of):
    return paper_of(Filed.of(record_of()))


OF_A_COVER = {"contractor_lines": (), "about": (), "files": (), "standing": "void", "page_size": "letter"}
STACKED = "Zo" + "\u0337\u0308\u0300\u0337\u0337" + "e"


@settings(max_examples=5, deadline=None)
@given(st.text(max_size=40))
@example(STACKED)
@example('"><b> &amp; \x00\ud800 34 3/4 \U0001f600')
def test_any_text_stands_in_every_attribute_of_a_paper(plain, text):
    photo = Photo("photo:1", b"", "", text, text, text)
    same = dataclasses.replace(
        plain, contractor=text, title=text, number=text, footer=text, logo=photo,
        photo_pages=(PhotoPage((Row("", (photo,)),)),),
    )  # fmt: skip
    root = ElementTree.fromstring(press.html_of(same))
    first, second = (one.get("alt") for one in root.iter("img"))
    meta = {one.get("name"): one.get("content") for one in root.iter("meta")}
    said = boxed(text)
    assert (first, second, meta["author"]) == (said, boxed(f"{text}. {text}" if text else ""), said)
    assert root.find(".//h1").get("data-foot") == said
    assert root.find("head/title").text == boxed(f"{text} {text}")
    names = {one.name: text for one in dataclasses.fields(Cover)}
    cover = SimpleNamespace(**names | OF_A_COVER, heading="", meaning="")
    page = ElementTree.fromstring(press.press().templates.get_template("certificate/cover.html").render(cover=cover))
    assert page.find(".//h1").get("data-foot") == boxed(f"Copy of {text}")
    assert {one.get("name"): one.get("content") for one in page.iter("meta")}["author"] == said


@pytest.mark.parametrize(
    "strokes",
    [
        None, [], [[]], "M0 0", [[["0", 1]]], [[[1]]], [[[0, 0], [-1, 5]]], [[[0, 0], [10_001, 5]]], [[[True, 1], [2, 2]]], [[{"x": 1}]],
        [[[float("nan"), 1], [2, 2]]], [[[1, 1]] * 10_001], [["<svg>"]], {"a": 1}, 7,
    ],
)  # fmt: skip
def test_strokes_that_are_no_strokes_draw_nothing(strokes):
    assert strokes_svg({"strokes": strokes}) == ""


def test_strokes_are_drawn_from_their_numbers():
    svg = strokes_svg({"strokes": [[[10, 10, 0], [60, 40, 16]], [[30, 30]]]})
    assert 'd="M10 10 L60 40 M30 30 L30 30"' in svg
    assert 'viewBox="6 6 58 38"' in svg
