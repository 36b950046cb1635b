"""What comes out of a photo: upright, small, nothing but the picture, the same bytes each time."""

import struct
import zlib
from concurrent.futures import ThreadPoolExecutor
from io import BytesIO

import pytest
from PIL import Image, ImageCms

from heaterapp.photo import LONGEST_SIDE, NotAPhoto, darkroom, header, tidied
from heaterapp.photo.bare import bare_jpeg, bare_png
from tests.photo.hostile import chunk, png, segment

RED, GREEN, BLUE, WHITE = (230, 20, 20), (20, 200, 20), (20, 20, 230), (250, 250, 250)
CORNERS = ("top left", "top right", "bottom left", "bottom right")
# Exif 2.32 (CIPA DC-008), tag Orientation: where the stored row 0 and column 0 are seen (from memory).
SEEN = {1: ("top", "left"), 2: ("top", "right"), 3: ("bottom", "right"), 4: ("bottom", "left"),
        5: ("left", "top"), 6: ("right", "top"), 7: ("right", "bottom"), 8: ("left", "bottom")}  # fmt: skip
OPPOSITE = {"top": "bottom", "bottom": "top", "left": "right", "right": "left"}


def saved(image: Image.Image, form: str = "JPEG", **how: object) -> bytes:
    out = BytesIO()
    image.save(out, form, **how)
    return out.getvalue()


def opened(body: bytes) -> Image.Image:
    return Image.open(BytesIO(body))


def tiff(turn: int, order: str = "<", position: bytes = b"") -> bytes:
    head = (b"II*\0" if order == "<" else b"MM\0*") + struct.pack(f"{order}IH", 8, 1)
    return head + struct.pack(f"{order}HHIHHI", 0x0112, 3, 1, turn, 0, 0) + position


def with_exif(body: bytes, block: bytes) -> bytes:
    return body[:2] + segment(0xE1, b"Exif\0\0" + block) + body[2:]


