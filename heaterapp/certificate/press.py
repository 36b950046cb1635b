"""Papers to PDF: laid out and drawn once, written twice. The renderer can open nothing but our own faces."""

from __future__ import annotations

import gc
import hashlib
import io
import json
import logging
import warnings
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from functools import lru_cache
from typing import Any
from xml.etree import ElementTree

import pydyf
from cssselect2 import ElementWrapper
from jinja2 import Environment, FileSystemLoader, StrictUndefined
from weasyprint import CSS, HTML, Attachment
from weasyprint.document import Document
from weasyprint.text.fonts import FontConfiguration
from weasyprint.urls import URLFetcher, URLFetcherResponse

from heaterapp.fonts import FACES, font_files

from .content import paper_of
from .filed import Filed
from .lettering import boxed, lettered
from .paper import Paper
from .plain_letters import read_plainly
from .setting import USUAL_PAGES, in_columns, reaches, tried
from .style import FONT_SCHEME, home, sheet_css

NAMES = {"certificate": "certificate", "correction_list": "correction-list", "findings_report": "findings"}
ARCHIVAL = "pdf/a-3u"


class Refused(ValueError):
    """Something other than one of our faces was asked for."""


class PaperFault(RuntimeError):
    """The renderer complained: what it would have left out or guessed is named."""


class _Handed(URLFetcher):
    """Answers to the exact names of what it was handed and to nothing else: no file, no network, no data."""

    kind, what = "", ""

    def __init__(self, handed: dict[str, bytes]) -> None:
        super().__init__(timeout=1, allowed_protocols=(), allow_redirects=False)
        self._handed = handed

    def fetch(self, url: str, headers: Any = None) -> URLFetcherResponse:
        body = self._handed.get(url)
        if body is None:
            raise Refused(f"not one of the papers' own {self.what}: {url[:100]}")
        return URLFetcherResponse(url, body, {"Content-Type": self.kind})


class OwnFaces(_Handed):
    """Answers to the exact names of the embedded faces."""

    kind, what = "font/ttf", "faces"

    def __init__(self) -> None:
        files = font_files()
        super().__init__(
            {f"{FONT_SCHEME}{face.stem}.ttf": files[f"{face.stem}.ttf"].read_bytes() for face in FACES}
        )


class OwnPhotos(_Handed):
    """Answers to the exact names of one paper's photos."""

    kind, what = "image/jpeg", "photos"

    def __init__(self, paper: Paper) -> None:
        printed = (photo for page in paper.photo_pages for row in page.rows for photo in row.photos)
        logo = [paper.logo] if paper.logo else []
        super().__init__({photo.name: photo.body for photo in (*logo, *printed)})


class Sheet(HTML):
    """A paper's markup, read by the strict parser: ours is well formed, every word in it escaped.

    The parser for the web's own kind of markup gives the same tree and takes twenty times as long.
    """

    def __init__(self, markup: str, fetcher: URLFetcher) -> None:
        self.base_url, self.url_fetcher, self.media_type = None, fetcher, "print"
        root = ElementTree.fromstring(markup)  # noqa: S314 - no entity of anybody's stands in it
        self.wrapper_element = ElementWrapper.from_html_root(root, content_language=None)
        self.etree_element = self.wrapper_element.etree_element


class _Complaints(logging.Handler):
    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.heard: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.heard.append(record.getMessage()[:300])


class _Press:
    """What one process sets up once: faces, style, templates. Not to be shared between threads."""

    def __init__(self) -> None:
        self.fetcher = OwnFaces()
        self.fonts = FontConfiguration()
        self.style = CSS(string=sheet_css(), font_config=self.fonts, url_fetcher=self.fetcher)
        self.templates = Environment(
            loader=FileSystemLoader(home("templates")),
            autoescape=True,
            undefined=StrictUndefined,
            finalize=lettered,
            trim_blocks=True,
        )
        self.templates.filters.update(boxed=boxed, in_columns=in_columns, reaches=reaches)


@lru_cache(maxsize=1)
def press() -> _Press:
    """This process's press."""
    return _Press()


def html_of(paper: Paper, setting: str = "roomy") -> str:
    """The paper as HTML, in one of the settings."""
    return press().templates.get_template("certificate/paper.html").render(paper=paper, setting=setting)


def _laid(paper: Paper) -> Document:
    own = press()
    handed, seen = OwnPhotos(paper), {}
    for setting in tried(paper):
        laid = Sheet(html_of(paper, setting), handed).render(
            font_config=own.fonts, stylesheets=[own.style], pdf_variant=ARCHIVAL, cache=seen
        )
        if len(laid.pages) - len(paper.photo_pages) <= USUAL_PAGES:
            break
    return laid


def _attached(filed: Filed) -> list[Attachment]:
    at = datetime.fromisoformat(filed.issued_at.replace("Z", "+00:00"))
    given = (
        ("job.json", filed.job, "The answers, as given", "Source"),
        ("report.json", filed.report, "The report they were judged with", "Data"),
    )
    return [
        Attachment(string=body, name=name, description=about, relationship=relation, created=at, modified=at)
        for name, body, about, relation in given
    ]


