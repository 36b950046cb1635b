"""The photos of a record as they are printed: whole, small enough to send, captioned, four or six a page."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor
from io import BytesIO
from typing import Any

from PIL import Image

from heaterapp.filling.photos import label_of
from heaterapp.languages import say, spoken

from .filed import FiledPhoto
from .lettering import SPACES, boxed, further_families, height, width
from .paper import Photo, PhotoPage, Row
from .wording import moment

Small = tuple[bytes, int, int]
Taken = tuple[int, FiledPhoto, Small]
Settings = Mapping[str, Any]
HANDS = 3
SCHEME = "photo:"
ACROSS = 2
FEW = 4
GRIDS = {True: (2, 275), False: (3, 175)}
"""Few photos or more: rows a page, and the most height of one [pt]: a caption of four lines has room."""
LEAST_FRAME_PT = 100
"""Beside a longer caption photos are smaller, down to this; then the row takes the room of another."""
WIDEST_PT = 254
LEAST_ROW_PT = 40
LOGO_WIDEST_PT, LOGO_HIGHEST_PT = 110, 38
MOST_PT_PER_PX = 1
"""A tiny picture is not blown up beyond a point for each of its pixels."""
LEAST_PX, MOST_PX = 640, 960
"""A kept photo of 1600 pixels is unpacked at half that and printed so: some 230 dots an inch."""
PRINTED = ((MOST_PX, 75), (MOST_PX, 50), (560, 50), (420, 40))
"""Long side [px] and JPEG quality, tried in this order until a photo takes no more than MOST_BYTES."""
MOST_BYTES = 110_000
HASH_SHOWN = 16
KEPT = "Kept with the record and not printed: {count} photos: {photos}."
KEPT_ONE = "Kept with the record and not printed: {count} photo: {photos}."
CAPTION_LINES, CAPTION_PT = 4, 7.4
LINE_EM, HIGH_LINE_EM = 1.22, 1.24
"""A caption's usual line, and one with letters of the other family, whose line is a little higher."""
BOLDER, WIDER, WIDER_YET = 1.1, 1.02, 1.5
"""How much wider a caption's first words, which are bold, and the rest are reckoned than their letters; and
the rest where it has letters of a further family, whose widths are not known so well."""
_SPACE = re.compile(f"[ {SPACES}]+")
_JOINED = re.compile(r"(?<=[0-9]) (?=[0-9]+/)")
"""No line ends within 34 3/4."""


def _small(body: bytes) -> Small:
    """A kept photo's picture for print, the same bytes for the same photo; and the photo's own shape [px]."""
    with Image.open(BytesIO(body), formats=("JPEG",)) as photo:
        shape = photo.size
        photo.draft("RGB", _within(photo.size, LEAST_PX))
        photo.load()
        whole: Image.Image = photo if photo.mode == "RGB" else photo.convert("RGB")
        whole.info.clear()
        small, made = whole, b""
        for side, quality in PRINTED:
            if max(small.size) > side:
                small = whole.resize(_within(whole.size, side), Image.Resampling.LANCZOS)
            out = BytesIO()
            small.save(out, "JPEG", quality=quality)
            made = out.getvalue()
            if len(made) <= MOST_BYTES:
                break
    return made, *shape


def _within(size: tuple[int, int], side: int) -> tuple[int, int]:
    longest = max(size)
    across, down = (max(1, round(one * side / longest)) for one in size)
    return across, down


def _fitted(small: Small, highest: float) -> tuple[bytes, float, float]:
    """Bytes, width and height [pt]: as large as there is room, its shape kept."""
    body, across, down = small
    scale = min(WIDEST_PT / across, highest / down, MOST_PT_PER_PX)
    return body, across * scale, down * scale


def _row(photos: tuple[Taken, ...], highest: float, settings: Settings) -> Row:
    """Photos side by side, the lower ones in the middle of the height of the highest."""
    fitted = [_fitted(small, highest) for _, _, small in photos]
    room = max(LEAST_ROW_PT, *(high for _, _, high in fitted))
    return Row(
        f"height:{room:.2f}pt",
        tuple(
            Photo(
                name=f"{SCHEME}{number}",
                body=body,
                place=f"width:{wide:.4f}pt;height:{high:.4f}pt;margin:{(room - high) / 2:.2f}pt auto 0",
                label=label_of(photo.kind, spoken()),
                note=photo.note,
                said=_said(photo, settings),
            )
            for (number, photo, _), (body, wide, high) in zip(photos, fitted, strict=True)
        ),
    )