def stored_for(turn: int) -> Image.Image:
    """A photo that is seen with red, green over blue, white once it is turned as `turn` says."""
    seen = dict(zip(CORNERS, (RED, GREEN, BLUE, WHITE), strict=True))
    row, column = SEEN[turn]
    wide = (80, 48) if turn < 5 else (48, 80)
    image = Image.new("RGB", wide)
    for down in (0, 1):
        for along in (0, 1):
            sides = {OPPOSITE[row] if down else row, OPPOSITE[column] if along else column}
            color = seen[next(name for name in CORNERS if set(name.split()) == sides)]
            box = (along * wide[0] // 2, down * wide[1] // 2)
            image.paste(color, (*box, box[0] + wide[0] // 2, box[1] + wide[1] // 2))
    return image


def colors_of(image: Image.Image) -> list[tuple[int, int, int]]:
    near = [image.getpixel((x, y)) for y in (12, 36) for x in (20, 60)]
    return [
        min(
            (RED, GREEN, BLUE, WHITE), key=lambda one: sum(abs(a - b) for a, b in zip(one, seen, strict=True))
        )
        for seen in near
    ]


@pytest.mark.parametrize("form", ["JPEG", "PNG"])
@pytest.mark.parametrize("order", ["<", ">"])
@pytest.mark.parametrize("turn", SEEN)
def test_a_photo_is_turned_upright_once(turn, order, form):
    body = saved(stored_for(turn), form, **({"quality": 95} if form == "JPEG" else {}))
    body = (
        with_exif(body, tiff(turn, order))
        if form == "JPEG"
        else body[:33] + chunk(b"eXIf", tiff(turn, order)) + body[33:]
    )
    made = tidied(body)
    assert (made.width, made.height) == (80, 48)
    assert colors_of(opened(made.body)) == [RED, GREEN, BLUE, WHITE]
    again = tidied(made.body)
    assert colors_of(opened(again.body)) == [RED, GREEN, BLUE, WHITE]


@pytest.mark.parametrize(
    "block",
    [b"", b"II*\0", b"II*\0\xff\xff\xff\xff", tiff(9), tiff(0), b"II*\0\x08\0\0\0\xff\xff" + b"\0" * 40],
)
def test_a_damaged_note_of_how_the_camera_was_held_leaves_the_photo_as_it_is(block):
    made = tidied(with_exif(saved(stored_for(1), quality=95), block))
    assert colors_of(opened(made.body)) == [RED, GREEN, BLUE, WHITE]


def test_nothing_is_left_in_it_but_the_picture():
    secrets = [
        b"N 48.1234",
        b"Owner Name",
        b"shot on",
        b"a comment",
        b"ICC_PROFILE",
        b"Exif",
        b"http://ns.adobe.com",
        b"MPF",
        b"JFXX",
        b"PK\3\4",
    ]
    body = with_exif(saved(stored_for(1), comment=b"a comment"), tiff(1, position=b"N 48.1234 Owner Name"))
    body = (
        body[:2]
        + segment(0xE1, b"http://ns.adobe.com/xap/1.0/\0shot on")
        + segment(0xE2, b"MPF\0")
        + segment(0xE0, b"JFXX\0")
        + body[2:]
        + b"PK\3\4"
    )
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    body = body[:2] + segment(0xE2, b"ICC_PROFILE\0\1\1" + profile) + body[2:]
    assert all(one in body for one in secrets)
    made = tidied(body).body
    assert not [one for one in secrets if one in made]
    markers = [marker for marker, _, _ in header.segments(made)]
    assert set(markers) == {0xE0, 0xDB, 0xC0, 0xC4, 0xDA}, [hex(one) for one in markers]
    assert markers.count(0xE0) == 1
    assert opened(made).info.keys() <= {"jfif", "jfif_version", "jfif_unit", "jfif_density", "dpi"}


def test_text_in_a_png_is_gone_too():
    packed = saved(stored_for(1), "PNG")
    body = (
        packed[:33]
        + chunk(b"tEXt", b"Where\0N 48.1234")
        + chunk(b"iTXt", b"a\0\0\0\0\0Owner Name")
        + packed[33:]
    )
    made = tidied(body).body
    assert b"48.1234" not in made
    assert b"Owner" not in made


@pytest.mark.parametrize(
    ("size", "fits"),
    [((4000, 3000), (1600, 1200)), ((3000, 4000), (1200, 1600)), ((1600, 900), (1600, 900)), ((3199, 100), (1600, 50)), ((3200, 100), (1600, 50)),
     ((1, 5000), (1, 1600)), ((5000, 1), (1600, 1)), ((1, 1), (1, 1)), ((1601, 1601), (1600, 1600)), ((20000, 40), (1600, 3))],
)  # fmt: skip
@pytest.mark.parametrize("form", ["JPEG", "PNG"])
def test_the_long_side_is_at_most_1600_and_the_shape_is_kept(size, fits, form):
    made = tidied(saved(Image.new("RGB", size, GREEN), form))
    assert (made.width, made.height) == fits
    assert opened(made.body).size == fits
    assert max(fits) <= LONGEST_SIDE
    seen = opened(made.body).getpixel((made.width // 2, made.height // 2))
    assert all(abs(a - b) <= 6 for a, b in zip(seen, GREEN, strict=True)), seen


def test_a_photo_worked_through_in_bands_has_no_seams():
    shades = Image.linear_gradient("L").resize((5000, 4990), Image.Resampling.BICUBIC).convert("RGB")
    made = opened(tidied(saved(shades, "PNG", compress_level=1)).body).convert("L")
    straight = shades.convert("L").resize(made.size, Image.Resampling.LANCZOS)
    worst = max(abs(made.getpixel((800, y)) - straight.getpixel((800, y))) for y in range(made.height))
    assert worst <= 3, worst


def test_what_comes_out_is_baseline_rgb_and_the_same_in_another_process():
    body = saved(Image.radial_gradient("L").resize((900, 700)).convert("RGB"), progressive=True)
    first = tidied(body)
    darkroom.shutdown()
    assert tidied(body) == first
    image = opened(first.body)
    assert (image.format, image.mode, image.info.get("progressive")) == ("JPEG", "RGB", None)
    assert len(first.body) < len(saved(image, quality=95))


@pytest.mark.parametrize("threads", [6])
def test_many_threads_get_each_their_own(threads):
    photos = [saved(Image.new("RGB", (300 + 10 * at, 200), (at * 9, 40, 200))) for at in range(24)]
    with ThreadPoolExecutor(threads) as hands:
        widths = [made.width for made in hands.map(tidied, photos)]
    assert widths == [300 + 10 * at for at in range(24)]
    assert len(darkroom._darkroom._started) <= darkroom.MOST_WORKERS


def gray16(shade: int) -> bytes:
    return png(20, 20, 16, 0, (b"\0" + struct.pack(">H", shade) * 20) * 20)


def test_every_color_mode_comes_out_as_it_is_seen():
    half = Image.new("RGBA", (40, 40), (255, 0, 0, 0))
    half.paste((0, 0, 255, 255), (0, 0, 20, 40))
    inks = Image.new("CMYK", (40, 40), (0, 255, 255, 0))
    table = Image.new("P", (40, 40), 1)
    table.putpalette([0, 0, 0, 20, 200, 20])
    cases = [
        (saved(half, "PNG"), (30, 20), (255, 255, 255)),
        (saved(half, "PNG"), (8, 20), (0, 0, 255)),
        (saved(half.convert("LA"), "PNG"), (30, 20), (255, 255, 255)),
        (saved(inks), (20, 20), (255, 0, 0)),
        (saved(table, "PNG"), (20, 20), (20, 200, 20)),
        (saved(Image.new("1", (40, 40), 1), "PNG"), (20, 20), (255, 255, 255)),
        (saved(Image.new("L", (40, 40), 90)), (20, 20), (90, 90, 90)),
        (gray16(90 * 257), (10, 10), (90, 90, 90)),
        (gray16(65535), (10, 10), (255, 255, 255)),
        (png(20, 20, 16, 2, (b"\0" + struct.pack(">HHH", 65535, 0, 0) * 20) * 20), (10, 10), (255, 0, 0)),
        (png(20, 20, 8, 2, (b"\0" + b"\x0a\x14\x1e" * 20) * 20, chunk(b"tRNS", b"\0\x0a\0\x14\0\x1e")), (10, 10), (255, 255, 255)),
    ]  # fmt: skip
    for at, (body, where, wanted) in enumerate(cases):
        seen = opened(tidied(body).body).getpixel(where)
        assert all(abs(a - b) <= 6 for a, b in zip(seen, wanted, strict=True)), (at, seen, wanted)


def test_another_color_profile_is_changed_into_that_of_screens():
    """In the profile made here red and blue stand in each other's place, so the colors must change places."""
    straight = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    tags = {straight[at : at + 4]: at for at in range(132, 132 + 12 * int.from_bytes(straight[128:132]), 12)}
    red, blue = tags[b"rXYZ"], tags[b"bXYZ"]
    swapped = bytearray(straight)
    swapped[red + 4 : red + 12], swapped[blue + 4 : blue + 12] = (
        straight[blue + 4 : blue + 12],
        straight[red + 4 : red + 12],
    )
    image = Image.new("RGB", (40, 40), (255, 0, 0))
    for form in ("JPEG", "PNG"):
        made = opened(tidied(saved(image, form, icc_profile=bytes(swapped))).body)
        assert made.getpixel((20, 20))[2] > 240, form
        assert made.getpixel((20, 20))[0] < 15, form


def test_a_profile_of_noise_leaves_the_colors_alone():
    body = saved(Image.new("RGB", (40, 40), RED))
    made = tidied(body[:2] + segment(0xE2, b"ICC_PROFILE\0\1\1" + b"\x07" * 400) + body[2:])
    assert opened(made.body).getpixel((20, 20))[0] > 220


def test_of_pictures_that_move_the_first_is_kept():
    frames = [Image.new("RGB", (40, 40), color) for color in (RED, BLUE, BLUE)]
    made = tidied(saved(frames[0], "PNG", save_all=True, append_images=frames[1:]))
    assert opened(made.body).getpixel((20, 20))[0] > 220


def test_what_is_dropped_never_reaches_the_decoder():
    body = saved(stored_for(1), comment=b"a comment")
    assert b"a comment" not in bare_jpeg(body)[0]
    bomb = chunk(b"iCCP", b"a\0\0" + zlib.compress(b"\0" * 5_000_000))
    packed = saved(stored_for(1), "PNG")
    assert bare_png(packed[:33] + bomb + packed[33:])[0] == packed


@pytest.mark.parametrize(
    ("body", "code", "word"),
    [
        (b"", "not_a_photo", "JPEG or PNG"),
        (b"GIF89a" + b"\0" * 50, "not_a_photo", "JPEG or PNG"),
        (b"%PDF-1.7 \xff\xd8\xff", "not_a_photo", "JPEG or PNG"),
        (b"\0\0\0\x18ftypheic" + b"\0" * 50, "heic", "set the camera to JPEG"),
        (b"\0\0\0\x18ftypmif1" + b"\0" * 50, "heic", "set the camera to JPEG"),
        (b"\0\0\0\x18ftypmp42" + b"\0" * 50, "not_a_photo", "JPEG or PNG"),
        (png(13_000, 13_000, 1, 0, b"\0" * (1626 * 13_000)), "too_large", "169 megapixels"),
        (png(2**31 - 1, 2**31 - 1), "too_large", "megapixels"),
        (png(0, 5), "damaged", "Take it again"),
        (b"\xff\xd8\xff\xe0\0\4ab" + b"\xff\xe1\0\2" * 3000, "damaged", "Take it again"),
        (b"\xff\xd8\xff", "damaged", "Take it again"),
        (b"\x89PNG\r\n\x1a\n", "damaged", "Take it again"),
        (b"\xff\xd8\xff" + b"\0" * 20_000_001, "too_large", "20 MB"),
    ],
)  # fmt: skip
def test_a_file_that_is_refused_never_reaches_a_process(body, code, word, monkeypatch):
    monkeypatch.setattr(darkroom, "_darkroom", None)
    with pytest.raises(NotAPhoto, match=word) as refused:
        tidied(body)
    assert refused.value.code == code


def test_25_megapixels_are_taken_and_one_row_more_is_not():
    assert tidied(png(5000, 5000, 1, 0, b"\0" * (626 * 5000))).width == 1600
    with pytest.raises(NotAPhoto) as refused:
        tidied(png(5000, 5001, 1, 0, b"\0" * (626 * 5001)))
    assert refused.value.code == "too_large"


@pytest.mark.parametrize("part", [0.2, 0.5, 0.9])
@pytest.mark.parametrize("form", ["JPEG", "PNG"])
def test_half_a_photo_is_damaged(part, form):
    body = saved(Image.effect_noise((400, 300), 60).convert("RGB"), form)
    with pytest.raises(NotAPhoto, match="only half there") as refused:
        tidied(body[: int(len(body) * part)])
    assert refused.value.code == "damaged"
