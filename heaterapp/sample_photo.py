"""Pictures as busy as a photo from a basement, the same for the same seed: for benchmark and tests."""

from __future__ import annotations

import random
from io import BytesIO
from typing import Any

GRAIN, COARSE = 14, 8
PATCHES = 60


def sample_photo(seed: int, width: int = 2400, height: int = 1800) -> bytes:
    """A JPEG with patches of color, soft shades and grain.

    width, height  [px], at least 64
    """
    from PIL import Image, ImageDraw

    rng = random.Random(seed)  # noqa: S311 - nothing secret
    across, down = width // COARSE, height // COARSE
    soft = Image.frombytes("RGB", (across, down), rng.randbytes(across * down * 3)).resize((32, 24))
    card: Any = soft.resize((width, height), Image.Resampling.BICUBIC)
    pen = ImageDraw.Draw(card)
    for _ in range(PATCHES):
        left, top = rng.randrange(width), rng.randrange(height)
        size = rng.randrange(4, min(width, height) // 5)
        color = tuple(rng.randbytes(3))
        pen.ellipse((left, top, left + size, top + size), fill=color, outline=(0, 0, 0))
    grain = Image.frombytes("L", (width, height), rng.randbytes(width * height))
    card = Image.blend(card, Image.merge("RGB", (grain, grain, grain)), GRAIN / 100)
    out = BytesIO()
    card.save(out, "JPEG", quality=85)
    return out.getvalue()