def _caption_pt(photo: FiledPhoto) -> float:
    """About how high a caption's lines are, rather more than less: the whole note is printed [pt]."""
    lines, along = 1, 0.0
    rest = WIDER_YET if further_families(photo.note) else WIDER
    texts = ((label_of(photo.kind, spoken()), BOLDER), (photo.note, rest))
    # A line may end between two boxes.
    said = ((boxed(_JOINED.sub("\u00a0", text)).replace("][", "] ["), by) for text, by in texts)
    for word, wider in ((one, by) for text, by in said for one in _SPACE.split(text)):
        long = width(word + " ", CAPTION_PT) * wider
        if along + long > WIDEST_PT:
            lines, along = lines + (1 if along else 0) + int(long // WIDEST_PT), 0.0
            long %= WIDEST_PT
        along += long
    return lines * CAPTION_PT * max(HIGH_LINE_EM, height(photo.note, LINE_EM))


def _said(photo: FiledPhoto, settings: Settings) -> str:
    taken = moment(photo.taken_at, settings) or say("not stated")
    return say("Device time {moment}, SHA-256 {code}...", moment=taken, code=photo.sha256[:HASH_SHOWN])


def _in_parts(things: tuple[Any, ...], size: int) -> Iterator[tuple[Any, ...]]:
    return (things[at : at + size] for at in range(0, len(things), size))


def logo_of(body: bytes, firm: str) -> Photo | None:
    """The firm's logo as it stands at the head: its own bytes, its shape kept; none where there is none."""
    if not body:
        return None
    with Image.open(BytesIO(body), formats=("JPEG",)) as picture:
        across, down = picture.size
    scale = min(LOGO_WIDEST_PT / across, LOGO_HIGHEST_PT / down)
    place = f"width:{across * scale:.4f}pt;height:{down * scale:.4f}pt"
    return Photo(f"{SCHEME}logo", body, place, firm, "", "")


def pages_of(photos: Iterable[FiledPhoto], settings: Settings) -> tuple[PhotoPage, ...]:
    """The pages of the photos that are to be printed: up to four on one page, more of them six a page.

    settings  the firm's, as the record kept them: their zone tells when a photo was taken
    """
    printed = [one for one in photos if one.chosen]
    # The pictures' own library works beside us, several at a time.
    with ThreadPoolExecutor(HANDS) as hands:
        small = hands.map(_small, [one.body for one in printed])
        chosen = tuple(zip(range(1, len(printed) + 1), printed, small, strict=True))
    return tuple(_pages(chosen, settings, *GRIDS[len(chosen) <= FEW]))


def _pages(
    chosen: tuple[Taken, ...], settings: Settings, many: int, highest: float
) -> Iterator[PhotoPage]:
    """Pages of so many rows, each at most so high [pt]; fewer where captions are long."""
    usual = highest + CAPTION_LINES * LINE_EM * CAPTION_PT
    rows: list[Row] = []
    left = many * usual
    for photos in _in_parts(chosen, ACROSS):
        caption = max(_caption_pt(photo) for _, photo, _ in photos)
        high = max(usual, LEAST_FRAME_PT + caption)
        if rows and high > left + 0.01:
            yield PhotoPage(tuple(rows))
            rows, left = [], many * usual
        rows.append(_row(photos, min(highest, high - caption), settings))
        left -= high
    if rows:
        yield PhotoPage(tuple(rows))


def kept_of(photos: Iterable[FiledPhoto]) -> str:
    """The photos that are kept with the record and not printed, in a sentence; empty where there are none."""
    kinds = Counter(label_of(one.kind, spoken()) for one in photos if not one.chosen)
    if not kinds:
        return ""
    many = sum(kinds.values())
    named = "; ".join(f"{label} ({count})" if count > 1 else label for label, count in kinds.items())
    return say(KEPT if many > 1 else KEPT_ONE, count=many, photos=named)
