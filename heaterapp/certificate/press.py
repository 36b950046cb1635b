"""Papers to PDF: laid out and drawn once, written twice. The renderer can open nothing but our own faces."""

from __future__ import annotations

import gc
import json
import logging
import warnings
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from datetime import datetime
from functools import lru_cache
from typing import Any
from xml.etree import ElementTree

import pydyf
from cssselect2 import ElementWrapper
from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import escape
from weasyprint import CSS, HTML, Attachment
from weasyprint.document import Document
from weasyprint.text.fonts import FontConfiguration
from weasyprint.urls import URLFetcher

from heaterapp.languages import SOURCE, speaking
from heaterapp.rules.schema import job_schema

from .columns import in_rows
from .content import paper_of
from .copied_text import keep_text_of_joined_letters
from .drawn_text import set_drawn_words_whole
from .figured import before_value, in_columns
from .filed import NAMES, Filed, identifier
from .handed import OwnFaces, OwnPhotos
from .lettering import boxed, further_families, lettered
from .paper import Paper
from .parts import is_brief
from .party_columns import party_columns
from .plain_letters import read_plainly
from .saying import joined, own
from .setting import USUAL_PAGES, Setting, settings
from .style import base_css, home, sheet_css, wider_css
from .tagged import name_english
from .two_files import PaperFault, attached, prepare, without_claim
from .white import white
from .wrapping import check_runs, figure_runs, type_of

ARCHIVAL = "pdf/a-3u"
Finish = Callable[[Document, pydyf.PDF], None]
WHITE = 150.0
"""So much of a page left white is looked at twice, in the renderer's pixels."""
FOOT = '@page { @bottom-right { content: "%s" counter(page) "%s" counter(pages) } }'


class Sheet(HTML):
    """A paper's markup, read by the strict parser: ours is well formed, every word in it escaped.

    The parser for the web's own kind of markup gives the same tree and takes twenty times as long.
    """

    def __init__(self, markup: str, fetcher: URLFetcher, base: CSS | None = None) -> None:
        """Read it. `base` says what its elements are before any style; without it the renderer does."""
        self.base_url, self.url_fetcher, self.media_type, self._base = None, fetcher, "print", base
        root = ElementTree.fromstring(markup)  # noqa: S314 - no entity of anybody's stands in it
        self.wrapper_element = ElementWrapper.from_html_root(root, content_language=None)
        self.etree_element = self.wrapper_element.etree_element

    def _ua_stylesheets(self, forms: bool = False) -> list[CSS]:
        sheets: list[CSS] = super()._ua_stylesheets(forms)
        return [self._base] if self._base else sheets


class _Complaints(logging.Handler):
    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.heard: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.heard.append(record.getMessage()[:300])


class _Press:
    """What one process sets up once: faces, style, templates. Not to be shared between threads."""

    def __init__(self) -> None:
        keep_text_of_joined_letters()
        set_drawn_words_whole()
        self.fetcher = OwnFaces()
        self.fonts = FontConfiguration()
        self._feet: dict[str, CSS] = {}
        self.base = CSS(string=base_css())
        self.style = CSS(string=sheet_css(), font_config=self.fonts, url_fetcher=self.fetcher)
        self.templates = Environment(
            loader=FileSystemLoader(home("templates")),
            autoescape=True,
            undefined=StrictUndefined,
            finalize=lettered,
            trim_blocks=True,
        )
        self.templates.filters.update(
            boxed=lambda text: escape(boxed(text)), in_columns=in_columns, in_rows=in_rows,
            before_value=before_value, check_runs=check_runs, figure_runs=figure_runs,
            party_columns=party_columns, joined=lambda parts, between: joined(between, parts),
        )  # fmt: skip
        self.templates.globals.update(_=own, is_brief=is_brief, type_of=type_of)

    def dressed(self, markup: str, language: str = SOURCE) -> dict[str, Any]:
        """What a page is laid out with: styles and faces, further ones for the letters that want them.

        Those are of that page alone, so that no page depends on what was pressed before it.
        """
        styles, fonts = [self.style], self.fonts
        families = further_families(markup)
        if families:
            fonts = FontConfiguration()
            styles.append(CSS(string=wider_css(families), font_config=fonts, url_fetcher=self.fetcher))
        if language != SOURCE:
            styles.append(self._foot(language))
        return {"stylesheets": styles, "font_config": fonts}

    def _foot(self, language: str) -> CSS:
        if language not in self._feet:
            with speaking(language):
                before, between = own("page {number} of {count}").split("{number}")
            self._feet[language] = CSS(string=FOOT % (before, between.partition("{count}")[0]))
        return self._feet[language]


@lru_cache(maxsize=1)
def press() -> _Press:
    """This process's press."""
    return _Press()


