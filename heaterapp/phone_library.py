"""The standard library as phones get it: what they import compiled beforehand, what they never need left out.

The compiling is done by the very Python that will read it, run by Node, which set-up brings with npm. Where
there is no Node the whole of the sources is sent, and a phone compiles them at every start, a second or two
longer.
"""

from __future__ import annotations

import io
import json
import shutil
import subprocess
import tempfile
import zipfile
from pathlib import Path

LIBRARY = "python_stdlib.zip"
PATIENCE_S = 120
ALPHABETS = (
    "big5", "cp0", "cp1", "cp2", "cp424", "cp5", "cp7", "cp8", "cp9", "euc_", "gb", "hp_", "hz", "iso2022",
    "iso8859_", "johab", "koi8", "kz1048", "mac_", "palmos", "ptcp", "shift_jis", "tis_",
)  # fmt: skip
NEVER_NEEDED = (
    "_pyrepl/", "curses/", "dbm/", "doctest.py", "email/", "ensurepip/", "ftplib.py", "idlelib/",
    "imaplib.py", "mailbox.py", "multiprocessing/", "pdb.py", "pickletools.py", "poplib.py", "pydoc.py",
    "pydoc_data/", "smtplib.py", "socketserver.py", "sqlite3/", "tkinter/", "turtle", "unittest/", "venv/",
    "wsgiref/", "xml/", "xmlrpc/", *(f"encodings/{one}" for one in ALPHABETS),
)  # fmt: skip
"""Servers, mail, databases, windows, a developer's tools, other alphabets: as their paths begin."""
WISH = {"do": "review", "answers": {"heater_kind": "gas_storage", "place": "model_upc_2021"}}
COMPILE = """
import importlib._bootstrap_external as outer, json, sys, zipfile
sys.path.insert(0, "/app")
from heaterapp.filling.door import call
if "error" in json.loads(call(wish)):
    raise SystemExit(call(wish))
used = {name.replace(".", "/") for name in sys.modules}
with zipfile.ZipFile("/library.zip") as held, zipfile.ZipFile("/compiled.zip", "w") as made:
    for entry in held.infolist():
        name, body = entry.filename, held.read(entry)
        if name.endswith(".py") and name[:-3].removesuffix("/__init__") in used:
            code = compile(body, "/lib/" + name, "exec", dont_inherit=True)
            name, body = name + "c", outer._code_to_hash_pyc(code, bytes(8), False)
        made.writestr(zipfile.ZipInfo(name, (1980, 1, 1, 0, 0, 0)), body)
"""
RUN = """
import fs from "node:fs";
const { python, library, ours, compiled, wish, script } = JSON.parse(fs.readFileSync(0, "utf8"));
const read = (path) => new Uint8Array(fs.readFileSync(path));
const { loadPyodide } = await import(`${python}/pyodide.mjs`);
const here = await loadPyodide({ indexURL: `${python}/`, stdLibURL: library });
here.FS.writeFile("/library.zip", read(library));
for (const zip of ours) here.unpackArchive(read(zip), "zip", { extractDir: "/app" });
here.globals.set("wish", wish);
here.runPython(script);
fs.writeFileSync(compiled, here.FS.readFile("/compiled.zip"));
"""


def repacked(library: bytes, left_out: tuple[str, ...] = ()) -> bytes:
    """The library as npm brought it, its entries stored so that it packs better.

    left_out  how the paths of those begin that are not taken over
    """
    with zipfile.ZipFile(io.BytesIO(library)) as held:
        names = [name for name in held.namelist() if not name.endswith("/") and not name.startswith(left_out)]
        return zipped({name: held.read(name) for name in names})


def compiled(library: bytes, python: Path, ours: tuple[bytes, ...]) -> bytes | None:
    """The library with every module that judging imports compiled by the phones' own Python, run on it.

    library  as `repacked` gives it
    python   the folder of the Python for phones, as npm brought it
    ours     the zips of the rules and of the pages' code
    returns  None where there is no Node, or it could not do it
    """
    node = shutil.which("node")
    if node is None:
        return None
    with tempfile.TemporaryDirectory() as folder:
        paths = [Path(folder) / f"{at}.zip" for at in range(len(ours) + 1)]
        for path, body in zip(paths, (library, *ours), strict=True):
            path.write_bytes(body)
        made = Path(folder) / "compiled.zip"
        given = {
            "python": str(python.resolve()), "library": str(paths[0]), "compiled": str(made),
            "ours": [str(one) for one in paths[1:]], "wish": json.dumps(WISH), "script": COMPILE,
        }  # fmt: skip
        command, wish = [node, "--input-type=module", "--eval", RUN], json.dumps(given).encode()
        try:
            subprocess.run(command, input=wish, capture_output=True, check=True, timeout=PATIENCE_S)
        except (OSError, subprocess.SubprocessError):
            return None
        return made.read_bytes()


def zipped(entries: dict[str, bytes]) -> bytes:
    """A zip of stored entries; the same bytes on every build."""
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_STORED) as archive:
        for name, body in sorted(entries.items()):
            entry = zipfile.ZipInfo(name, date_time=(1980, 1, 1, 0, 0, 0))
            entry.external_attr, entry.create_system = 0o644 << 16, 3
            archive.writestr(entry, body)
    return held.getvalue()
