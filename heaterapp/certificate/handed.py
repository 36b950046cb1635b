"""What the renderer may open: our faces, and one paper's photos. No file by its path, no network, no data."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from weasyprint.urls import URLFetcher, URLFetcherResponse

from heaterapp.font_faces import FACES, FURTHER
from heaterapp.fonts import font_files

from .paper import Paper
from .style import FONT_SCHEME


class Refused(ValueError):
    """Something other than one of our faces was asked for."""


class _Handed(URLFetcher):
    """Answers to the exact names of what it was handed and to nothing else: no file, no network, no data."""

    kind, what = "", ""

    def __init__(self, handed: Mapping[str, Any]) -> None:
        super().__init__(timeout=1, allowed_protocols=(), allow_redirects=False)
        self._handed = handed

    def body(self, url: str) -> bytes:
        body: bytes = self._handed[url]
        return body

    def fetch(self, url: str, headers: Any = None) -> URLFetcherResponse:
        if url not in self._handed:
            raise Refused(f"not one of the papers' own {self.what}: {url[:100]}")
        body = self.body(url)
        return URLFetcherResponse(url, body, {"Content-Type": self.kind})


class OwnFaces(_Handed):
    """Answers to the exact names of the embedded faces, read when they are asked for."""

    kind, what = "font/ttf", "faces"

    def __init__(self) -> None:
        files = font_files()
        names = [f"{face.stem}.ttf" for face in (*FACES, *FURTHER)]
        super().__init__({FONT_SCHEME + name: files[name] for name in names})

    def body(self, url: str) -> bytes:
        return Path(self._handed[url]).read_bytes()


class OwnPhotos(_Handed):
    """Answers to the exact names of one paper's photos."""

    kind, what = "image/jpeg", "photos"

    def __init__(self, paper: Paper) -> None:
        printed = (photo for page in paper.photo_pages for row in page.rows for photo in row.photos)
        logo = [paper.logo] if paper.logo else []
        super().__init__({photo.name: photo.body for photo in (*logo, *printed)})