def _identity(filed: Filed, name: str) -> bytes:
    whole = json.dumps([filed.content_digest, filed.number, filed.revision, name]).encode()
    return hashlib.sha256(whole).hexdigest()[:32].encode()


class _Said(pydyf.Object):  # type: ignore[misc]
    """An object of a file, put into bytes once: the writer does it twice for each of the two files."""

    data = b""

    def __init__(self, one: pydyf.Object) -> None:
        super().__init__()
        self.number, self.generation, self.free = one.number, one.generation, one.free
        self.data, self._compressible = one.data, one.compressible

    @property
    def compressible(self) -> bool:
        return bool(self._compressible)


def _packed(one: pydyf.Object) -> pydyf.Object:
    """The object, a stream packed: once, and at a level four times as fast as the writer's own."""
    if isinstance(one, pydyf.Stream) and one.compress:
        body = pydyf.Stream(one.stream).data.partition(b"stream\n")[2].removesuffix(b"\nendstream")
        one.stream, one.compress = [zlib.compress(body)], False
        one.extra["Filter"] = "/FlateDecode"
    return one


def _prepare(pdf: pydyf.PDF) -> None:
    """Put all into bytes but the catalog, in which the two files differ; pack what the writer adds to it."""
    for at, one in enumerate(pdf.objects):
        if one.free != "f" and one is not pdf.catalog:
            pdf.objects[at] = _Said(_packed(one))
    pdf.add_object = lambda one: type(pdf).add_object(pdf, _packed(one))


def _without_claim(pdf: pydyf.PDF, identifier: bytes) -> bytes:
    """The same drawn and tagged pages as a file that does not call itself archival.

    Readers open a file that does behind a banner, with notes and signing switched off.
    """
    claim, whole = pdf.objects[-1], len(pdf.objects)
    if pdf.catalog["Metadata"] != claim.reference:
        raise PaperFault("the archival claim is not where the renderer used to put it")
    kept = {key: pdf.catalog.pop(key) for key in ("Metadata", "OutputIntents")}
    pdf.objects.pop()
    out = io.BytesIO()
    pdf.write(out, "1.7", identifier, True)
    pdf.objects[whole - 1 :] = [claim]
    pdf.catalog.update(kept)
    pdf.current_position = 0
    return out.getvalue()


def _written(laid: Document, filed: Filed) -> dict[str, bytes]:
    plain, archival = (f"{NAMES[filed.kind]}{end}.pdf" for end in ("", "-archival"))
    made: dict[str, bytes] = {}

    def finish(_: Document, pdf: pydyf.PDF) -> None:
        read_plainly(pdf)
        _prepare(pdf)
        made[plain] = _without_claim(pdf, _identity(filed, plain))

    made[archival] = laid.write_pdf(
        pdf_identifier=_identity(filed, archival), attachments=_attached(filed), finisher=finish,
        pdf_variant=ARCHIVAL, pdf_tags=True,
    )  # fmt: skip
    return made


def render_here(record: Any) -> dict[str, bytes]:
    """Make a record's papers in this process; one thread at a time.

    record   the archive's record, or `Filed`
    returns  file name -> PDF bytes, the same for the same record in any process
    raises   NotReady for a certificate that its report does not allow;
             PaperFault when the renderer complains of anything
    """
    filed = Filed.of(record)
    paper = paper_of(filed)
    with _listening(filed.number):
        return _written(_laid(paper), filed)


def press_alone(paper: Paper, identifier: bytes) -> bytes:
    """Press one paper as a single file that carries nothing beside its pages. Raises PaperFault."""
    with _listening(paper.number):
        return alone(_laid(paper), identifier)


def alone(laid: Document, identifier: bytes) -> bytes:
    """Write a laid-out paper as one tagged file with nothing beside its pages."""
    made: bytes = laid.write_pdf(
        pdf_identifier=identifier, pdf_tags=True, finisher=lambda _, pdf: read_plainly(pdf)
    )
    return made


@contextmanager
def _listening(number: str) -> Iterator[None]:
    complaints, log = _Complaints(), logging.getLogger("weasyprint")
    log.addHandler(complaints)
    collecting = gc.isenabled()
    gc.disable()  # a layout is all new objects: looking through them again and again finds nothing
    try:
        with warnings.catch_warnings():
            # the renderer leaves its color profile's file for the collector to close
            warnings.simplefilter("ignore", ResourceWarning)
            yield
    finally:
        if collecting:
            gc.enable()
        log.removeHandler(complaints)
    if complaints.heard:
        raise PaperFault(f"{number}: " + "; ".join(complaints.heard[:5]))


def warm_up() -> None:
    """Press one throw-away paper, so that faces, style and templates are loaded before they are needed."""
    empty = {"place": "", "outcome": "ready", "figures": {}, "findings": [], "assumed": {}, "flags": []}
    render_here(
        Filed(
            "certificate", "0", 1, "", "2000-01-01T00:00:00Z", {}, {}, b"{}",
            json.dumps(empty).encode(), None, {}, "", "0" * 64, "0", "0" * 64, "0" * 64, "0",
        )
    )  # fmt: skip