def html_of(paper: Paper, setting: Setting = Setting()) -> str:  # noqa: B008 - a constant
    """The paper as HTML, in one of the settings."""
    with speaking(paper.language):
        return press().templates.get_template("certificate/paper.html").render(paper=paper, setting=setting)


def _laid(paper: Paper) -> Document:
    """Lay a paper out, without its spare drawings where they would take a page more."""
    found, most = _whole(paper), USUAL_PAGES + len(paper.photo_pages)
    without = replace(paper, drawings=tuple(one for one in paper.drawings if not one.spare))
    if len(found.pages) <= most or without.drawings == paper.drawings:
        return found
    fewer = _whole(without)
    return fewer if len(fewer.pages) < len(found.pages) else found


def _whole(paper: Paper) -> Document:
    one = press()
    handed, seen = OwnPhotos(paper), {}

    def laid(setting: Setting) -> Document:
        markup = html_of(paper, setting)
        made: Document = Sheet(markup, handed, one.base).render(
            **one.dressed(markup, paper.language), pdf_variant=ARCHIVAL, cache=seen
        )
        return made

    most, more = USUAL_PAGES + len(paper.photo_pages), []
    for setting in settings(paper):
        found = laid(setting)
        if len(found.pages) <= most:
            return found
        if setting.long:
            more.append(found)
            if len(more) == 1 and white(found) < WHITE:
                return found
    # The fewest pages, then the least of a page left white before its end.
    return min(more, key=lambda one: (len(one.pages), white(one)))


@lru_cache(maxsize=1)
def _schema() -> bytes:
    return json.dumps(job_schema(), ensure_ascii=False, separators=(",", ":")).encode()


def _attachments(filed: Filed) -> list[Attachment]:
    at = datetime.fromisoformat(filed.issued_at.replace("Z", "+00:00"))
    given = (
        ("job-schema.json", _schema(), own("JSON Schema of the answers: names, units, ranges"), "Supplement"),
        ("job.json", filed.job, own("The answers, as given"), "Source"),
        ("report.json", filed.report, own("The report they were judged with"), "Data"),
    )
    return [
        Attachment(string=body, name=name, description=about, relationship=relation, created=at, modified=at)
        for name, body, about, relation in given
    ]


def identity(filed: Filed, name: str) -> bytes:
    return identifier(filed.content_digest, filed.number, filed.revision, name)


def _written(laid: Document, filed: Filed) -> dict[str, bytes]:
    plain, archival = (f"{NAMES[filed.kind]}{end}.pdf" for end in ("", "-archival"))
    made: dict[str, bytes] = {}

    def finish(_: Document, pdf: pydyf.PDF) -> None:
        read_plainly(pdf)
        left_out = attached(pdf)
        prepare(pdf)
        made[plain] = without_claim(pdf, identity(filed, plain), left_out)

    made[archival] = archived(laid, filed, archival, finish, _attachments(filed))
    return made


def archived(
    laid: Document, filed: Filed, name: str, finish: Finish, attachments: Sequence[Attachment] = ()
) -> bytes:
    """Write a laid-out paper as an archival, tagged file.

    name         what sets its identity apart from that of another file of the record
    finish       what is done to it before it is written
    attachments  what the file carries beside its pages
    """
    made: bytes = laid.write_pdf(
        pdf_identifier=identity(filed, name), attachments=list(attachments), finisher=finish,
        pdf_variant=ARCHIVAL, pdf_tags=True,
    )  # fmt: skip
    return made


def press_translated(paper: Paper, filed: Filed, name: str) -> bytes:
    """Press a translation or a marked copy as one archival file, nothing attached. Raises PaperFault."""

    def finish(_: Document, pdf: pydyf.PDF) -> None:
        read_plainly(pdf)
        name_english(pdf)
        prepare(pdf)

    with listening(filed.number), speaking(paper.language):
        return archived(_laid(paper), filed, name, finish)


def render_here(record: Any) -> dict[str, bytes]:
    """Make a record's papers in this process; one thread at a time.

    record   the archive's record, or `Filed`
    returns  file name -> PDF bytes, the same for the same record in any process
    raises   NotReady for a certificate that its report does not allow;
             PaperFault when the renderer complains of anything
    """
    filed = Filed.of(record)
    with speaking(SOURCE):
        paper = paper_of(filed)
        with listening(filed.number):
            return _written(_laid(paper), filed)


def press_alone(paper: Paper, identifier: bytes) -> bytes:
    """Press one paper as a single file that carries nothing beside its pages. Raises PaperFault."""
    with listening(paper.number):
        return alone(_laid(paper), identifier)


def alone(laid: Document, identifier: bytes) -> bytes:
    """Write a laid-out paper as one tagged file with nothing beside its pages."""
    made: bytes = laid.write_pdf(
        pdf_identifier=identifier, pdf_tags=True, finisher=lambda _, pdf: read_plainly(pdf)
    )
    return made


@contextmanager
def listening(number: str) -> Iterator[None]:
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
