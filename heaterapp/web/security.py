"""Who is asking, what they may do, and the headers every answer carries.

current_person()            the signed-in Person, or None
current_session()           the id of this sign-in, or None
just_signed_in()            whether this sign-in is at most ten minutes old
require("office", "owner")  decorator: sign-in first, 403 for another role
store()                     the archive
SignInEnded               raised where a form comes from somebody who is signed in no more
begin(person) / end()       start and end the server-side session of this browser
personal(response)          an answer with personal content: never kept by anybody
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from functools import wraps
from typing import Any, TypeVar
from urllib.parse import urlsplit

from flask import Flask, Response, abort, current_app, g, make_response, redirect, request, session, url_for
from flask_wtf.csrf import CSRFProtect

from heaterapp.archive.database import stamp
from heaterapp.archive.shapes import ROLES, Organisation, Person

FRESH = timedelta(minutes=10)
View = TypeVar("View", bound=Callable[..., Any])
POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' data: blob:",
        "font-src 'self'",
        "connect-src 'self'",
        "manifest-src 'self'",
        "worker-src 'self'",
        "form-action 'self'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
    )
)
HEADERS = {
    "Content-Security-Policy": POLICY,
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(self), geolocation=(), microphone=(), payment=()",
}
KEPT_BY_BROWSERS = {"static", "public.font", "public.font_faces"}
csrf = CSRFProtect()


class SignInEnded(Exception):
    """A form was sent by a page whose sign-in has ended: what was typed in it is not to be lost."""


def guard(app: Flask) -> None:
    """Put the request checks and the headers around every view of the app."""
    csrf.init_app(app)
    app.before_request(_same_origin)
    app.after_request(_headers)


def store() -> Any:
    """Return the archive of this app."""
    return current_app.extensions["archive"]


def current_person() -> Person | None:
    """Return who is signed in, looked up on the server once a request."""
    if "person" not in g:
        token = session.get("token")
        found = store().sessions.find(token) if isinstance(token, str) else None
        g.person = found.person if found else None
        g.session_id = found.id if found else None
        g.session_began = found.created_at if found else None
        g.organisation = found.firm if found else None
    return g.person


def current_organisation() -> Organisation | None:
    """Return the organisation of who is signed in, as it was when this request came in."""
    current_person()
    found: Organisation | None = g.organisation
    return found


def current_session() -> int | None:
    """Return the id of the sign-in that asks, None where nobody is signed in."""
    current_person()
    found: int | None = g.session_id
    return found


def just_signed_in() -> bool:
    """Say whether this sign-in is at most ten minutes old: fresh enough to need no further proof."""
    current_person()
    began: str | None = g.session_began
    return began is not None and began >= stamp(store().database.moment() - FRESH)


def require(*roles: str) -> Callable[[View], View]:
    """Let only these roles in (any signed-in person when none is named).

    The view finds the person by `current_person()`. Nobody signed in: a page sends
    to the sign-in and back, anything else answers 401. Another role: 403.
    """
    unknown = set(roles) - set(ROLES)
    if unknown:
        raise ValueError(f"no such role: {', '.join(sorted(unknown))}")

    def around(view: View) -> View:
        @wraps(view)
        def checked(*args: Any, **kwargs: Any) -> Any:
            person = current_person()
            if person is None:
                return _to_sign_in()
            if roles and person.role not in roles:
                abort(403)
            return personal(view(*args, **kwargs))

        checked.roles = roles or ROLES
        return checked

    return around


def begin(person: Person) -> None:
    """Start a session: a fresh token and a fresh form secret, whatever the browser held before.

    Raises WrongPassword where another password was set since the person was asked for a sign-in.
    """
    end()
    device = request.user_agent.string[:200]
    token, _ = store().sessions.start(person.organisation, person.id, device, proof=person.proof)
    session["token"] = token
    session.permanent = True
    g.pop("person", None)
    g.pop("organisation", None)
    g.pop("session_id", None)
    g.pop("session_began", None)


def end() -> None:
    """End this browser's session on the server and empty its cookie."""
    token = session.get("token")
    if isinstance(token, str):
        store().sessions.end(token)
    session.clear()


def personal(answer: Any) -> Response:
    """Return the answer marked so that nobody keeps it."""
    response = make_response(answer)
    response.headers["Cache-Control"] = "no-store"
    return response


def own_path(path: str | None, otherwise: str = "/") -> str:
    """Return `path` when it is a path of this app, else `otherwise`.

    >>> own_path("/jobs?state=draft"), own_path("//elsewhere.example"), own_path("/\\\\elsewhere")
    ('/jobs?state=draft', '/', '/')
    """
    if not path or len(path) > 500 or not path.startswith("/") or path[1:2] in {"/", "\\"}:
        return otherwise
    if not path.isprintable() or "\\" in path:
        return otherwise
    parts = urlsplit(path)
    return otherwise if parts.scheme or parts.netloc else path


def for_phone() -> bool:
    """Say whether the request is one of the phone's own: all its answers are JSON with a code."""
    return request.path.startswith("/phone/api/")


def wants_json() -> bool:
    """Say whether the answer, an error included, is read by a script rather than by a person."""
    return for_phone() or request.is_json or request.accept_mimetypes.best == "application/json"


def _to_sign_in() -> Any:
    if wants_json():
        abort(401)
    if request.method in {"GET", "HEAD"}:
        return redirect(url_for("sign_in.ask", next=own_path(request.full_path.rstrip("?"))))
    raise SignInEnded


def page_of_form() -> str | None:
    """The path of the form sent now, where a page can be opened under it too."""
    pages = current_app.create_url_adapter(request)
    return request.path if pages is not None and pages.test(request.path, "GET") else None


def _same_origin() -> None:
    if request.method in {"GET", "HEAD", "OPTIONS"}:
        return
    # Browsers say where a request comes from; one that comes from another site is refused whatever its token.
    if request.headers.get("Sec-Fetch-Site", "same-origin") not in {"same-origin", "none"}:
        abort(403, "This form was sent from another website, so nothing was changed.")


def _headers(response: Response) -> Response:
    held = {name.lower() for name in response.headers.keys()}
    response.headers.extend([(name, value) for name, value in HEADERS.items() if name.lower() not in held])
    if current_app.config["PUBLIC_URL"].startswith("https:"):
        response.headers.setdefault("Strict-Transport-Security", "max-age=31536000")
    if request.endpoint not in KEPT_BY_BROWSERS:
        response.headers.setdefault("Cache-Control", "no-store")
    return response
