"""The Python that runs in a phone's browser (Pyodide): fetched and packed at set-up, no part of this project.

Set-up has npm bring the package `pyodide` of the version named in `.ci/engine-package.json` and compares
the files used with `.ci/pyodide.sha256`. Run `python -m heaterapp.phone_python` to pack them: each file
as brotli and as gzip write it, the standard library as `phone_library` makes it.
Where it is not there, phones have their answers judged at the server and say so.

Licences of what is served: Pyodide MPL-2.0, CPython PSF-2.0.
"""

from __future__ import annotations

import gzip
import hashlib
import json
import os
import shutil
import sys
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files as resources
from importlib.resources.abc import Traversable
from pathlib import Path

import brotli

from heaterapp.phone_library import COMPILE, LIBRARY, NEVER_NEEDED, compiled, repacked, zipped
from heaterapp.rules import ruleset_zip

FILES = ("pyodide.mjs", "pyodide.asm.mjs", "pyodide.asm.wasm", LIBRARY)
PAGES = ("languages", "sheet", "filling")
NOT_ON_PHONES = frozenset(
    f"heaterapp/languages/{name}.py"
    for name in ("code_sentences", "extract", "faults", "files", "found", "scripts")
)
"""What keeps the catalogue; a phone is given it as data."""
STAMP, MADE_OF, LOCK = "packed.sha256", "made-of.sha256", "pyodide-lock.json"
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
    own, held = folder / "node_modules" / "pyodide", folder / "packed"
    brought = {name: (own / name).read_bytes() for name in (*FILES, LOCK)}
    made_of = _made_of(brought)
    # An earlier version of this program wrote no such note.
    noted = (held / MADE_OF).read_text(encoding="ascii") if (held / MADE_OF).is_file() else ""
    if packed_files(folder) and noted == made_of:
        return False
    bodies = {name: brought[name] for name in FILES}
    # Nothing is left out that was not seen to be needless.
    small = compiled(repacked(brought[LIBRARY], NEVER_NEEDED), own, (ruleset_zip(), pages_zip()))
    bodies[LIBRARY] = small or repacked(brought[LIBRARY])
    # Whom the files are for; of the packages beside the standard library none is ever loaded.
    lock = {**json.loads(brought[LOCK]), "packages": {}}
    held.mkdir(parents=True, exist_ok=True)
    (held / STAMP).unlink(missing_ok=True)
    (held / LOCK).write_text(json.dumps(lock), encoding="utf-8")
    for name, body in bodies.items():
        for encoding, end in ENDS.items():
            (held / (name + end)).write_bytes(squeezed(body, encoding))
    (held / MADE_OF).write_text(made_of, encoding="ascii")
    lines = [f"{hashlib.sha256(body).hexdigest()} {len(body)} {name}" for name, body in bodies.items()]
    (held / STAMP).write_text("\n".join(lines), encoding="ascii")
    return True


def _made_of(brought: dict[str, bytes]) -> str:
    """What was packed by what: another file, packing or Node at hand means packing anew."""
    total = hashlib.sha256(f"{EFFORT} {bool(shutil.which('node'))} {COMPILE} {NEVER_NEEDED}".encode())
    for body in brought.values():
        total.update(hashlib.sha256(body).digest())
    return total.hexdigest()


def squeezed(body: bytes, encoding: str) -> bytes:
    """The bytes as a content encoding has them, the same every time."""
    if encoding == "br":
        return bytes(brotli.compress(body, quality=EFFORT, lgwin=24))
    return gzip.compress(body, 9, mtime=0) if encoding == "gzip" else body


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
        elif one.name.endswith(".py") and prefix + one.name not in NOT_ON_PHONES:
            found[prefix + one.name] = one.read_bytes()
    return found


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
