"""Hostile photos by the thousand, each from its seed; none may break, stall or fill the process that opens it.

    python tests/photo/hostile.py 2000 [--seed 1]

Prints what became of them and exits 1 when one took longer than 3 s, a process held more than 300 MB or died
of itself, or the answer was anything but a small JPEG or a refusal in words.
"""

from __future__ import annotations

import argparse
import random
import resource
import struct
import sys
import time
import zlib
from collections import Counter
from io import BytesIO
from pathlib import Path

from PIL import Image

sys.path.insert(0, str(Path(__file__).parent.parent.parent))

from heaterapp.photo import DarkroomFailed, NotAPhoto, darkroom, tidied
from heaterapp.photo.header import PNG, size_of

LONGEST_S, MOST_MB = 3.0, 300
KILLED = -9


def chunk(name: bytes, body: bytes, crc: int | None = None) -> bytes:
    """A chunk of a PNG."""
    return (
        struct.pack(">I", len(body))
        + name
        + body
        + struct.pack(">I", zlib.crc32(name + body) if crc is None else crc)
    )


def png(
    width: int,
    height: int,
    depth: int = 8,
    colors: int = 2,
    data: bytes = b"",
    more: bytes = b"",
    interlaced: int = 0,
) -> bytes:
    """A PNG by its parts; `data` not packed yet, `more` chunks before it."""
    head = struct.pack(">IIBBBBB", width, height, depth, colors, 0, 0, interlaced)
    return PNG + chunk(b"IHDR", head) + more + chunk(b"IDAT", zlib.compress(data, 1)) + chunk(b"IEND", b"")


def segment(marker: int, body: bytes) -> bytes:
    """A segment of a JPEG."""
    return bytes((0xFF, marker)) + struct.pack(">H", len(body) + 2) + body


def picture(rng: random.Random, form: str, **how: object) -> bytes:
    """An honest picture of a few hundred pixels, in one of the color modes of its format."""
    modes = ("L", "RGB", "CMYK") if form == "JPEG" else ("1", "L", "LA", "P", "RGB", "RGBA", "I;16")
    image = Image.linear_gradient("L").resize((rng.randint(1, 400), rng.randint(1, 400)))
    mode = rng.choice(modes)
    made = image.convert("I").convert(mode) if mode == "I;16" else image.convert("RGB").convert(mode)
    out = BytesIO()
    made.save(out, form, **how)
    return out.getvalue()


def _any(rng: random.Random) -> bytes:
    form = rng.choice(("JPEG", "PNG"))
    return picture(rng, form, **({"progressive": rng.random() < 0.5} if form == "JPEG" else {}))


def flipped(rng: random.Random) -> bytes:
    body = bytearray(_any(rng))
    for _ in range(rng.choice((1, 3, 30, 300))):
        body[rng.randrange(3, len(body))] = rng.randrange(256)
    return bytes(body)


def cut(rng: random.Random) -> bytes:
    body = _any(rng)
    return body[: rng.randrange(len(body))]


def noise(rng: random.Random) -> bytes:
    begin = rng.choice(
        (
            b"",
            b"\xff\xd8\xff",
            PNG,
            b"\xff\xd8\xff\xe1\0\x20Exif\0\0II*\0",
            b"GIF89a",
            b"%PDF-1.7\n",
            b"<svg ",
        )
    )
    return begin + rng.randbytes(rng.randrange(5000))


def stretched(rng: random.Random) -> bytes:
    """A header that promises another size than the data has."""
    side = rng.choice((0, 1, 5000, 13000, 65535, 2**31 - 1, 2**32 - 1))
    if rng.random() < 0.5:
        return png(side, rng.choice((0, 1, 5000, 2**31 - 1)), 8, 6, b"\0" * 100)
    body = bytearray(picture(rng, "JPEG"))
    at = body.index(b"\xff\xc0") + 5
    body[at : at + 4] = struct.pack(">HH", min(side, 65535), rng.choice((0, 1, 380, 65535)))
    return bytes(body)


def full_of_nothing(rng: random.Random) -> bytes:
    """Much that packs into little: pixels, text, profiles, text with a language."""
    kind = rng.choice((b"IDAT", b"iTXt", b"zTXt", b"iCCP"))
    packed = zlib.compress(b"\0" * rng.choice((1_000_000, 40_000_000)), 9)
    if kind == b"IDAT":
        return png(4990, 5000, 8, rng.choice((2, 6)), b"\0" * (4991 * 4 * rng.choice((100, 3000))))
    begin = {b"iTXt": b"a\0\1\0\0\0", b"zTXt": b"a\0\0", b"iCCP": b"a\0\0"}[kind]
    return png(8, 8, 8, 2, b"\0" * 25 * 8, chunk(kind, begin + packed) * rng.choice((1, 5)))


def many_small(rng: random.Random) -> bytes:
    """A hundred thousand pieces of nothing."""
    many = rng.choice((100, 100_000))
    if rng.random() < 0.5:
        return png(8, 8, 8, 2, b"\0" * 25 * 8, chunk(rng.choice((b"tEXt", b"IDAT", b"PLTE")), b"") * many)
    body = picture(rng, "JPEG")
    return (
        body[:2]
        + segment(rng.choice((0xE1, 0xFE, 0xE2, 0xDB)), b"ICC_PROFILE\0\1\1"[: rng.randrange(15)]) * many
        + body[2:]
    )


def scans(rng: random.Random) -> bytes:
    """A progressive JPEG whose last scan comes again and again: each costs a walk over the whole picture."""
    out = BytesIO()
    Image.new("RGB", rng.choice(((64, 64), (4096, 4096)))).save(out, "JPEG", progressive=True)
    body = out.getvalue()[:-2]
    return body + body[body.rindex(b"\xff\xda") :] * rng.choice((20, 3000)) + b"\xff\xd9"


