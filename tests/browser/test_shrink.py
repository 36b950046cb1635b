"""A picture made small in a real browser: upright once, nothing left in it, refused in words where it is none."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Iterator
from io import BytesIO
from typing import Any

import pytest
from PIL import Image
from playwright.sync_api import Browser, Page

from heaterapp.photo import header, tidied
from heaterapp.sample_photo import sample_photo
from tests.photo.hostile import png, segment
from tests.photo.test_tidied import (
    BLUE,
    GREEN,
    RED,
    SEEN,
    WHITE,
    colors_of,
    opened,
    saved,
    stored_for,
    tiff,
    with_exif,
)

pytestmark = pytest.mark.browser

SHRINK = """async ([base64, type]) => {
  const { build } = JSON.parse(document.getElementById("settings").textContent);
  const { shrunk } = await import(`/phone/${build}/phone/shrink.js`);
  const bytes = Uint8Array.from(atob(base64), (one) => one.charCodeAt(0));
  try {
    const made = await shrunk(new File([bytes], "picture.jpg", { type }));
    const text = [...new Uint8Array(made.bytes)].map((one) => String.fromCharCode(one)).join("");
    return { ...made, bytes: btoa(text), isBuffer: made.bytes instanceof ArrayBuffer };
  } catch (fault) {
    return { code: fault.code ?? String(fault), says: fault.message };
  }
}"""


@pytest.fixture(scope="module")
def shrinking(served: Any, chromium: Browser) -> Iterator[Page]:
    """One page for all: a picture leaves nothing behind in it."""
    context = chromium.new_context(base_url=served.url, service_workers="block")
    page = context.new_page()
    page.goto("/phone/")
    yield page
    context.close()


@pytest.fixture
def shrink(shrinking: Page) -> Any:
    page = shrinking

    def make(body: bytes, kind: str = "image/jpeg") -> dict[str, Any]:
        made = page.evaluate(SHRINK, [base64.b64encode(body).decode(), kind])
        if "bytes" in made:
            made["bytes"] = base64.b64decode(made["bytes"])
        return dict(made)

    return make


def test_all_eight_ways_of_holding_the_camera_come_out_upright_and_stay_so(shrink: Any) -> None:
    for turn in SEEN:
        for form in ("JPEG", "PNG"):
            body = saved(stored_for(turn), form, **({"quality": 95} if form == "JPEG" else {}))
            body = with_exif(body, tiff(turn)) if form == "JPEG" else body
            if form == "PNG" and turn != 1:
                continue
            made = shrink(body)
            assert (made["width"], made["height"]) == (80, 48), (turn, form)
            assert colors_of(opened(made["bytes"])) == [RED, GREEN, BLUE, WHITE], (turn, form)
            again = tidied(made["bytes"])
            assert colors_of(opened(again.body)) == [RED, GREEN, BLUE, WHITE], (turn, form)


def test_a_large_picture_of_every_turn_keeps_its_shape_and_its_long_side(shrink: Any) -> None:
    for turn in SEEN:
        wide = stored_for(turn).resize((2400, 1440) if turn < 5 else (1440, 2400), Image.Resampling.NEAREST)
        made = shrink(with_exif(saved(wide, quality=90), tiff(turn)))
        assert (made["width"], made["height"]) == (1600, 960), turn
        small = opened(made["bytes"]).resize((80, 48), Image.Resampling.BOX)
        assert colors_of(small) == [RED, GREEN, BLUE, WHITE], turn


def test_nothing_of_place_time_or_phone_is_left(shrink: Any) -> None:
    secrets = [b"N 48.1234", b"Owner Name", b"a comment", b"Exif", b"http://ns.adobe.com"]
    body = with_exif(saved(stored_for(1), comment=b"a comment"), tiff(1, position=b"N 48.1234 Owner Name"))
    body = body[:2] + segment(0xE1, b"http://ns.adobe.com/xap/1.0/\0shot on") + body[2:]
    assert all(one in body for one in secrets)
    made = shrink(body)
    assert not [one for one in secrets if one in made["bytes"]]
    assert 0xE1 not in [marker for marker, _, _ in header.segments(made["bytes"])]


def test_what_comes_out_is_a_small_jpeg_with_its_own_sum_and_the_server_takes_it(shrink: Any) -> None:
    made = shrink(sample_photo(1, 4000, 3000))
    assert made["isBuffer"]
    assert (made["type"], made["width"], made["height"]) == ("image/jpeg", 1600, 1200)
    assert made["sha256"] == hashlib.sha256(made["bytes"]).hexdigest()
    assert 50_000 < len(made["bytes"]) < 800_000
    kept = tidied(made["bytes"])
    assert (kept.width, kept.height) == (1600, 1200)


@pytest.mark.parametrize(("size", "fits"), [((1, 5000), (1, 1600)), ((5000, 1), (1600, 1)), ((20, 10), (20, 10)), ((1601, 1601), (1600, 1600))])
def test_odd_shapes_keep_their_shape(size: Any, fits: Any, shrink: Any) -> None:
    made = shrink(saved(Image.new("RGB", size, GREEN)))
    assert (made["width"], made["height"]) == fits


def test_what_is_see_through_is_white(shrink: Any) -> None:
    made = shrink(saved(Image.new("RGBA", (40, 40), (0, 0, 0, 0)), "PNG"), "image/png")
    assert min(opened(made["bytes"]).getpixel((20, 20))) > 250


def test_a_webp_picture_of_a_gallery_is_taken_as_jpeg(shrink: Any) -> None:
    made = shrink(saved(Image.new("RGB", (40, 30), GREEN), "WEBP"), "image/webp")
    assert made["bytes"].startswith(b"\xff\xd8\xff")


def gif() -> bytes:
    out = BytesIO()
    Image.new("RGB", (8, 8)).save(out, "GIF")
    return out.getvalue()


@pytest.mark.parametrize(
    ("body", "code", "word"),
    [
        (b"", "empty", "came empty"),
        (gif(), "not_a_photo", "JPEG or PNG"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "not_a_photo", "JPEG or PNG"),
        (b"\0\0\0\x18ftypheic\0\0\0\0mif1heic" + b"\0" * 500, "heic", "stays in the phone's gallery"),
        (png(13_000, 13_000, 1, 0, b"\0" * (1626 * 13_000)), "too_large", "smaller size"),
        (sample_photo(1, 400, 300)[:300], "damaged", "half there"),
        (b"\xff\xd8\xff" + b"\0" * 500, "damaged", "half there"),
        (png(40, 40)[:30], "damaged", "half there"),
    ],
)  # fmt: skip
def test_what_is_no_picture_is_refused_in_words(body: bytes, code: str, word: str, shrink: Any) -> None:
    refused = shrink(body)
    assert refused["code"] == code, refused
    assert word in refused["says"]


def test_a_refused_picture_leaves_the_next_one_alone_and_they_go_one_at_a_time(person: Any) -> None:
    page = person(None)
    page.goto("/phone/")
    found = page.evaluate(
        """async (base64) => {
          const { build } = JSON.parse(document.getElementById("settings").textContent);
          const { shrunk } = await import(`/phone/${build}/phone/shrink.js`);
          const good = new File([Uint8Array.from(atob(base64), (one) => one.charCodeAt(0))], "a.jpg");
          let at_once = 0, most = 0;
          const real = window.createImageBitmap;
          window.createImageBitmap = async (...given) => {
            most = Math.max(most, ++at_once);
            await new Promise((done) => setTimeout(done, 30));
            try { return await real(...given); } finally { at_once -= 1; }
          };
          const all = await Promise.allSettled([good, new File(["no"], "b.jpg"), good, good].map(shrunk));
          return { states: all.map((one) => one.status), most };
        }""",
        base64.b64encode(sample_photo(1, 300, 200)).decode(),
    )
    assert found == {"states": ["fulfilled", "rejected", "fulfilled", "fulfilled"], "most": 1}
