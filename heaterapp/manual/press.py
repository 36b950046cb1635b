"""The rule manual as a PDF, by the papers' own renderer, which can fetch nothing but its faces."""

from __future__ import annotations

from heaterapp.certificate.press import Sheet, press
from heaterapp.certificate.style import FONT_SCHEME, home
from heaterapp.fonts import font_face_css
from heaterapp.rules import RULESET, digest
from heaterapp.sheet.findings import short_name

from .contents import sureness, topics
from .coverage import items


def manual_pdf(topic: str = "") -> bytes:
    """The manual, tagged, with an outline of topics and checks.

    topic   one topic alone, such as "relief"; by default all of them
    raises  LookupError where there is no such topic
    """
    from weasyprint import CSS

    chosen = [one for one in topics() if not topic or one[0] == topic]
    if not chosen:
        raise LookupError(f"{topic}: expected one of {', '.join(name for name, _, _ in topics())}")
    own = press()
    page = own.templates.get_template("manual/print.html").render(
        topics=chosen, items=items(), sureness=sureness(), short_name=short_name,
        ruleset=RULESET, digest=digest(),
    )  # fmt: skip
    faces = font_face_css("ttf", lambda name: FONT_SCHEME + name)
    text = faces + (home("static") / "manual-print.css").read_text(encoding="utf-8")
    style = CSS(string=text, url_fetcher=own.fetcher, font_config=own.fonts)
    pdf: bytes = Sheet(page, own.fetcher).write_pdf(font_config=own.fonts, stylesheets=[style], pdf_tags=True)
    return pdf
