"""The ruleset's version, and a digest of all it is made of."""

from __future__ import annotations

import hashlib
import io
import zipfile
from functools import lru_cache
from importlib.resources import files
from importlib.resources.abc import Traversable

RULESET = "0.1.0"


def _walk(folder: Traversable, prefix: str) -> list[tuple[str, bytes]]:
    found: list[tuple[str, bytes]] = []
    for one in folder.iterdir():
        if one.is_dir():
            if one.name != "__pycache__":
                found.extend(_walk(one, f"{prefix}{one.name}/"))
        elif one.name.endswith((".py", ".toml")):
            found.append((prefix + one.name, one.read_bytes()))
    return found


@lru_cache(maxsize=1)
def contents() -> tuple[tuple[str, bytes], ...]:
    """Every file of the ruleset, name and bytes, sorted by name."""
    return tuple(sorted(_walk(files(__package__), "")))


@lru_cache(maxsize=1)
def digest() -> str:
    """SHA-256 over every file's name, length and bytes, in name order."""
    total = hashlib.sha256()
    for name, body in contents():
        total.update(f"{name}\0{len(body)}\0".encode())
        total.update(body)
    return total.hexdigest()


@lru_cache(maxsize=1)
def ruleset_zip() -> bytes:
    """The ruleset as one zip that runs on bare Python; the same bytes on every build."""
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_STORED) as archive:
        for name, body in (
            ("heaterapp/__init__.py", b""),
            *((f"heaterapp/rules/{n}", b) for n, b in contents()),
        ):
            entry = zipfile.ZipInfo(name, date_time=(1980, 1, 1, 0, 0, 0))
            entry.external_attr = 0o644 << 16
            entry.create_system = 3
            archive.writestr(entry, body)
    return held.getvalue()
