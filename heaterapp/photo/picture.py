"""A photo opened, turned upright, made small and written anew. Runs in the darkroom's process only."""

from __future__ import annotations

import warnings
from io import BytesIO

from PIL import Image, ImageCms, ImageFile, JpegImagePlugin, PngImagePlugin

from .bare import bare_jpeg, bare_png
from .header import LONGEST_SIDE, MOST_PIXELS, NotAPhoto, looked_at

QUALITY = 82
BAND_PIXELS = 2_000_000
WHITE = (255, 255, 255)
SIXTEEN_TO_EIGHT = 1 / 257
TURNS = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}


def _opened(body: bytes, kind: str) -> tuple[ImageFile.ImageFile, int]:
    """The picture, not unpacked yet, and its orientation. No other format's reader is ever tried."""
    if kind == "png":
        bare, turn = bare_png(body)
        return PngImagePlugin.PngImageFile(BytesIO(bare)), turn
    bare, turn = bare_jpeg(body)
    photo = JpegImagePlugin.JpegImageFile(BytesIO(bare))
    longest = max(photo.size)
    if longest > LONGEST_SIDE:
        width, height = (-(-side * LONGEST_SIDE // longest) for side in photo.size)
        photo.draft(None, (width, height))  # unpacked at a half, a quarter or an eighth where that is enough
    return photo, turn


def _opaque(part: Image.Image) -> Image.Image:
    """Eight bits a color and nothing to see through: gray, red-green-blue or printing inks."""
    if part.mode.startswith("I"):
        part = part.point(lambda value: value * SIXTEEN_TO_EIGHT)
        return part.convert("L")
    if part.has_transparency_data:
        seen = part.convert("RGBA")
        white = Image.new("RGB", part.size, WHITE)
        white.paste(seen, mask=seen.getchannel("A"))
        return white
    return part if part.mode in ("L", "RGB", "CMYK") else part.convert("RGB")


def _small(photo: Image.Image) -> Image.Image:
    """The photo within the longest side, worked through band by band: never is a second whole one held."""
    width, height = photo.size
    times = max(1, max(photo.size) // LONGEST_SIDE)
    rows = max(1, BAND_PIXELS // (width * times)) * times
    small: Image.Image | None = None
    for top in range(0, height, rows):
        band = _opaque(photo.crop((0, top, width, min(height, top + rows)))).reduce(times)
        if small is None:
            small = Image.new(band.mode, (band.width, -(-height // times)))
        small.paste(band, (0, top // times))
    assert small is not None  # noqa: S101 - a photo has rows: its header was looked at
    longest = max(width, height)
    if longest <= LONGEST_SIDE:
        return small
    fitting = [max(1, round(side * LONGEST_SIDE / longest)) for side in (width, height)]
    return small.resize((fitting[0], fitting[1]), Image.Resampling.LANCZOS)


def _screen_colors(photo: Image.Image, profile: bytes | None) -> Image.Image:
    """In sRGB, by the photo's own color profile where that fits it."""
    if profile:
        try:
            given = ImageCms.ImageCmsProfile(BytesIO(profile))
            changed = ImageCms.profileToProfile(
                photo, given, ImageCms.createProfile("sRGB"), outputMode="RGB"
            )
            if changed is not None:
                return changed
        except (ImageCms.PyCMSError, OSError, ValueError, TypeError):
            pass
    return photo.convert("RGB")


def remade(body: bytes) -> tuple[bytes, int, int]:
    """Make a photo anew; see the package.

    returns  JPEG bytes, width, height [px]
    raises   NotAPhoto; MemoryError where the process may not hold that much
    """
    kind = looked_at(body)
    Image.MAX_IMAGE_PIXELS = MOST_PIXELS
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error")
            photo, turn = _opened(body, kind)
            if photo.width * photo.height > MOST_PIXELS:
                raise NotAPhoto("too_large")
            profile = photo.info.get("icc_profile")
            photo.load()
            made = _screen_colors(_small(photo), profile)
            if turn in TURNS:
                made = made.transpose(TURNS[turn])
            made.info.clear()
            out = BytesIO()
            made.save(out, "JPEG", quality=QUALITY, optimize=True, subsampling="4:2:0")
    except (NotAPhoto, MemoryError):
        raise
    except Exception as fault:  # a decoder's own error, of whatever kind, is the photo's fault
        if "memory" in str(fault):
            raise MemoryError from fault
        raise NotAPhoto("damaged") from fault
    return out.getvalue(), *made.size
