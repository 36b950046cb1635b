"""Photos on the papers: whole, captioned, small, the same bytes; and papers without them as they were."""

from __future__ import annotations

import base64
import dataclasses
import io
import itertools
import os
import pickle
import subprocess
import sys

import pikepdf
import pypdf
import pytest
from markupsafe import escape
from PIL import Image

from heaterapp.certificate import Filed, press, render_here
from heaterapp.certificate.content import paper_of
from heaterapp.certificate.handed import OwnPhotos, Refused
from heaterapp.certificate.lettering import boxed
from heaterapp.certificate.photos import MOST_BYTES, MOST_PX, kept_of, pages_of
from heaterapp.filling.photos import LABELS
from heaterapp.photo import tidied
from heaterapp.sample_photo import sample_photo
from tests.certificate import page_checks
from tests.certificate.printed import printed
from tests.certificate.specimens import Shot
from tests.certificate.test_archival import RULES
from tests.certificate.test_same_bytes import SCRIPT, _lines
from tests.certificate.test_type import SMALLEST_PT, _laid, _sizes
from tests.grids import some

FILES = ("certificate.pdf", "certificate-archival.pdf")


def flat(width, height):
    out = io.BytesIO()
    Image.new("RGB", (width, height), (200, 40, 40)).save(out, "JPEG")
    return out.getvalue()


@pytest.fixture(scope="module")
def with_photos(record_of):
    def make(shots, name="gas_storage_us_ca", **more):
        record = record_of(name, **more)
        fields = {one.name: getattr(record, one.name) for one in dataclasses.fields(record)}
        return type("WithPhotos", (), {**fields, "photos": tuple(shots)})()

    return make


@pytest.fixture(scope="module")
def three():
    wide, high = tidied(sample_photo(1)).body, tidied(sample_photo(2, 1800, 2400)).body
    return (
        Shot(wide, "plate", "Model and serial"),
        Shot(high, "straps", "Tape from the floor"),
        Shot(tidied(sample_photo(3)).body, "house", taken_at="yesterday"),
        Shot(b"never looked at", "gauge", chosen=False),
        Shot(b"nor this", "other", chosen=False),
        Shot(b"nor this", "other", chosen=False),
    )


@pytest.fixture(scope="module")
def made(with_photos, three):
    return render_here(with_photos(three))


def pictures(pdf):
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        return [
            (int(one.Width), int(one.Height), one.get("/Interpolate"), one.read_raw_bytes())
            for one in opened.objects
            if isinstance(one, pikepdf.Stream) and one.get("/Subtype") == pikepdf.Name.Image
        ]


def images_of(record):
    """Width and height [pt] of every photo laid out, page by page."""
    return [
        [
            (box.width * 0.75, box.height * 0.75)
            for box in page._page_box.descendants()
            if box.element_tag == "img"
        ]
        for page in _laid(record).pages
    ]


def test_a_paper_without_photos_is_what_it_was(gas, with_photos):
    assert render_here(with_photos(())) == gas
    assert all(len(pypdf.PdfReader(io.BytesIO(pdf)).pages) == 2 for pdf in gas.values())


@pytest.mark.parametrize("name", FILES)
def test_three_photos_stand_on_a_page_of_their_own_under_their_captions(name, made):
    pdf = made[name]
    assert len(pypdf.PdfReader(io.BytesIO(pdf)).pages) == 3
    text = printed(pdf, 2)
    for said in (
        "Photos", "Data plate Model and serial", "Straps, with a tape Tape from the floor", "House with its number and the permit",
        "Device time 2026-11-26 09:14 UTC, SHA-256 0123456789abcdef...", "Device time yesterday", "page 3 of 3",
        "Kept with the record and not printed: 3 photos: Pressure gauge; Another picture (2).", "what the phone's own clock said",
    ):  # fmt: skip
        assert said in text, said
    assert "Photos" not in printed(pdf, 0) + printed(pdf, 1)
    assert len(pictures(pdf)) == 3


def test_a_file_with_three_photos_is_at_most_500_kb(made):
    assert max(len(pdf) for pdf in made.values()) <= 500_000


