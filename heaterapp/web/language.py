"""The language a page is told in: what this browser chose, else what it asks for, else English.

The choice belongs to the browser and not to the account: it is needed before anybody has signed in, it
outlasts a sign-out, and a phone that is passed round keeps the language of who holds it. Pages of the office
and papers are English; whatever is stored is too.
"""

from __future__ import annotations

from typing import Any

from flask import (
    Blueprint,
    Flask,
    abort,
    current_app,
    has_request_context,
    jsonify,
    redirect,
    request,
    url_for,
)
from markupsafe import Markup

from heaterapp.languages import LANGUAGES, SOURCE, say, speak, spoken, told
from heaterapp.languages.files import of_scripts
from heaterapp.sheet.cited import book_html
from heaterapp.web.security import for_phone, own_path

blueprint = Blueprint("language", __name__)
COOKIE = "language"
LASTS_S = 400 * 24 * 3600
"""As long as browsers keep a cookie."""
TRANSLATED = frozenset({
    "accepted", "account", "chosen_codes", "joining", "jobs", "language", "live", "mending", "passkeys",
    "phone_api", "phone_judge", "public", "sign_in", "signing", "starting", None,
})  # fmt: skip
"""The blueprints whose pages are in every language; None is an address that is nobody's."""


def listen(app: Flask) -> None:
    """Have every request told in its own language, and the templates say their texts in it."""
    app.before_request(_begin)
    app.teardown_request(lambda _: speak(SOURCE))
    app.jinja_env.globals.update(
        _=_marked, language=spoken, other_languages=_others, told_in=told, papers_in=papers_in(),
        this_page=_this_page,
    )
    app.jinja_env.filters["said"] = say
    app.jinja_env.filters["cited"] = lambda title: Markup(book_html(title))  # noqa: S704 - escaped there


def wanted() -> str:
    """The language that this browser chose, or asks for; the phone's scripts say that of their page."""
    own = request.headers.get("X-Language", "") if for_phone() else ""
    chosen = own or request.cookies.get(COOKIE, "")
    return chosen if chosen in LANGUAGES else request.accept_languages.best_match(LANGUAGES, SOURCE)


def shown_in() -> str:
    """The other language that a form says it was shown in; empty for English, or where it says none."""
    said = request.form.getlist("read_in")
    return said[0] if len(said) == 1 and said[0] in papers_in() else ""


@blueprint.post("/language")
def choose() -> Any:
    """Keep the language that was chosen, and go back to the page."""
    sent = request.form.getlist("language")
    if len(sent) != 1 or sent[0] not in LANGUAGES:
        abort(400)
    return kept_choice(redirect(own_path(request.form.get("next")), 303), sent[0])


def kept_choice(answer: Any, language: str) -> Any:
    """The answer, with which this browser keeps a language: the phone's scripts read it, and write it too."""
    answer.set_cookie(COOKIE, language, max_age=LASTS_S, samesite="Lax", secure=request.is_secure)
    return answer


@blueprint.get("/language/<code>.json")
def texts(code: str) -> Any:
    """Give the texts that a page's scripts say, for those who are not told in English."""
    if code not in LANGUAGES or code == SOURCE:
        abort(404)
    answer = jsonify(of_scripts(code))
    answer.headers["Cache-Control"] = "public, max-age=600"
    return answer


def _begin() -> None:
    # The office's blueprints have ways of the installer's too.
    theirs = request.blueprint in TRANSLATED or request.path.startswith("/jobs/")
    speak(wanted() if theirs else SOURCE)


def papers_in() -> dict[str, str]:
    """The languages that a paper can be had in beside its own, each by its own name."""
    return {code: name for code, name in LANGUAGES.items() if code != SOURCE}


def _others() -> dict[str, str]:
    """The other languages of a page that has them, each by its own name."""
    if not has_request_context() or request.blueprint not in TRANSLATED:
        return {}
    return {code: name for code, name in LANGUAGES.items() if code != spoken()}


def _this_page() -> str:
    """The address that shows this page again; of one that only a form's sending shows, its job's."""
    page = request.full_path if request.query_string else request.path
    adapter = current_app.create_url_adapter(request)
    if request.method in ("GET", "HEAD") or (adapter and adapter.test(request.path, "GET")):
        return page
    job = (request.view_args or {}).get("job_id")
    return url_for("signing.issued", job_id=job) if job else "/"


def _marked(text: str, **holes: Any) -> Any:
    said = Markup(say(text))  # noqa: S704 - a text of the catalogue; what is put in is escaped
    return said.format(**holes) if holes else said
