"""The page of a homeowner's link that does not open, always the same; and of a paper that is not made yet."""

from __future__ import annotations

from flask import Response, make_response, render_template, request, url_for

from heaterapp import homeowner
from heaterapp.homeowner import page as words
from heaterapp.homeowner.closed import closed_link, paper_not_yet
from heaterapp.web.security import personal

UNDER = "/s/"
RETRY_S = 20


def is_asked() -> bool:
    """Whether what was asked for is a homeowner's link or something behind one."""
    return request.path.startswith(UNDER)


def asked_language() -> str:
    """Return the language that what stands where nothing opens is told in."""
    asked = request.args.get("lang")
    if asked in homeowner.LANGUAGES:
        return asked
    return request.accept_languages.best_match(homeowner.LANGUAGES, homeowner.LANGUAGES[0])


def closed_page() -> str:
    """Say in the language asked for that this link does not open, and whom to ask."""
    language = asked_language()
    # Nothing of who looks: it must be the same page for all.
    return _page(closed_link(language), language)


def refused_page(title: str, says: str) -> str:
    """Say why nothing is shown just now, in the language asked for; nothing of link, firm or who looks.

    title, says  in that language
    """
    language = asked_language()
    return _page({**closed_link(language), "title": title, "why": "", "ask": says}, language)


def waiting_page(token: str, language: str) -> Response:
    """Say that others are before this one, when to come again, and where the rest is meanwhile."""
    ways = {
        "again": request.path,
        "page": url_for("share.page", token=token, lang=language),
    }
    answer = make_response(_page(paper_not_yet(language), language, ways), 503)
    answer.headers["Retry-After"] = str(RETRY_S)
    return personal(answer)


def _page(told: dict[str, str], language: str, ways: dict[str, str] | None = None) -> str:
    return render_template(
        "share/closed.html", told=told, tongue=language, person=None, office_ways=(), ways=ways,
        other_languages=dict, skip=words.SKIP.of(language),
        other_language=words.OTHER_LANGUAGE.of(language),
    )  # fmt: skip
