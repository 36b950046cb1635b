"""The same papers from two clean homes: python tests/certificate/two_homes.py [--keep FOLDER]

Two environments are made from the pinned files alone, each package checked against its hash, the program copied to
another place in each, the faces prepared anew. In each, three records are pressed under another hash seed, time zone,
language and (as root) another user, and the SHA-256 of every file is compared. Exit 1 when two differ, or when a file
names the place it was made in.
"""

from __future__ import annotations

import argparse
import base64
import json
import os
import pickle
import re
import shutil
import subprocess
import sys
import tempfile
import venv
from dataclasses import replace
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from heaterapp.certificate.filed import Filed, FiledPhoto
from heaterapp.sample_photo import sample_photo
from tests.certificate.conftest import FIRM, Record, answers_of_job

TREE = Path(__file__).resolve().parents[2]
PARTS = ("heaterapp", "templates", "static", "pyproject.toml")
LIVES = (
    {"PYTHONHASHSEED": "1", "TZ": "Asia/Tokyo", "LANG": "C", "LC_ALL": "C"},
    {"PYTHONHASHSEED": "4242", "TZ": "America/St_Johns", "LANG": "C.UTF-8", "LC_ALL": "C.UTF-8"},
)
AT_WORK = "2026-11-26T09:14:07Z"
USERS = (None, "nobody")
"""The second home's is another user where this one may start processes for others."""
SCRIPT = """
import base64, hashlib, json, os, pickle, sys
from heaterapp.certificate import render_here
place, told = os.getcwd().encode(), {}
for filed in pickle.loads(base64.b64decode(sys.stdin.read())):
    for name, pdf in render_here(filed).items():
        told[f"{filed.number} {name}"] = [hashlib.sha256(pdf).hexdigest(), place in pdf or b"file://" in pdf]
print(json.dumps(told))
"""
ADDRESS = re.compile(r"\S*://\S*|\S*/\S*/\S*")


class Failed(RuntimeError):
    """A step did not come to its end; the text says which."""


def records() -> list[Filed]:
    """A certificate with photos, a correction list, and a certificate on A4."""
    from heaterapp.rules import Job, assess, canonical_bytes

    def made(name: str, **more: Any) -> Record:
        job = Job(answers_of_job(name))
        return Record(canonical_bytes(job.canonical()), assess(job).to_bytes(), **more)

    taken = enumerate(("plate", "straps", "house"), 7)
    photos = tuple(
        FiledPhoto(kind, "As found.", True, AT_WORK, "ab" * 32, sample_photo(seed)) for seed, kind in taken
    )
    listed = made("gas_storage_to_fix", kind="correction_list", number="L-000003")
    a4 = {**FIRM, "settings": {"paper": "a4"}}
    return [
        replace(Filed.of(made("gas_storage_us_ca")), photos=photos),
        Filed.of(listed),
        Filed.of(made("electric_storage_irc", number="C-000014", organisation_snapshot=a4)),
    ]


def run(step: str, command: list[str], **more: Any) -> str:
    """Run a step; what it says of addresses and paths is told to nobody."""
    done = subprocess.run(command, capture_output=True, text=True, check=False, **more)
    if done.returncode:
        last = ADDRESS.sub("...", (done.stderr.strip() or done.stdout.strip())[-600:])
        raise Failed(f"{step} ended with {done.returncode}: {last}")
    return done.stdout


def home(folder: Path) -> Path:
    """Make a clean environment with its own copy of the program; returns its Python."""
    folder.mkdir()
    for part in PARTS:
        whole = TREE / part
        if whole.is_dir():
            shutil.copytree(whole, folder / part, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            shutil.copy(whole, folder / part)
    venv.create(folder / "venv", with_pip=True)
    python = folder / "venv" / "bin" / "python"
    pinned = str(TREE / ".ci" / "requirements.txt")
    run(
        "Installing the pinned packages",
        [str(python), "-m", "pip", "install", "-q", "--require-hashes", "-r", pinned],
    )
    run("Preparing the faces", [str(python), "-m", "heaterapp.fonts"], cwd=folder, env=life(folder, {}))
    return python


def life(folder: Path, own: dict[str, str]) -> dict[str, str]:
    """The whole environment of a process in this home: nothing of ours goes along but where programs are."""
    return {
        "PATH": os.environ.get("PATH", os.defpath), "HOME": str(folder), "PYTHONDONTWRITEBYTECODE": "1",
        "HEATERAPP_FONTS": str(folder / "faces"), **own,
    }  # fmt: skip


def pressed(python: Path, folder: Path, own: dict[str, str], user: str | None, handed: str) -> dict[str, Any]:
    """Press the records in this home; returns name -> [SHA-256, whether it names its home]."""
    other = {"user": user, "group": "nogroup", "extra_groups": []} if user and os.geteuid() == 0 else {}
    command = [str(python), "-c", SCRIPT]
    told: dict[str, Any] = json.loads(
        run("Pressing", command, cwd=folder, env=life(folder, own), input=handed, **other)
    )
    return told


def compared(told: list[dict[str, Any]]) -> list[str]:
    """What is not as it should be."""
    found = [
        f"{name} names the place it was made in" for one in told for name, (_, named) in one.items() if named
    ]
    names = sorted(set().union(*told))
    found += [f"{name} differs" for name in names if len({str(one.get(name, "")) for one in told}) > 1]
    return found if names else ["nothing was pressed"]


def main(arguments: list[str]) -> int:
    """Run the command."""
    parser = argparse.ArgumentParser(description="The same papers from two clean environments.")
    parser.add_argument(
        "--keep", type=Path, help="where the homes are made, and left; a passing folder without it"
    )
    chosen = parser.parse_args(arguments)
    handed = base64.b64encode(pickle.dumps(records())).decode()
    told = []
    with tempfile.TemporaryDirectory(prefix="two-homes-") as passing:
        place = chosen.keep or Path(passing)
        place.mkdir(exist_ok=True)
        place.chmod(0o755)
        try:
            for number, (own, user) in enumerate(zip(LIVES, USERS, strict=True), 1):
                folder = place / ("one" if number == 1 else "the-other-home")
                told.append(pressed(home(folder), folder, own, user, handed))
                print(f"home {number}: {len(told[-1])} files pressed", flush=True)
        except Failed as failed:
            print(failed, file=sys.stderr)
            return 1
    for name, (digest, _) in sorted(told[0].items()):
        print(f"{digest}  {name}")
    found = compared(told)
    print(
        "\n".join(found) if found else "The same bytes from both.", file=sys.stderr if found else sys.stdout
    )
    return int(bool(found))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