def odd_exif(rng: random.Random) -> bytes:
    """Exif that leads in circles, out of the block or nowhere; a color profile of noise."""
    tiff = (
        rng.choice((b"II*\0", b"MM\0*", b"II*\1"))
        + rng.choice((b"\x08\0\0\0", b"\0\0\0\x08", b"\xff" * 4, b"\0" * 4))
        + rng.randbytes(rng.randrange(300))
    )
    body = picture(rng, "JPEG")
    return (
        body[:2]
        + segment(0xE1, b"Exif\0\0" + tiff)
        + segment(0xE2, b"ICC_PROFILE\0\1\1" + rng.randbytes(300))
        + body[2:]
    )


def two_in_one(rng: random.Random) -> bytes:
    """A photo and an archive, a page or a second photo in one file; or a movie of pictures."""
    other = rng.choice((b"PK\3\4" + b"a" * 50, b"<script>alert(1)</script>", _any(rng)))
    if rng.random() < 0.3:
        out = BytesIO()
        frames = [Image.new("RGB", (40, 40), (shade, 0, 0)) for shade in range(9)]
        frames[0].save(out, "PNG", save_all=True, append_images=frames[1:])
        return out.getvalue()
    return _any(rng) + other if rng.random() < 0.7 else other + _any(rng)


def odd_png(rng: random.Random) -> bytes:
    """Any depth with any kind of color, laced or not, with data of noise, wrong sums, tables too short."""
    side = rng.choice((1, 7, 300))
    more = chunk(b"PLTE", rng.randbytes(rng.choice((0, 3, 5, 768, 900)))) + chunk(
        b"tRNS", rng.randbytes(rng.choice((0, 1, 6, 300)))
    )
    data = rng.randbytes(rng.choice((0, 100, side * side * 8 + side)))
    made = png(
        side,
        rng.choice((1, side)),
        rng.choice((0, 1, 2, 4, 8, 16, 32)),
        rng.randrange(8),
        data,
        more,
        rng.randrange(3),
    )
    return made + chunk(b"IDAT", b"x", 0) if rng.random() < 0.5 else made.replace(b"IEND", b"IDAT")


def other_format(rng: random.Random) -> bytes:
    out = BytesIO()
    Image.new("RGB", (30, 30)).save(out, rng.choice(("GIF", "BMP", "TIFF", "WEBP", "ICO")))
    brand = rng.choice((b"heic", b"mif1", b"avif", b"mp42"))
    return rng.choice(
        (out.getvalue(), b"\0\0\0\x18ftyp" + brand + b"\0" * 400, b"", b"\xff", b"\xff\xd8\xff")
    )


def honest(rng: random.Random) -> bytes:
    return _any(rng)


MAKERS = (flipped, flipped, flipped, cut, noise, stretched, full_of_nothing, many_small, odd_exif, two_in_one, odd_png, other_format, honest)  # fmt: skip
RARE, RARELY = scans, 100


def hostile(seed: int) -> tuple[str, bytes]:
    """One photo, the same for the same seed, and how it was made."""
    rng = random.Random(seed)
    maker = RARE if not seed % RARELY else rng.choice(MAKERS)
    return maker.__name__, maker(rng)


class Watched(darkroom.Worker):
    """A process whose end is noted."""

    ends: Counter[str] = Counter()

    def stop(self) -> None:
        self.process.join(0.05)
        code = self.process.exitcode
        self.ends["stopped" if code is None else f"exit {code}"] += 1
        super().stop()


def trouble(name: str, body: bytes, became: Counter[str]) -> tuple[str, float]:
    """What is wrong with what became of a photo, in words or empty; and the seconds it took."""
    began, wrong = time.monotonic(), ""
    try:
        made = tidied(body)
        became["taken"] += 1
        if (
            size_of(made.body, "jpeg") != (made.width, made.height)
            or not 0 < max(made.width, made.height) <= 1600
        ):
            wrong = "the answer's size"
    except NotAPhoto as refused:
        became[refused.code] += 1
        if name == "honest" or not str(refused).endswith("."):
            wrong = f"refused: {refused}"
    except DarkroomFailed as busy:
        # Nothing was found out about the photo: no fault of anybody's, where the machine had no time.
        became["busy"] += 1
        wrong = "" if "too busy" in str(busy) else f"DarkroomFailed: {busy}"
    except Exception as fault:
        wrong = f"{type(fault).__name__}: {fault}"
    took = time.monotonic() - began
    if took > LONGEST_S:
        wrong = f"{took:.2f} s"
    return wrong, took


def main() -> int:
    """Make them, open them, tell what became of them."""
    parser = argparse.ArgumentParser()
    parser.add_argument("count", type=int)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    darkroom.Worker = Watched
    became: Counter[str] = Counter()
    faults: list[str] = []
    longest = 0.0
    for seed in range(options.seed * 100_000, options.seed * 100_000 + options.count):
        name, body = hostile(seed)
        wrong, took = trouble(name, body, became)
        longest = max(longest, took)
        if wrong:
            faults.append(f"seed {seed} ({name}): {wrong}")
    darkroom.shutdown()
    held = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    died = {end: many for end, many in Watched.ends.items() if end not in ("stopped", "exit 0")}
    if held > MOST_MB or died:
        faults.append(f"{held:.0f} MB held, processes ended by {died}")
    print(f"{options.count} hostile photos: {dict(became.most_common())}")
    print(f"longest {longest:.2f} s, most held {held:.0f} MB, processes that ended: {dict(Watched.ends)}")
    print(*faults, f"faults: {len(faults)}", sep="\n")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
