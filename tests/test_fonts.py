"""The fonts: two set-ups give the same bytes, the PDF holds ours and no other, what is missing is named.

The faces whose outlines are worked anew are prepared here; under WHOLE_GRIDS (tests/grids.py) every face, and packing those
takes five times as long.
"""

import io
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pikepdf
import pytest
from fontTools.ttLib import TTFont

from heaterapp import fonts, setup_check
from tests.grids import WHOLE

PROJECT = Path(__file__).resolve().parent.parent


COUNT = len(fonts.FACES) if WHOLE else 2
FURTHER = fonts.FURTHER if WHOLE else fonts.FURTHER[:1]
PREPARE = (
    f"import sys; from heaterapp import fonts; fonts.FACES = fonts.FACES[:{COUNT}]; "
    f"fonts.FURTHER = fonts.FURTHER[:{len(FURTHER)}]; sys.exit(fonts.main())"
)


@pytest.fixture(scope="module")
def prepared(tmp_path_factory):
    """A copy of the fonts that set-up prepared."""
    folder = tmp_path_factory.mktemp("fonts") / "copy"
    fonts.font_files()
    return Path(shutil.copytree(fonts.font_folder(), folder))


@pytest.fixture(scope="module")
def prepared_at_once(tmp_path_factory):
    """Fonts prepared by two processes at once in one folder, under two hash seeds."""
    folder = tmp_path_factory.mktemp("fonts") / "both"
    workers = [
        subprocess.Popen(
            [sys.executable, "-c", PREPARE], cwd=PROJECT, stdout=subprocess.PIPE, text=True,
            env={**os.environ, "HEATERAPP_FONTS": str(folder), "PYTHONHASHSEED": seed},
        )
        for seed in ("1", "2")
    ]
    said = [worker.communicate(timeout=600 if WHOLE else 120)[0] for worker in workers]
    assert [worker.returncode for worker in workers] == [0, 0], said
    return folder


def test_two_setups_give_the_same_bytes(prepared, prepared_at_once):
    made = [f"{face.stem}.{form}" for face in fonts.FACES[:COUNT] for form in fonts.FORMS]
    made += [f"{face.stem}.ttf" for face in FURTHER]
    assert sorted(path.name for path in prepared_at_once.iterdir()) == sorted([*made, fonts.STAMP])
    assert {path.name for path in prepared.iterdir()} >= {*fonts.font_files(prepared), fonts.STAMP}
    for name in made:
        assert (prepared_at_once / name).read_bytes() == (prepared / name).read_bytes(), name


def test_a_second_setup_writes_nothing_and_a_lost_file_is_made_again(prepared):
    before = {path: path.stat().st_mtime_ns for path in prepared.iterdir()}
    assert fonts.prepare(prepared) is False
    assert {path: path.stat().st_mtime_ns for path in prepared.iterdir()} == before
    lost = prepared / "B612-Bold.woff2"
    content = lost.read_bytes()
    lost.unlink()
    assert fonts.font_files(prepared)["B612-Bold.woff2"].read_bytes() == content


@pytest.mark.parametrize("stem", ["B612-Regular", "B612-Bold"])
def test_truetype_outlines_keep_every_sign_and_width(prepared, stem):
    face = next(face for face in fonts.FACES if face.stem == stem)
    original = TTFont(fonts._original(face, fonts.ROOTS))
    for form in fonts.FORMS:
        made = TTFont(prepared / f"{stem}.{form}")
        assert "glyf" in made
        private = {point for point in made.getBestCmap() if 0xE100 <= point < 0xE130}
        assert {point: made.getBestCmap()[point] for point in made.getBestCmap() if point not in private} == original.getBestCmap()
        assert bool(private) == (form == "ttf")
        added = {name: wide for name, wide in made["hmtx"].metrics.items() if name not in original["hmtx"].metrics}
        assert {**original["hmtx"].metrics, **added} == made["hmtx"].metrics
        assert bool(added) == (form == "ttf"), "only the form for paper sets fractions"
        assert {ord(sign) for sign in "°½¼⅛×±−≤≥′″Δ§²³₂→éñ¿¡—"} <= set(made.getBestCmap())


@pytest.mark.parametrize(
    ("text", "small"),
    [("34 3/4 in", "3/4"), ("1/2", "1/2"), ("15/16 of", "15/16"), ("9/16, 7/8", "9/16 7/8"), ("2026/1/2", ""), ("11/25", ""),
     ("B3/4", ""), ("3/4-22", ""), ("23/4", ""), ("1/3", ""), ("24/7", ""), ("120/240", ""), ("2/4", ""), ("1/25", "")],
)  # fmt: skip
def test_fractions_of_an_inch_are_set_small_and_no_other(prepared, text, small):
    from weasyprint import CSS, HTML
    from weasyprint.text.fonts import FontConfiguration

    files, configuration = fonts.font_files(prepared), FontConfiguration()
    rules = fonts.font_face_css("ttf", lambda name: files[name].as_uri(), fonts.FACES[:1])
    css = CSS(string=rules + f'body {{ font-family: "{fonts.FAMILY}" }}', font_config=configuration)
    pdf = HTML(string=f"<p>{text}").write_pdf(stylesheets=[css], font_config=configuration, pdf_identifier=b"x")
    with pikepdf.open(io.BytesIO(pdf)) as document:
        (page,) = document.pages
        (font,) = page.obj.Resources.Font.values()
        told = re.findall(r"<([0-9a-f]{4})> <([0-9a-f]{4})>", font.ToUnicode.read_bytes().decode().partition("beginbfchar")[2])
    order = TTFont(files["B612-Regular.ttf"]).getGlyphOrder()
    shown = {order[int(glyph, 16)]: chr(int(code, 16)) for glyph, code in told}
    set_small = {letter for name, letter in shown.items() if name.endswith((".over", ".under", ".bar"))}
    assert set_small == set(small) - {" "}
    assert {letter for name, letter in shown.items()} == set(text), "what is read stays what was typed"


