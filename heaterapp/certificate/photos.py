"""The photos of a record as they are printed: whole, small enough to send, captioned, four or six a page."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator
from concurrent.futures import ThreadPoolExecutor
from io import BytesIO
from typing import Any

from PIL import Image

from heaterapp.filling.photos import label_of
from heaterapp.languages import say, spoken

from .filed import FiledPhoto
from .lettering import boxed, height, width
from .paper import Photo, PhotoPage, Row
from .wording import moment

Small = tuple[bytes, int, int]
HANDS = 3
SCHEME = "photo:"
ACROSS = 2
FEW = 4
GRIDS = {True: (4, 275), False: (6, 175)}
"""Few photos or more: how many a page, and the most height of one [pt]: a caption of four lines has room."""
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
CAPTION_LINES, CAPTION_PT, LINE_EM = 4, 7.4, 1.22
BOLDER = 1.1
"""How much wider a caption is reckoned than its regular letters, for its first words are bold."""


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


def _row(photos: tuple[tuple[int, FiledPhoto, Small], ...], highest: float) -> Row:
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
                note=_note(label_of(photo.kind, spoken()), photo.note),
                said=_said(photo),
            )
            for (number, photo, _), (body, wide, high) in zip(photos, fitted, strict=True)
        ),
    )


def _note(label: str, note: str) -> str:
    """The note, or as many of its words as stand in a caption with its label."""
    lines, along, whole = 1, 0.0, f"{label} {note}".split()
    most = int(CAPTION_LINES * LINE_EM / height(note, LINE_EM) + 0.01)
    for count, word in enumerate(whole):
        long = width(boxed(word) + " ", CAPTION_PT) * BOLDER
        if along + long > WIDEST_PT:
            lines, along = lines + (1 if along else 0) + int(long // WIDEST_PT), 0.0
            long %= WIDEST_PT
        along += long
        if lines > most:
            return " ".join([*whole[len(label.split()) : count - 1], "..."])
    return note


def _said(photo: FiledPhoto) -> str:
    taken = moment(re.sub(r"\.[0-9]{1,9}Z$", "Z", photo.taken_at)) or say("not stated")
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


def pages_of(photos: Iterable[FiledPhoto]) -> tuple[PhotoPage, ...]:
    """The pages of the photos that are to be printed: up to four on one page, more of them six a page."""
    printed = [one for one in photos if one.chosen]
    # The pictures' own library works beside us, several at a time.
    with ThreadPoolExecutor(HANDS) as hands:
        small = hands.map(_small, [one.body for one in printed])
        chosen = tuple(zip(range(1, len(printed) + 1), printed, small, strict=True))
    many, highest = GRIDS[len(chosen) <= FEW]
    return tuple(
        PhotoPage(tuple(_row(row, highest) for row in _in_parts(page, ACROSS)))
        for page in _in_parts(chosen, many)
    )


def kept_of(photos: Iterable[FiledPhoto]) -> str:
    """The photos that are kept with the record and not printed, in a sentence; empty where there are none."""
    kinds = Counter(label_of(one.kind, spoken()) for one in photos if not one.chosen)
    if not kinds:
        return ""
    many = sum(kinds.values())
    named = "; ".join(f"{label} ({count})" if count > 1 else label for label, count in kinds.items())
    return say(KEPT if many > 1 else KEPT_ONE, count=many, photos=named)
