"""Program and check page's scripts asked of the same files, beside the same papers and keys."""

from __future__ import annotations

import json
import shutil
import subprocess
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from heaterapp.sealing import Key, Known, Looked, Stored, look
from heaterapp.sealing.origin import origin

HERE = Path(__file__).parent
STATIC = HERE.parent.parent / "static"
SCRIPTS = ("compared.js", "origin.js", "seal.js")
Told = dict[str, Any]


class Both:
    """The scripts, run by Node in a folder of their own, and the program."""

    def __init__(self, folder: Path):
        self._folder = folder
        (folder / "package.json").write_text('{"type": "module"}')
        for name in SCRIPTS:
            shutil.copy(STATIC / name, folder)

    def __call__(
        self, bodies: Sequence[bytes], keys: Sequence[Key | Known], stored: Sequence[Stored]
    ) -> list[tuple[Looked, Told]]:
        """Return what both tell of each file."""
        known = [one if isinstance(one, Known) else Known(one.certificate) for one in keys]
        given = json.dumps(_given(known, stored))
        wanted = []
        for at, body in enumerate(bodies):
            (self._folder / f"{at}.pdf").write_bytes(body)
            wanted.append([str(self._folder / f"{at}.pdf"), json.loads(given)])
        (self._folder / "list.json").write_text(json.dumps(wanted))
        program = ["node", str(HERE / "compare.mjs"), str(self._folder / "compared.js"), str(self._folder / "list.json")]
        done = subprocess.run(program, capture_output=True, text=True, timeout=600)
        assert done.returncode == 0, done.stderr
        return list(zip([look(body, known, stored) for body in bodies], json.loads(done.stdout), strict=True))


def _given(known: Sequence[Known], stored: Sequence[Stored]) -> dict[str, Any]:
    """What the page gives its script to know."""
    return {
        "number": stored[0].number if stored else "",
        "papers": [
            {"name": one.name, "size": len(one.body), "sha256": one.sha256, "first": one.named[0], "second": one.named[1]}
            for one in stored
        ],
        "keys": [
            {"print": one.fingerprint, "retired": one.retired_on, "traces": one.traces}
            for one in known if not one.distrusted_on
        ],
        "copies": [one.decode() for paper in stored for one in paper.copies],
        "redacted": [paper.redacted.decode() for paper in stored],
    }  # fmt: skip


def alike(looked: Looked, told: Told, body: bytes) -> bool:
    """Whether both tell the same of a file: what it is, beside which paper, by which key, and what it calls itself.

    The program has the stored bytes: it may know that a file was changed which for the page has too few bytes, and
    knows one whose identifier was hit, of which the page sees nothing but what else it says of itself.
    """
    name = looked.paper.name if looked.paper and looked.kind not in ("redacted", "translation") else ""
    if (told["kind"], told["name"], told["print"], told["number"]) == (
        looked.kind, name, looked.fingerprint, looked.number
    ):  # fmt: skip
        return True
    if looked.paper is None or looked.kind not in ("changed", "shorter"):
        return False
    if looked.paper.named in origin(body).named:
        few = looked.kind == "changed" and len(body) < len(looked.paper.body)
        return few and (told["kind"], told["name"], told["whole"]) == ("shorter", name, len(looked.paper.body))
    return told["kind"] in ("changed", "resaved", "lookalike", "another", "unknown", "damaged", "no_pdf")
