"""A photo's bytes without all that is not the picture, and the turn that the camera noted. Bare Python.

What is dropped here never reaches the decoder: comments, packed text, previews, further frames, positions.
"""

from __future__ import annotations

import zlib

from .header import PNG, SCAN, segments

EXIF, PROFILE, ADOBE, JFIF = b"Exif\0\0", b"ICC_PROFILE\0", b"Adobe", b"JFIF\0"
PICTURE_CHUNKS = frozenset((b"IHDR", b"PLTE", b"tRNS", b"IDAT", b"IEND"))
ORIENTATION, SHORT = 0x0112, 3
MOST_ENTRIES = 1_000
MOST_PROFILE = 1_000_000


def orientation(tiff: bytes) -> int:
    """How the camera was held, by its Exif block.

    tiff     the block from its byte-order mark on
    returns  1 to 8; 1 (upright) where the block is damaged or does not say
    source   Exif 2.32 (CIPA DC-008), 4.6.2, 4.6.4 A, tag 0x0112 (from memory)

    >>> orientation(bytes.fromhex("4d4d002a0000000800010112000300000001000600000000"))
    6
    """
    order = {b"II*\0": "little", b"MM\0*": "big"}.get(tiff[:4])
    if order is None:
        return 1

    def number(at: int, length: int) -> int:
        return int.from_bytes(tiff[at : at + length], order)

    first = number(4, 4)
    for entry in range(min(number(first, 2), MOST_ENTRIES)):
        at = first + 2 + 12 * entry
        if number(at, 2) == ORIENTATION and number(at + 2, 2) == SHORT:
            said = number(at + 8, 2)
            return said if 1 <= said <= 8 else 1
    return 1


def bare_jpeg(body: bytes) -> tuple[bytes, int]:
    """A JPEG with nothing before its picture but tables, frame and colors; and its orientation."""
    kept, turn = [body[:2]], 1
    for marker, begin, end in segments(body):
        within = body[begin:end].lstrip(b"\xff")[3:]
        if marker == 0xE1 and turn == 1 and within.startswith(EXIF):
            turn = orientation(within[len(EXIF) :])
        wanted = {0xE0: JFIF, 0xE2: PROFILE, 0xEE: ADOBE}.get(marker)
        if marker == SCAN:
            kept.append(body[begin:])
        elif within.startswith(wanted) if wanted else not (0xE0 <= marker <= 0xEF or marker == 0xFE):
            kept.append(body[begin:end])
    return b"".join(kept), turn


def bare_png(body: bytes) -> tuple[bytes, int]:
    """A PNG's own picture and color profile, none of its text and further frames; and its orientation."""
    kept, turn, at = [PNG], 1, len(PNG)
    while at + 12 <= len(body):
        length, name = int.from_bytes(body[at : at + 4]), body[at + 4 : at + 8]
        end = at + 12 + length
        if name in PICTURE_CHUNKS or (name == b"iCCP" and _unpacks_small(body[at + 8 : end - 4])):
            kept.append(body[at:end])
        elif name == b"eXIf":
            turn = orientation(body[at + 8 : end - 4])
        if name == b"IEND":
            break
        at = end
    return b"".join(kept), turn


def _unpacks_small(profile: bytes) -> bool:
    packed = profile.partition(b"\0")[2][1:]
    unpacking = zlib.decompressobj()
    try:
        unpacking.decompress(packed, MOST_PROFILE)
    except zlib.error:
        return False
    return unpacking.eof
