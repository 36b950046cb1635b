"""A firm's logo for the head of its papers: a tidied photo, made smaller still."""

from __future__ import annotations

from io import BytesIO

from .darkroom import tidied

WIDEST, HIGHEST = 640, 240
"""Pixels: some 300 dots an inch at the size it is printed."""
QUALITIES = (90, 75, 50)
MOST_BYTES = 60_000


def logo(body: bytes) -> bytes:
    """A logo as it came, made upright, opaque, bare and small.

    body     JPEG or PNG bytes, as for `tidied`
    returns  a JPEG of at most 640 by 240 pixels and 60,000 bytes
    raises   NotAPhoto, DarkroomFailed
    """
    from PIL import Image

    made = b""
    with Image.open(BytesIO(tidied(body).body), formats=("JPEG",)) as opened:
        picture = opened.convert("RGB")
    picture.thumbnail((WIDEST, HIGHEST), Image.Resampling.LANCZOS)
    for quality in QUALITIES:
        out = BytesIO()
        picture.save(out, "JPEG", quality=quality)
        made = out.getvalue()
        if len(made) <= MOST_BYTES:
            break
    return made
