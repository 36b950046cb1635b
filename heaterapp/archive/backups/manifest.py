"""The manifest of a backup: when, by what, which heads and counts, and the SHA-256 of each file."""

import hashlib
import json
from pathlib import Path
from typing import Any

from heaterapp.archive.backups.refused import BackupRefused, reason
from heaterapp.archive.canonical import canonical, sha256

NAME = "manifest.json"
FORMAT = "heaterapp backup 1"
DATABASE, KEY = "archive.sqlite3", "secret-key"
LARGEST = 10_000_000
_BLOCK = 1 << 20


def write(folder: Path, facts: dict[str, Any]) -> dict[str, Any]:
    """Write the manifest of the files that lie in `folder`, and return it."""
    files = {
        path.name: {"sha256": digest_of(path), "size": path.stat().st_size}
        for path in sorted(folder.iterdir())
    }
    said = {"format": FORMAT, **facts, "files": files}
    said["sha256"] = sha256(canonical(said))
    path = folder / NAME
    path.touch(mode=0o600)
    path.write_text(json.dumps(said, indent=2, sort_keys=True) + "\n", "utf-8")
    return said


def read(folder: Path) -> dict[str, Any]:
    """Return the manifest of a backup, or raise BackupRefused that names it and what is wrong with it."""
    path = folder / NAME
    if not folder.is_dir():
        raise BackupRefused(f"{folder} is not there: name the folder of one backup")
    try:
        if path.stat().st_size > LARGEST:
            raise BackupRefused(f"{path} is too long to be a manifest")
        said = json.loads(path.read_text("utf-8"))
    except FileNotFoundError:
        raise BackupRefused(f"{path} is missing, so {folder.name} is no whole backup") from None
    except OSError as refused:
        raise BackupRefused(f"{path} cannot be read: {reason(refused)}") from refused
    except (ValueError, RecursionError):
        raise BackupRefused(f"{path} is damaged: it is not the JSON that was written") from None
    if not isinstance(said, dict) or said.get("format") != FORMAT:
        raise BackupRefused(f"{path} is not a manifest of '{FORMAT}'")
    kept = {name: value for name, value in said.items() if name != "sha256"}
    try:
        as_written = sha256(canonical(kept)) == said.get("sha256")
    except ValueError:
        as_written = False
    if not as_written or DATABASE not in kept["files"]:
        raise BackupRefused(f"{path} is damaged: its own SHA-256 differs")
    return said


def check(folder: str | Path) -> dict[str, Any]:
    """Return a backup's manifest after reading every file; raise BackupRefused naming the first bad one."""
    folder = Path(folder)
    said = read(folder)
    for name, wanted in said["files"].items():
        path = folder / name
        try:
            size = path.stat().st_size
            if size != wanted["size"]:
                raise BackupRefused(f"{path} is incomplete: {size} bytes, {wanted['size']} were written")
            if digest_of(path) != wanted["sha256"]:
                raise BackupRefused(f"{path} is damaged: its SHA-256 is not the manifest's")
        except FileNotFoundError:
            raise BackupRefused(f"{path} is missing") from None
        except OSError as refused:
            raise BackupRefused(f"{path} cannot be read: {reason(refused)}") from refused
    return said


def digest_of(path: Path) -> str:
    """Return the SHA-256 of a file, read in blocks."""
    digest = hashlib.sha256()
    with path.open("rb") as opened:
        while block := opened.read(_BLOCK):
            digest.update(block)
    return digest.hexdigest()
