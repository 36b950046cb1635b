"""Check a water-heater installation against the adopted code, certify it, keep the record.

`create_app` is defined here with its imports inside, so that `heaterapp.rules`
loads on bare Python, from this tree or from a zip, without Flask.
"""

from __future__ import annotations

from typing import Any

__version__ = "0.1.0"


def create_app(**settings: Any) -> Any:
    """Build the Flask application.

    settings  overrides, by name, of the defaults documented in `heaterapp.web.settings`
    returns   a ready WSGI application
    """
    from .web import build_app

    return build_app(**settings)
