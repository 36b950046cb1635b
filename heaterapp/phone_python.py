"""The Python that runs in a phone's browser (Pyodide): fetched and packed at set-up, no part of this project.

Set-up has npm bring the package `pyodide` of the version named in `.ci/engine-package.json` and compares
the files used with `.ci/pyodide.sha256`. Run `python -m heaterapp.phone_python` to pack them: each file
as brotli and as gzip write it, the standard library with its modules unpacked, so that it packs better.
Where it is not there, phones have their answers judged at the server and say so.

Licences of what is served: Pyodide MPL-2.0, CPython PSF-2.0.
"""

from __future__ import annotations

import gzip
import hashlib
import io
import json
import os
import sys
import zipfile
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files as resources
from importlib.resources.abc import Traversable
from pathlib import Path

import brotli

LIBRARY = "python_stdlib.zip"
FILES = ("pyodide.mjs", "pyodide.asm.mjs", "pyodide.asm.wasm", LIBRARY)
PAGES = ("sheet", "filling")
STAMP, LOCK = "packed.sha256", "pyodide-lock.json"
ENDS = {"br": ".br", "gzip": ".gz", "identity": ""}
# 10 and 11 pack the largest file by a tenth better and take half a minute for it.
EFFORT = 9


@dataclass(frozen=True)
class Packed:
    """One file as it is served: SHA-256 and size of its own bytes, and the folder that holds it packed."""

    name: str
    sha256: str
    size: int
    folder: Path

    def read(self, encoding: str) -> bytes:
        """Its bytes, packed for a content encoding: br, gzip or identity."""
        return (self.folder / (self.name + ENDS[encoding])).read_bytes()


def python_folder() -> Path:
    """The folder of the phone's Python: HEATERAPP_ENGINE, or .cache/pyodide in the project."""
    named = os.environ.get("HEATERAPP_ENGINE")
    return Path(named) if named else Path(__file__).resolve().parent.parent / ".cache" / "pyodide"


def packed_files(folder: Path | None = None) -> dict[str, Packed]:
    """Every file by its name as it was packed; empty where it was not, or not whole."""
    held = (folder or python_folder()) / "packed"
    try:
        lines = (held / STAMP).read_text(encoding="ascii").splitlines()
    except OSError:
        return {}
    found: dict[str, Packed] = {}
    for line in lines:
        sha256, size, name = line.split(" ")
        if all((held / (name + end)).is_file() for end in ENDS.values()):
            found[name] = Packed(name, sha256, int(size), held)
    return found if tuple(found) == FILES else {}


def lock_text(folder: Path | None = None) -> str:
    """What the loader asks for beside the files: their version, and that there are no further packages."""
    return ((folder or python_folder()) / "packed" / LOCK).read_text(encoding="utf-8")


def pack(folder: Path | None = None) -> bool:
    """Pack what npm brought, and return whether anything had to be written.

    raises  OSError where a file is missing or the folder cannot be written
    """
    folder = folder or python_folder()
    brought = {name: (folder / "node_modules" / "pyodide" / name).read_bytes() for name in FILES}
    bodies = brought | {LIBRARY: _unpacked(brought[LIBRARY])}
    lines = [f"{hashlib.sha256(body).hexdigest()} {len(body)} {name}" for name, body in bodies.items()]
    stamp, held = "\n".join(lines), folder / "packed"
    if packed_files(folder) and (held / STAMP).read_text(encoding="ascii") == stamp:
        return False
    # Whom the files are for; of the packages beside the standard library none is ever loaded.
    lock = {**json.loads((folder / "node_modules" / "pyodide" / LOCK).read_bytes()), "packages": {}}
    held.mkdir(parents=True, exist_ok=True)
    (held / LOCK).write_text(json.dumps(lock), encoding="utf-8")
    for name, body in bodies.items():
        for encoding, end in ENDS.items():
            (held / (name + end)).write_bytes(squeezed(body, encoding))
    (held / STAMP).write_text(stamp, encoding="ascii")
    return True


def squeezed(body: bytes, encoding: str) -> bytes:
    """The bytes as a content encoding has them, the same every time."""
    if encoding == "br":
        return bytes(brotli.compress(body, quality=EFFORT, lgwin=24))
    return gzip.compress(body, 9, mtime=0) if encoding == "gzip" else body


def zipped(entries: dict[str, bytes]) -> bytes:
    """A zip of stored entries; the same bytes on every build."""
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_STORED) as archive:
        for name, body in sorted(entries.items()):
            entry = zipfile.ZipInfo(name, date_time=(1980, 1, 1, 0, 0, 0))
            entry.external_attr, entry.create_system = 0o644 << 16, 3
            archive.writestr(entry, body)
    return held.getvalue()


@lru_cache(maxsize=1)
def pages_zip() -> bytes:
    """What fills in and says a job's pages, to lie beside the rules on the phone."""
    entries: dict[str, bytes] = {}
    for part in PAGES:
        entries |= _sources(resources("heaterapp") / part, f"heaterapp/{part}/")
    return zipped(entries)


def _sources(folder: Traversable, prefix: str) -> dict[str, bytes]:
    found: dict[str, bytes] = {}
    for one in folder.iterdir():
        if one.is_dir() and one.name != "__pycache__":
            found |= _sources(one, f"{prefix}{one.name}/")
        elif one.name.endswith(".py"):
            found[prefix + one.name] = one.read_bytes()
    return found


def _unpacked(library: bytes) -> bytes:
    with zipfile.ZipFile(io.BytesIO(library)) as archive:
        return zipped({one.filename: archive.read(one) for one in archive.infolist() if not one.is_dir()})


def main() -> int:
    """Pack what set-up fetched and say how much a phone loads."""
    try:
        fresh = pack()
    except OSError as error:
        print(f"The Python for phones is not whole: {error}.", file=sys.stderr)
        return 1
    least = sum(len(one.read("br")) for one in packed_files().values())
    print(f"{'packed' if fresh else 'there already'}, {least / 1e6:.1f} MB for a phone to load once")
    return 0


if __name__ == "__main__":
    sys.exit(main())