def test_the_pdf_embeds_the_prepared_fonts_and_no_other(prepared):
    from weasyprint import CSS, HTML
    from weasyprint.text.fonts import FontConfiguration

    files, configuration = fonts.font_files(prepared), FontConfiguration()
    css = CSS(
        string=fonts.font_face_css("ttf", lambda name: files[name].as_uri())
        + f'body {{ font-family: "{fonts.FAMILY}", "{fonts.FALLBACK}" }}',
        font_config=configuration,
    )
    page = HTML(string="<p>17 3/8 in. <b>80 psi</b> Ж <b>ρ</b>")
    pdf = page.write_pdf(stylesheets=[css], font_config=configuration, pdf_identifier=b"setup")
    with pikepdf.open(io.BytesIO(pdf)) as document:
        parts = [part for part in document.objects if isinstance(part, pikepdf.Dictionary)]
        names = {str(part.FontName).partition("+")[2] for part in parts if "/FontFile2" in part}
        kinds = {str(part.Subtype) for part in parts if "/CIDToGIDMap" in part}
        others = [part for part in parts if "/FontFile3" in part or "/FontFile" in part]
    assert names == {
        "Heaterapp-B612", "Heaterapp-B612-Bold", "Heaterapp-DejaVu-Sans", "Heaterapp-DejaVu-Sans-Bold",
    }
    assert (kinds, others) == ({"/CIDFontType2"}, [])


def test_further_faces_are_debian_s_own_and_no_line_with_chinese_is_higher(prepared):
    own = TTFont(prepared / "B612-Regular.ttf")
    for face in fonts.FURTHER:
        body, original = (prepared / f"{face.stem}.ttf").read_bytes(), fonts._original(face, fonts.ROOTS).read_bytes()
        if face.package == "fonts-noto-core":
            assert body == original, face.stem
            continue
        made, line = TTFont(io.BytesIO(body), lazy=True), own["hhea"]
        scale = made["head"].unitsPerEm / own["head"].unitsPerEm
        assert (made["hhea"].ascent, made["hhea"].descent) == (round(line.ascent * scale), round(line.descent * scale))
        assert made.reader["glyf"] == TTFont(io.BytesIO(original), lazy=True).reader["glyf"], "its letters are drawn as they were"


def test_font_rules_name_every_prepared_file():
    for form in fonts.FORMS:
        rules = fonts.font_face_css(form, lambda name: f"/fonts/{name}")
        assert re.findall(r'url\("/fonts/([^"]+)"\)', rules) == [
            f"{face.stem}.{form}" for face in fonts.FACES
        ]


def test_a_missing_font_package_is_named(tmp_path):
    shutil.copy(fonts._original(fonts.FACES[0], fonts.ROOTS), tmp_path)
    shutil.copy(fonts._original(fonts.FACES[1], fonts.ROOTS), tmp_path)
    assert fonts.missing_packages([tmp_path]) == ["fonts-dejavu-core", "fonts-droid-fallback", "fonts-noto-core"]
    with pytest.raises(fonts.FontMissing) as caught:
        fonts.prepare(tmp_path / "made", roots=[tmp_path])
    assert str(caught.value) == (
        "The font DejaVuSans is not on this machine: install the package fonts-dejavu-core "
        "(apt-get install fonts-dejavu-core), then run: python -m heaterapp.fonts"
    )
    assert not (tmp_path / "made").exists()


def test_a_folder_that_cannot_be_written_is_named(tmp_path):
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(fonts.FontMissing, match=r"cannot be written to .*file/fonts .*HEATERAPP_FONTS"):
        fonts.prepare(tmp_path / "file" / "fonts")


def test_this_machine_has_all_that_is_needed(prepared, monkeypatch):
    monkeypatch.setenv("HEATERAPP_FONTS", str(prepared))
    assert setup_check.complaint() is None
    setup_check.require()


def test_a_library_that_cannot_be_loaded_is_named_with_its_package(prepared, monkeypatch):
    monkeypatch.setenv("HEATERAPP_FONTS", str(prepared))
    monkeypatch.setattr(setup_check, "_loads", lambda name: "subset" not in name)
    with pytest.raises(setup_check.SetupIncomplete) as caught:
        setup_check.require()
    assert "run 'apt-get install libharfbuzz-subset0' as root" in str(caught.value)
    assert str(caught.value).count(".") == 1 + str(caught.value).count(".ci")


def test_fonts_and_libraries_are_asked_for_together(tmp_path, monkeypatch):
    monkeypatch.setenv("HEATERAPP_FONTS", str(tmp_path / "empty"))
    monkeypatch.setattr(fonts.prepare, "__defaults__", (None, (tmp_path,)))
    monkeypatch.setattr(fonts.missing_packages, "__defaults__", ((tmp_path,),))
    monkeypatch.setattr(setup_check, "_loads", lambda name: "pangoft2" not in name)
    assert "apt-get install fonts-b612 fonts-dejavu-core fonts-droid-fallback fonts-noto-core libpangoft2-1.0-0'" in setup_check.complaint()