def test_the_pictures_are_whole_not_smoothed_and_in_shape(with_photos, three, made):
    found = pictures(made["certificate-archival.pdf"])
    assert sorted((wide, high) for wide, high, _, _ in found) == [(600, 800), (800, 600), (800, 600)]
    assert {smoothed for _, _, smoothed, _ in found} == {False}
    shown = images_of(with_photos(three))
    assert [len(page) for page in shown] == [0, 0, 3]
    for (wide, high), shape in zip(shown[2], (4 / 3, 3 / 4, 4 / 3), strict=True):
        assert wide / high == pytest.approx(shape, rel=0.01)


def test_every_picture_says_what_it_shows_to_who_cannot_see_it(made):
    for pdf in made.values():
        with pikepdf.open(io.BytesIO(pdf)) as opened:
            said = [
                str(one.Alt)
                for one in opened.objects
                if isinstance(one, pikepdf.Dictionary)
                and one.get("/S") == pikepdf.Name.Figure
                and "/Alt" in one
            ]
        assert [one for one in said if "Data plate. Model and serial" in one]
        assert [one for one in said if "Straps, with a tape. Tape from the floor" in one]
        assert "House with its number and the permit" in said


def test_the_archival_paper_with_photos_keeps_every_rule(made):
    with pikepdf.open(io.BytesIO(made["certificate-archival.pdf"])) as pdf:
        assert not [name for name, rule in RULES.items() if not rule(pdf)]


def test_the_same_photos_give_the_same_bytes_in_another_process(with_photos, three, made):
    handed = base64.b64encode(pickle.dumps(Filed.of(with_photos(three)))).decode()
    run = subprocess.run(
        [sys.executable, "-c", SCRIPT], input=handed, capture_output=True, text=True, check=True,
        env={**os.environ, "PYTHONHASHSEED": "77", "TZ": "Asia/Tokyo"},
    )  # fmt: skip
    assert run.stdout.split("\n")[:-1] == _lines(made)


def test_only_what_is_printed_goes_to_the_press(with_photos, three):
    filed = Filed.of(with_photos(three))
    assert [len(one.body) > 0 for one in filed.photos] == [True] * 3 + [False] * 3


def test_odd_shapes_are_shown_whole(with_photos):
    sizes = [(1, 1600), (1600, 1), (96, 1600), (1600, 96), (40, 30), (1, 1), (1600, 1600)]
    pages = images_of(with_photos([Shot(flat(*size)) for size in sizes]))
    for size, (wide, high) in zip(sizes, itertools.chain(*pages), strict=True):
        assert wide / high == pytest.approx(size[0] / size[1], rel=0.001)
        assert wide <= 254.1
        assert high <= 275.1
        assert wide <= size[0] * 1.01 or size[0] > 254


def text_of(page):
    """All that stands on a page, without its spaces."""
    return "".join("".join(getattr(box, "text", "").split()) for box in page._page_box.descendants())


MANY = ((1, [1]), (4, [4]), (6, [6]), (7, [6, 1]), (20, [6, 6, 6, 2]))
LOOKS = (((400, 300), "letter"), ((300, 400), "letter"), ((300, 400), "a4"))
NOTES = (("The upper strap was moved two inches after the first try. " * 6)[:300], "W" * 300, ("WWWWWWWWWWWWWWWWW " * 20)[:300], "\u0428" * 300)


# Every seventh of sixty: each number of photos, each look and each note at least once.
@pytest.mark.parametrize(
    ("note", "size", "paper", "many", "pages"),
    [(note, *look, *many) for note, look, many in some(itertools.product(NOTES, LOOKS, MANY), 7)],
)
def test_many_photos_go_on_page_after_page_each_whole(many, pages, size, paper, note, with_photos):
    firm = {"name": "Harborlight Plumbing", "settings": {"paper": paper}}
    unprinted = [Shot(b"", kind, chosen=False) for kind in LABELS]
    record = with_photos([Shot(flat(*size), "house", note) for _ in range(many)] + unprinted, organisation_snapshot=firm)
    laid = _laid(record)
    assert [sum(box.element_tag == "img" for box in page._page_box.descendants()) for page in laid.pages] == [0, 0, *pages]
    for page in laid.pages[2:]:
        (foot,) = {box.position_y for box in page._page_box.descendants() if getattr(box, "text", "") == "heaterapp"}
        said = [box.position_y for box in page._page_box.descendants() if getattr(box, "text", "").startswith("Device time")]
        assert len(said) > 0
        assert max(said) < foot - 12
        assert text_of(page).count("".join(note.split())) == len(said)


