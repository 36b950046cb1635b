"""What the app is built with: defaults, what the environment says, what the caller gives.

Each later one wins. Names and meaning:

    DATA_DIR       folder of the database and the secret key   HEATERAPP_DATA          .data
    DATABASE_URL   another database than the one in DATA_DIR   HEATERAPP_DATABASE_URL  none
    PUBLIC_URL     address people reach the app under          HEATERAPP_PUBLIC_URL    none
    SECRET_KEY     signs cookies and forms, 32 characters on  HEATERAPP_SECRET_KEY    made, kept in DATA_DIR
    PROXIES        trusted reverse proxies in front, 0 to 5    HEATERAPP_PROXIES       0
    HOSTS          further host names that may be asked for    HEATERAPP_HOSTS         none
    OFFLINE        whether phones keep their pages: yes or no  HEATERAPP_OFFLINE       yes
    ENGINE_DIR     folder of the Python for phones             HEATERAPP_ENGINE        .cache/pyodide here
    BLOBS          where large bodies lie, see archive/blobs  HEATERAPP_BLOBS         the database
    S3_ENDPOINT    address of the service that BLOBS names    HEATERAPP_S3_ENDPOINT   the usual one
    BACKUPS        folder that backups are made in            HEATERAPP_BACKUPS       none: none are
    BACKUP_HOURS   how often, every 1 to 168 hours            HEATERAPP_BACKUP_HOURS  24
    BACKUP_KEEP    how many stay, 1 to 9999                   HEATERAPP_BACKUP_KEEP   14
    RENDER         makes the papers of a record; None means heaterapp.certificate.render_files
    STORE          an archive that is open already; None means open the one in DATA_DIR

OFFLINE "no" takes the kept pages off every phone the next time it has a connection; what was
typed there stays, and the pages work on line. With a PUBLIC_URL of https the session cookie is
sent over https only. Several machines on one database share SECRET_KEY, or a sign-in on one
is none on another. Everything else is Flask's own configuration.
"""

from __future__ import annotations

import os
import secrets
from collections.abc import Mapping
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from flask import current_app

LARGEST_REQUEST = 1_000_000
SHORTEST_KEY = 32
SHEETS = ("app.css", "frame.css", "fields.css", "told.css")
"""The style sheets of every page, in the order of the cascade."""
LARGEST_FIELDS = 2_000
# The longest that a firm may choose; when a sign-in ends is decided on the server.
SIGNED_IN_FOR_S = 90 * 24 * 3600
LOCAL_HOSTS = ("localhost", "127.0.0.1", "[::1]")
DEFAULTS: dict[str, Any] = {
    "DATA_DIR": ".data",
    "DATABASE_URL": None,
    "PUBLIC_URL": "",
    "PROXIES": 0,
    "HOSTS": "",
    "OFFLINE": "yes",
    "ENGINE_DIR": None,
    "BLOBS": None,
    "S3_ENDPOINT": None,
    "BACKUPS": None,
    "BACKUP_HOURS": 24,
    "BACKUP_KEEP": 14,
    "RENDER": None,
    "STORE": None,
    "MAX_CONTENT_LENGTH": LARGEST_REQUEST,
    "MAX_FORM_MEMORY_SIZE": LARGEST_REQUEST,
    "MAX_FORM_PARTS": LARGEST_FIELDS,
    "PERMANENT_SESSION_LIFETIME": SIGNED_IN_FOR_S,
    # A sign-in ends at a fixed time, on the server: a cookie written with every page lengthens nothing.
    "SESSION_REFRESH_EACH_REQUEST": False,
    "SESSION_COOKIE_HTTPONLY": True,
    "SESSION_COOKIE_SAMESITE": "Lax",
    "WTF_CSRF_TIME_LIMIT": None,
    "WTF_CSRF_SSL_STRICT": False,
}
ENVIRONMENT = {
    "HEATERAPP_DATA": "DATA_DIR",
    "HEATERAPP_DATABASE_URL": "DATABASE_URL",
    "HEATERAPP_SECRET_KEY": "SECRET_KEY",
    "HEATERAPP_PUBLIC_URL": "PUBLIC_URL",
    "HEATERAPP_PROXIES": "PROXIES",
    "HEATERAPP_HOSTS": "HOSTS",
    "HEATERAPP_OFFLINE": "OFFLINE",
    "HEATERAPP_ENGINE": "ENGINE_DIR",
    "HEATERAPP_BLOBS": "BLOBS",
    "HEATERAPP_S3_ENDPOINT": "S3_ENDPOINT",
    "HEATERAPP_BACKUPS": "BACKUPS",
    "HEATERAPP_BACKUP_HOURS": "BACKUP_HOURS",
    "HEATERAPP_BACKUP_KEEP": "BACKUP_KEEP",
}


