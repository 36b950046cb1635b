"""What the first bytes of a photo say, read without unpacking anything. Standard library only."""

from __future__ import annotations

from collections.abc import Iterator

MOST_BYTES = 20_000_000
MOST_PIXELS = 25_000_000
LONGEST_SIDE = 1600
MOST_SEGMENTS = 2_000

JPEG, PNG = b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n"
HEIC_BRANDS = (b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1")
FRAMES = frozenset(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}
ALONE = frozenset((0x01, *range(0xD0, 0xD8)))
SCAN, END = 0xDA, 0xD9

SAYS = {
    "not_a_photo": "This file is not a photo that can be taken here. Choose a JPEG or PNG picture.",
    "heic": "This photo is in the HEIC format, which cannot be opened here. Take it anew from this page, "
    "or set the camera to JPEG (most compatible) and take it again.",
    "too_large": "This photo is larger than can be taken: at most 25 megapixels and 20 MB. "
    "Take it again with the camera's usual setting.",
    "damaged": "This photo is damaged or only half there. Take it again, or choose another.",
    "slow": "This photo takes too long to open. Take it again with the camera's usual setting.",
}


class NotAPhoto(ValueError):
    """Bytes that are not kept. `code` names the reason to a program, the text to a person."""

    def __init__(self, code: str, says: str = "") -> None:
        super().__init__(says or SAYS[code])
        self.code = code


def kind_of(body: bytes) -> str:
    """Whether the bytes begin as a JPEG or a PNG does.

    returns  "jpeg" or "png"
    raises   NotAPhoto "heic" or "not_a_photo"
    source   JPEG: ITU-T T.81, B.1.1.3; PNG: W3C PNG third edition, 5.2; HEIC brands: ISO/IEC 23008-12
             (all from memory)
    """
    if body.startswith(JPEG):
        return "jpeg"
    if body.startswith(PNG):
        return "png"
    if body[4:8] == b"ftyp" and body[8:12] in HEIC_BRANDS:
        raise NotAPhoto("heic")
    raise NotAPhoto("not_a_photo")


def segments(body: bytes) -> Iterator[tuple[int, int, int]]:
    """The segments of a JPEG up to its first scan: marker, where it begins, where the next begins.

    raises  NotAPhoto "damaged" where they do not follow each other or are too many
    """
    at = 2
    for _ in range(MOST_SEGMENTS):
        begin = at
        while body[at + 1 : at + 2] == b"\xff":
            at += 1
        if body[at : at + 1] != b"\xff" or at + 2 > len(body):
            break
        marker = body[at + 1]
        length = 0 if marker in ALONE else int.from_bytes(body[at + 2 : at + 4])
        if marker == END or (marker not in ALONE and length < 2):
            break
        at += 2 + length
        yield marker, begin, at
        if marker == SCAN:
            return
    raise NotAPhoto("damaged")


def size_of(body: bytes, kind: str) -> tuple[int, int]:
    """Width and height as the header states them [px], not turned.

    raises  NotAPhoto "damaged" where the header states none
    source  JPEG: ITU-T T.81, B.2.2; PNG: W3C PNG third edition, 11.2.1 (both from memory)
    """
    if kind == "png":
        if len(body) < 33 or body[8:16] != b"\0\0\0\rIHDR":
            raise NotAPhoto("damaged")
        return int.from_bytes(body[16:20]), int.from_bytes(body[20:24])
    for marker, begin, end in segments(body):
        if marker in FRAMES:
            frame = body[begin:end].lstrip(b"\xff")
            return int.from_bytes(frame[6:8]), int.from_bytes(frame[4:6])
    raise NotAPhoto("damaged")


def looked_at(body: bytes) -> str:
    """The kind of a photo small enough to be opened, by its bytes and its header alone.

    raises  NotAPhoto
    """
    kind = kind_of(body)
    if len(body) > MOST_BYTES:
        raise NotAPhoto("too_large")
    width, height = size_of(body, kind)
    if width * height > MOST_PIXELS:
        millions = width * height / 1_000_000
        raise NotAPhoto(
            "too_large",
            f"This photo is said to have {millions:.0f} megapixels; at most 25 can be taken. "
            "Take it again with the camera's usual setting.",
        )
    if not width * height:
        raise NotAPhoto("damaged")
    return kind