def test_nothing_on_a_photo_page_is_set_smaller_than_seven_points(with_photos, three):
    found = list(_sizes(_laid(with_photos(three))))
    assert any("Device" in text for _, text in found)
    assert not [text for size, text in found if size < SMALLEST_PT - 0.01]


def test_a_note_is_text_and_the_longest_stands_whole_under_its_photo_and_in_its_alternative(with_photos):
    note = ('<img src="file:///etc/hostname"> & \u6c34 ' + "word " * 60)[:297] + "end"
    paper = paper_of(Filed.of(with_photos([Shot(flat(80, 60), note=note)])))
    assert [one.note for page in paper.photo_pages for row in page.rows for one in row.photos] == [note]
    assert f'alt="Data plate. {escape(boxed(note))}"' in press.html_of(paper)


def test_a_row_whose_captions_leave_no_room_takes_that_of_another(with_photos):
    """No face has them: 300 code points in boxes are the widest note that can be."""
    record = with_photos([Shot(flat(300, 400), "house", note) for note in ["", "\U000f0000" * 300, "", "", "", "", ""]])
    laid = _laid(record)
    assert [sum(box.element_tag == "img" for box in page._page_box.descendants()) for page in laid.pages] == [0, 0, 2, 5]
    assert [text_of(page).count("F0000") for page in laid.pages] == [0, 0, 300, 0]
    assert not list(page_checks.overlapping(page_checks.pages_of(laid.write_pdf())))


def test_a_busy_picture_is_written_coarser_until_it_is_small():
    noise = Image.effect_noise((1600, 1600), 120).convert("RGB")
    out = io.BytesIO()
    noise.save(out, "JPEG", quality=82)
    (page,) = pages_of(Filed.of(_bare([Shot(out.getvalue())])).photos, {})
    assert 0 < len(page.rows[0].photos[0].body) <= MOST_BYTES


def _bare(shots):
    names = {one.name: "" for one in dataclasses.fields(Filed)}
    given = {
        **names,
        "job": b"",
        "report": b"",
        "signature": None,
        "issued_by": {},
        "context": {},
        "organisation_snapshot": {},
    }
    return type("Bare", (), {**given, "photos": tuple(shots)})()


def test_a_printed_picture_carries_nothing_but_itself(three):
    marked = three[0].body[:2] + b"\xff\xfe\0\x0fN 48.1 W 123." + three[0].body[2:]
    (page,) = pages_of(Filed.of(_bare([dataclasses.replace(three[0], body=marked)])).photos, {})
    printed = page.rows[0].photos[0].body
    assert b"48.1" not in printed
    assert max(Image.open(io.BytesIO(printed)).size) <= MOST_PX


def test_photos_none_of_which_is_printed_are_named_in_a_line(with_photos):
    made = render_here(with_photos([Shot(b"", "vent", chosen=False)]))
    assert len(pypdf.PdfReader(io.BytesIO(made["certificate.pdf"])).pages) == 2
    assert "Kept with the record and not printed: 1 photo: Vent and connector." in printed(
        made["certificate.pdf"], 1
    )
    assert kept_of(()) == ""


def test_a_correction_list_has_its_photos_too(with_photos):
    made = render_here(with_photos([Shot(flat(80, 60))], "gas_storage_to_fix", kind="correction_list"))
    last = len(pypdf.PdfReader(io.BytesIO(made["correction-list.pdf"])).pages) - 1
    assert "Data plate Device time" in printed(made["correction-list.pdf"], last)


@pytest.mark.parametrize(
    "address",
    [
        "photo:2",
        "photo:01",
        "photo:",
        "file:///etc/passwd",
        "http://127.0.0.1:9/",
        "lettering:B612-Regular.ttf",
        "data:,x",
    ],
)
def test_only_the_exact_names_of_this_paper_s_photos_are_answered(address, with_photos):
    handed = OwnPhotos(paper_of(Filed.of(with_photos([Shot(flat(80, 60))]))))
    assert handed.fetch("photo:1").read().startswith(b"\xff\xd8")
    with pytest.raises(Refused):
        handed.fetch(address)


def test_a_photo_that_cannot_be_opened_stops_the_paper(with_photos):
    with pytest.raises(OSError, match="identify"):
        render_here(with_photos([Shot(b"no photo")]))
