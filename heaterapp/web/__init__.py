"""The pages, by audience: sign-in, jobs, office, homeowner link, public check.

Every module of this package that defines a Flask blueprint is registered; adding
a page is adding a file.
"""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Callable, Iterator
from functools import lru_cache
from pathlib import Path
from typing import Any

from flask import Blueprint, Flask, request, url_for
from markupsafe import Markup
from werkzeug.middleware.proxy_fix import ProxyFix

from heaterapp.filling.typed import keyboard
from heaterapp.rules import CATALOGUE, mark_of, prepare
from heaterapp.sheet.findings import finding_html, short_name
from heaterapp.sheet.marks import mark, verdict_html
from heaterapp.sheet.words import unit_shown
from heaterapp.web import errors, kept_files, language, office_ways, resend, security, settings

__all__ = ["build_app"]


def build_app(**given: Any) -> Flask:
    """Build the Flask application.

    given   settings by name; see `heaterapp.web.settings`
    raises  settings.SettingWrong
    """
    config = settings.settled(given)
    prepare()
    root = _pages_root()
    folders = {"template_folder": str(root / "templates"), "static_folder": str(root / "static")}
    app = Flask("heaterapp", root_path=str(root), **folders)
    app.config.from_mapping(config)
    app.config.setdefault("SECRET_KEY", None)
    if app.config["SECRET_KEY"] is None:
        app.config["SECRET_KEY"] = settings.secret_key(config["DATA_DIR"])
    app.extensions["archive"] = config["STORE"] or _open(config)
    app.jinja_env.filters.update(
        drawn=_drawn, finding_html=finding_html, unit_shown=unit_shown, short_name=short_name,
        mark_of=mark_of, keyboard=keyboard,
    )  # fmt: skip
    app.jinja_env.globals.update(
        verdict_html=verdict_html, mark_html=mark, fixed_address=_fixed_addresses(),
        sheets_of_all=settings.SHEETS,
        longest_street=CATALOGUE["address_street"].longest,
    )
    app.jinja_env.trim_blocks = app.jinja_env.lstrip_blocks = True
    kept_files.keep(app)
    language.listen(app)
    security.guard(app)
    errors.handle(app)
    for blueprint in blueprints():
        app.register_blueprint(blueprint)
    _say_who(app)
    if config["PROXIES"]:
        count = config["PROXIES"]
        app.wsgi_app = ProxyFix(app.wsgi_app, x_for=count, x_proto=count, x_host=count)
    return app


def blueprints() -> Iterator[Blueprint]:
    """Give every blueprint that a module of this package defines."""
    for found in pkgutil.iter_modules(__path__, f"{__name__}."):
        module = importlib.import_module(found.name)
        for value in vars(module).values():
            if isinstance(value, Blueprint) and value.import_name == module.__name__:
                yield value


def _drawn(html: str) -> Markup:
    """Take markup that heaterapp.sheet has made, and escaped, as it is."""
    return Markup(html)  # noqa: S704 - made by our own code from escaped text


def _fixed_addresses() -> Callable[..., str]:
    @lru_cache(maxsize=100)
    def built(root: str, endpoint: str, *values: tuple[str, str]) -> str:
        return url_for(endpoint, **dict(values))

    def fixed_address(endpoint: str, **values: str) -> str:
        """The address of what stands at the same one on every page, built once."""
        return built(request.script_root, endpoint, *values.items())

    return fixed_address


def _pages_root() -> Path:
    package = Path(__file__).resolve().parent.parent
    return package if (package / "templates").is_dir() else package.parent


def _open(config: dict[str, Any]) -> Any:
    from heaterapp import archive

    places = {"blobs": config["BLOBS"], "blobs_endpoint": config["S3_ENDPOINT"]}
    return archive.open_store(url=config["DATABASE_URL"], data_dir=config["DATA_DIR"], **places)


def _say_who(app: Flask) -> None:
    from heaterapp import __version__

    @app.context_processor
    def who() -> dict[str, Any]:
        return {
            "person": security.current_person(),
            "office_ways": office_ways.ways(security.current_person()),
            "whose": resend.mark_of(security.current_person()),
            "organisation": security.current_organisation(),
            "program_version": __version__,
        }