class SettingWrong(ValueError):
    """A setting cannot be used; the text names it and says what was expected."""


def settled(given: Mapping[str, Any], environ: Mapping[str, str] | None = None) -> dict[str, Any]:
    """Return the whole configuration.

    given    settings by name, as listed above
    environ  where the HEATERAPP_ variables are looked up; by default the process's own
    raises   SettingWrong
    """
    environ = os.environ if environ is None else environ
    said = {ours: environ[theirs] for theirs, ours in ENVIRONMENT.items() if environ.get(theirs)}
    config = {**DEFAULTS, **said, **given}
    if len(said.get("SECRET_KEY", "x" * SHORTEST_KEY)) < SHORTEST_KEY:
        raise SettingWrong(f"HEATERAPP_SECRET_KEY is too short; expected {SHORTEST_KEY} characters or more.")
    config["PROXIES"] = _proxies(config["PROXIES"])
    config["OFFLINE"] = _offline(config["OFFLINE"])
    config["BACKUP_HOURS"] = _whole("HEATERAPP_BACKUP_HOURS", config["BACKUP_HOURS"], 168)
    config["BACKUP_KEEP"] = _whole("HEATERAPP_BACKUP_KEEP", config["BACKUP_KEEP"], 9999)
    address = _public_address(str(config["PUBLIC_URL"]))
    config["PUBLIC_URL"] = address
    if address.startswith("https:"):
        config.setdefault("SESSION_COOKIE_SECURE", True)
        config.setdefault("SESSION_COOKIE_NAME", "__Host-heaterapp")
    config.setdefault("SESSION_COOKIE_NAME", "heaterapp")
    if "TRUSTED_HOSTS" not in config:
        config["TRUSTED_HOSTS"] = _hosts(address, str(config["HOSTS"]))
    return config


def secret_key(data_dir: str | Path) -> str:
    """Return the key that signs the session cookie, made on the first call and kept in `data_dir`."""
    kept = Path(data_dir) / "secret-key"
    kept.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    fresh = kept.with_name(f"secret-key.{secrets.token_hex(8)}")
    if not kept.is_file():
        # Several processes may start at once: the first one to link its key wins.
        fresh.touch(mode=0o600)
        fresh.write_text(secrets.token_urlsafe(48), "ascii")
        try:
            os.link(fresh, kept)
        except FileExistsError:
            pass
        finally:
            fresh.unlink()
    return kept.read_text("ascii")


def renderer(in_turn: bool = False) -> Any:
    """Return the function that makes a record's papers; `in_turn` it waits behind others, as links do."""
    chosen = current_app.config["RENDER"]
    if chosen is None:
        from heaterapp import certificate

        chosen = certificate.render_in_turn if in_turn else certificate.render_files
    return chosen


def public_address(path: str) -> str:
    """Return the whole address of a path, for a link that leaves this app."""
    from flask import request

    return (current_app.config["PUBLIC_URL"] or request.host_url.rstrip("/")) + path


def _proxies(value: object) -> int:
    text = str(value)
    if text not in {"0", "1", "2", "3", "4", "5"}:
        raise SettingWrong(f"HEATERAPP_PROXIES is {text[:40]!r}; a whole number from 0 to 5 was expected.")
    return int(text)


def _whole(name: str, said: object, most: int) -> int:
    text = str(said)
    if not (text.isascii() and text.isdecimal() and len(text) <= 4 and 1 <= int(text) <= most):
        raise SettingWrong(f"{name} is {text[:40]!r}; a whole number from 1 to {most} was expected.")
    return int(text)


def _offline(value: object) -> bool:
    text = str(value)
    if text not in {"yes", "no", "True", "False"}:
        raise SettingWrong(f"HEATERAPP_OFFLINE is {text[:40]!r}; yes or no was expected.")
    return text in {"yes", "True"}


def _public_address(text: str) -> str:
    if not text:
        return ""
    parts = urlsplit(text)
    if parts.scheme not in {"http", "https"} or not parts.hostname or parts.path.strip("/") or parts.query:
        raise SettingWrong(
            f"HEATERAPP_PUBLIC_URL is {text[:100]!r}; expected such as https://records.example."
        )
    return f"{parts.scheme}://{parts.netloc}"


def _hosts(address: str, further: str) -> list[str] | None:
    if further.strip() == "*":
        return None
    named = [host.strip() for host in further.split(",") if host.strip()]
    own = urlsplit(address).netloc
    return [*LOCAL_HOSTS, *named, *([own] if own else [])]
